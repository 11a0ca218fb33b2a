// Runs as they come in the data, unpacked: histories are little-endian float32 in base64, row by row.

const LITTLE_ENDIAN = new Uint8Array(new Uint16Array([1]).buffer)[0] === 1;
function unpack(text) {
  const binary = atob(text);
  const bytes = new Uint8Array(binary.length);
  for (let i = 0; i < binary.length; ++i) bytes[i] = binary.charCodeAt(i);
  if (LITTLE_ENDIAN) return new Float32Array(bytes.buffer);
  const view = new DataView(bytes.buffer);
  const values = new Float32Array(bytes.length / 4);
  for (let i = 0; i < values.length; ++i) values[i] = view.getFloat32(4 * i, true);
  return values;
}

/** A table of rows (moments) and columns. */
class Series {
  constructor(packed, columns) {
    this.columns = columns;
    this.values = packed ? unpack(packed) : new Float32Array(0);
  }
  at(row, column) { return this.values[row * this.columns + column]; }
  column(index, change = (v) => v) {
    const rows = this.columns ? this.values.length / this.columns : 0;
    const out = new Float64Array(rows);
    for (let row = 0; row < rows; ++row) out[row] = change(this.values[row * this.columns + index]);
    return out;
  }
}

/** Cells of a plant in the order of the oxygen columns, as this result has them. */
function cellsOf(plant, result) {
  const list = [];
  let points = 0, vents = 0;
  plant.risers.forEach((riser, r) => {
    riser.first = list.length;
    riser.pipes.forEach((pipe, p) => {
      const found = result.risers[r].final.pipes[p];
      Object.assign(pipe, { first: list.length, cells: found.oxygen.length, cell_ends: found.cell_ends });
      for (let cell = 0; cell < pipe.cells; ++cell) {
        const part = pipe.cell_ends[cell] - (cell ? pipe.cell_ends[cell - 1] : 0);
        list.push({ riser: r, pipe: p, cell, volume: pipe.volume_m3 * pipe.copies * part });
      }
    });
    riser.count = list.length - riser.first;
    riser.first_low_point = points;
    riser.first_vent = vents;
    points += riser.low_points.length;
    vents += riser.vents.length;
  });
  Object.assign(plant, { low_point_count: points, vent_count: vents });
  return list;
}

class Run {
  constructor(raw) {
    Object.assign(this, { label: raw.label, result: raw.result, duty: raw.duty, times: raw.history.times_s });
    this.plant = data.plants[raw.plant];
    this.cells = cellsOf(this.plant, raw.result);
    const h = raw.history, risers = this.plant.risers.length;
    this.oxygen = new Series(h.oxygen, this.cells.length);
    this.pressure = new Series(h.pressure_pa, risers);
    this.supplied = new Series(h.supplied_mol, risers);
    this.vented = new Series(h.vented_mol, risers);
    this.leaked = new Series(h.leaked_mol, risers);
    this.zoneOf = h.zone_of || null;  // zones with a pressure of their own; none where each riser has one
    this.zonePressure = new Series(h.zone_pressure_pa, this.zoneOf ? Math.max(...this.zoneOf) + 1 : 0);
    this.water = new Series(h.water_m3, this.plant.low_point_count);
    this.passages = h.passages || "";
    this.vents = h.vents || "";
    this.average = new Float64Array(this.times.length * risers);
    this.worst = new Float64Array(this.times.length * risers);
    this.worstCell = new Int32Array(this.times.length * risers);
    this.summarise(risers);
  }
  summarise(risers) {
    this.plant.risers.forEach((riser, r) => {
      for (let row = 0; row < this.times.length; ++row) {
        let worst = -1, where = riser.first, sum = 0, volume = 0;
        for (let i = riser.first; i < riser.first + riser.count; ++i) {
          const oxygen = this.oxygen.at(row, i);
          if (oxygen > worst) { worst = oxygen; where = i; }
          sum += oxygen * this.cells[i].volume;
          volume += this.cells[i].volume;
        }
        this.worst[row * risers + r] = worst;
        this.worstCell[row * risers + r] = where;
        this.average[row * risers + r] = sum / volume;
      }
    });
  }
  /** Pressure in a cell. */
  pressureAt(row, column) {
    return this.zoneOf ? this.zonePressure.at(row, this.zoneOf[column]) : this.pressure.at(row, this.cells[column].riser);
  }
  /** What passes a low point, counted through all risers: 0 gas, 1 bubbles, 2 nothing. */
  passageAt(row, point) { return Number(this.passages[row * this.plant.low_point_count + point]); }
  /** How a vent, counted so, stands: 0 shut, 1 open, 2 shut by water in its liquid stop. */
  ventAt(row, vent) { return Number(this.vents[row * this.plant.vent_count + vent]); }
  /** Cells before and behind a low point of a riser. */
  sidesOf(riser, point) {
    const pipe = riser.pipes[point.pipe], before = riser.pipes[pipe.parent];
    return [before.first + before.cells - 1, pipe.first];
  }
  heldAt(row, riser, point) {
    const [before, behind] = this.sidesOf(riser, point);
    return this.pressureAt(row, before) - this.pressureAt(row, behind);
  }
  worstAt(row, r) { return this.worst[row * this.plant.risers.length + r]; }
  averageAt(row, r) { return this.average[row * this.plant.risers.length + r]; }
  worstPlace(row, r) { return placeName(this, this.worstCell[row * this.plant.risers.length + r]); }
  worstColumn(r, change) { return this.each((row) => change(this.worstAt(row, r))); }
  averageColumn(r, change) { return this.each((row) => change(this.averageAt(row, r))); }
  each(value) { return Float64Array.from(this.times, (_, row) => value(row)); }
  /** A value at a time between rows. */
  between(seconds, value) {
    const t = this.times, last = t.length - 1;
    if (seconds <= t[0]) return value(0);
    if (seconds >= t[last]) return value(last);
    let row = this.rowAt(seconds);
    if (t[row] > seconds) --row;
    const share = (seconds - t[row]) / (t[row + 1] - t[row]);
    return (1 - share) * value(row) + share * value(row + 1);
  }
  /** The row nearest to a time. */
  rowAt(seconds) {
    let low = 0, high = this.times.length - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (this.times[middle] <= seconds) low = middle; else high = middle;
    }
    return seconds - this.times[low] <= this.times[high] - seconds ? low : high;
  }
}

/** A cell by its pipe and how far along it lies. */
function placeName(run, column) {
  const { riser, pipe: p, cell } = run.cells[column], pipe = run.plant.risers[riser].pipes[p];
  if (pipe.cells < 2) return pipe.name;
  if (cell === pipe.cells - 1) return `${pipe.name}, far end`;
  if (cell === 0) return `${pipe.name}, near end`;
  const middle = 0.5 * (pipe.cell_ends[cell - 1] + pipe.cell_ends[cell]);
  return pipe.length_m ? `${pipe.name}, ${digits(units().toLength(middle * pipe.length_m))} ${units().length} from its near end` : `${pipe.name}, cell ${cell + 1} of ${pipe.cells}`;
}

const runs = (data.runs || []).map((raw) => new Run(raw));
const run = () => runs[state.run];
const atTarget = (oxygen) => 1 - oxygen >= data.target_purity - 1e-7;

/** Turns to another run at the same moment. */
function showRun(index) {
  const time = run().times[state.row];
  state.row = runs[index].rowAt(time);
  set("run", index);
}
