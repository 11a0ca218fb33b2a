// The piping as a map: pipes where plan.js lays them, as thick as their bore, each cell in the colour of its oxygen. A
// line beside a cell says that it is on target, so that colour is not needed for that.

const MAP = { letters: 6.2, labels: 90 };

/** Rise of a pipe over its length, as on a plan. */
function pitchText(pitch) {
  if (!pitch) return "level";
  if (Math.abs(pitch) > 0.99) return pitch > 0 ? "vertical, far end up" : "vertical, far end down";
  const rise = state.system === "us" ? `${digits(Math.abs(pitch) * 120, 2)} in in 10 ft` : `${digits(Math.abs(pitch) * 1000, 2)} mm in 1 m`;
  return `pitch ${rise}, far end ${pitch > 0 ? "high" : "low"}`;
}

function pipeTip(riser, pipe) {
  const u = units(), parts = [pipe.copies > 1 ? `${pipe.name}, ${pipe.copies} equal` : pipe.name];
  if (pipe.bore_m) parts.push(`bore ${digits(u.toBore(pipe.bore_m))} ${u.bore}, ${digits(u.toLength(pipe.length_m))} ${u.length} long`, pitchText(pipe.pitch));
  parts.push(`${digits(u.toVolume(pipe.volume_m3))} ${u.volume}${pipe.copies > 1 ? " each" : ""}`);
  return parts.join(", ");
}

/** A shortened text that fits about so many pixels at the map's letter size. */
const fitted = (text, room) => (text.length * MAP.letters <= room ? text : room < 30 ? "" : `${text.slice(0, Math.floor(room / MAP.letters) - 1)}…`);

/** A path along all lines of a pipe, from one share of its length to another, moved to its right by some pixels. */
function along(place, from, to, aside = 0) {
  return place.at.map((l) => {
    const x = l.x0 - aside * l.dy, y = l.y0 + aside * l.dx, a = from * l.long, b = to * l.long;
    return `M${(x + a * l.dx).toFixed(1)} ${(y + a * l.dy).toFixed(1)}L${(x + b * l.dx).toFixed(1)} ${(y + b * l.dy).toFixed(1)}`;
  }).join("");
}

class RiserMap {
  constructor(theRun, index, width) {
    this.run = theRun;
    this.index = index;
    this.riser = theRun.plant.risers[index];
    this.cells = [];
    this.node = this.draw(width);
  }
  draw(width) {
    const plan = layOut(this.riser, width), riser = this.riser;
    this.height = plan.height;
    const picture = svg("svg", { viewBox: `0 0 ${width} ${plan.height}`, width, height: plan.height, class: "map", role: "img" });
    this.caption = svg("title", {});
    const walls = svg("g", { class: "walls" }), bodies = svg("g", { class: "bodies" });
    const signs = svg("g", { class: "signs" }), texts = svg("g", { class: "texts" });
    picture.append(this.caption, walls, bodies, signs, texts);
    for (const line of plan.headers) walls.append(svg("path", { class: "header", d: `M${line.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L")}` }));
    riser.pipes.forEach((pipe, p) => this.drawPipe(plan, p, walls, bodies));
    if (riser.pipes.length <= MAP.labels) this.label(plan, texts);
    for (const note of plan.notes) texts.append(svg("text", { class: "count", x: note.x, y: note.y + 4, "text-anchor": "middle" }, note.text,
      svg("title", {}, `${riser.pipes[note.pipe].name}: ${note.text.slice(1)} equal lines, ${note.shown} drawn`)));
    for (const [a, b] of riser.links) {
      const one = plan.pipes[a].at[0], two = plan.pipes[b].at[0], x = Math.max(one.x1, two.x1) + 24;
      walls.append(svg("path", { class: "loop", d: `M${one.x1} ${one.y1}C${x} ${one.y1} ${x} ${two.y1} ${two.x1} ${two.y1}` }));
    }
    this.drawLeaks(plan, signs);
    this.vents = ventSigns(riser, plan, { signs, texts });
    this.samples = sampleSigns(riser, plan, signs);
    this.dips = lowPointSigns(riser, plan, { signs, texts });
    const first = plan.pipes[0].at[0];
    signs.append(svg("line", { class: "inlet", x1: 6, x2: first.x0, y1: first.y0, y2: first.y0 }), shapes.valve(24, first.y0));
    texts.append(svg("text", { x: 4, y: first.y0 - 14, class: "small" }, "gas in"));
    this.drawScale(plan, texts);
    return picture;
  }
  drawPipe(plan, p, walls, bodies) {
    const pipe = this.riser.pipes[p], place = plan.pipes[p], { thick } = place, ends = pipe.cell_ends, round = pipe.bore_m ? null : "round";
    const group = svg("g", { class: pipe.bore_m ? "pipe" : "pipe tank", "stroke-width": thick, click: () => set("focus", `${this.index}/${p}`) },
      svg("title", {}, pipeTip(this.riser, pipe)));
    walls.append(svg("path", { class: "wall", d: along(place, 0, 1), "stroke-width": thick + (plan.small ? 1.2 : 2), "stroke-linecap": round }));
    const shortest = place.at[0].long / pipe.cells, split = shortest > 7 ? 0.8 / place.at[0].long : 0;
    for (let c = 0; c < pipe.cells; ++c) {
      const from = c ? ends[c - 1] : 0, to = c + 1 < pipe.cells ? ends[c] - split : 1;
      const body = svg("path", { class: "cell", d: along(place, from, to), "stroke-linecap": round && pipe.cells === 1 ? round : null });
      const done = svg("path", { class: "done", d: along(place, from + split, to, thick / 2 + (plan.small ? 1.7 : 3.4)) });
      group.append(body, done);
      this.cells.push({ body, done });
    }
    if (Math.abs(pipe.pitch) > 0.99) {
      const marks = Math.max(1, Math.floor(place.at[0].long / 9));
      for (let k = 0; k < marks; ++k) group.append(svg("path", { class: "upright", d: along(place, (k + 0.35) / marks, Math.min(1, (k + 0.35) / marks + 1.6 / place.at[0].long)) }));
    }
    bodies.append(group);
  }
  /** Names of pipes along them, where there is room. */
  label(plan, texts) {
    this.riser.pipes.forEach((pipe, p) => {
      const { thick, at: [line] } = plan.pipes[p], u = units(), upright = line.dx === 0, room = (line.plain ?? line.long) - 8;
      if (upright && plan.spacing < 26) return;
      const name = pipe.name.length * MAP.letters > room && room < 60 ? "" : fitted(pipe.name, room);
      if (!name) return;
      const size = pipe.bore_m ? `${digits(u.toLength(pipe.length_m))} ${u.length}` : `${digits(u.toVolume(pipe.volume_m3))} ${u.volume}`;
      const both = name === pipe.name && (pipe.name.length + size.length + 3) * MAP.letters < room, left = line.x0 - thick / 2 - 4;
      const where = upright ? { transform: `translate(${left} ${line.y1 + (line.dy < 0 ? 4 : -4)}) rotate(-90)`, "text-anchor": line.dy < 0 ? "end" : "start" }
        : { x: 0.5 * (line.x0 + line.x1), y: line.y0 - thick / 2 - 6, "text-anchor": "middle" };
      texts.append(svg("text", { class: "name", ...where }, name, both ? svg("tspan", { class: "size", dx: 7 }, size) : null));
    });
  }
  drawLeaks(plan, signs) {
    for (const leak of this.riser.leaks) {
      if (leak.pipe < 0) continue;
      const { thick, at: [line] } = plan.pipes[leak.pipe];
      signs.append(fill(shapes.leak(line.x1 - 6 * line.dx - (thick / 2 + 8) * Math.abs(line.dy), line.y1 - 6 * line.dy + (thick / 2 + 6) * Math.abs(line.dx)), {}, [svg("title", {}, leak.words[state.system])]));
    }
  }
  drawScale(plan, texts) {
    if (!plan.scale || !this.riser.pipes.some((pipe) => pipe.length_m)) return;
    const u = units(), perUnit = plan.scale / u.toLength(1), wanted = 90 / perUnit;
    const power = 10 ** Math.floor(Math.log10(wanted));
    const round = [5, 2, 1].map((m) => m * power).find((v) => v <= wanted), width = round * perUnit, y = plan.height - 8;
    texts.append(svg("path", { class: "ruler", d: `M${PLAN.left} ${y - 4}v4h${width}v-4` }),
      svg("text", { x: PLAN.left + width + 6, y, class: "small" }, `${digits(round)} ${u.length}`));
  }
  /** Colours of a moment. */
  paint(row) {
    const run = this.run, first = this.riser.first;
    for (let i = 0; i < this.cells.length; ++i) {
      const oxygen = run.oxygen.at(row, first + i), cell = this.cells[i], colour = oxygenScale.colour(oxygen);
      const done = atTarget(oxygen);
      if (cell.colour !== colour) cell.body.setAttribute("stroke", cell.colour = colour);
      if (cell.was !== done) {
        cell.was = done;
        cell.done.setAttribute("visibility", done ? "visible" : "hidden");
      }
    }
    for (const vent of this.vents) paintVent(vent, run, row, this.riser);
    for (const sample of this.samples) paintSample(sample, run, row);
    const dips = this.dips.map((dip) => ` ${paintLowPoint(dip, run, row, this.riser)}.`).join("");
    this.caption.textContent = `Map of ${this.riser.name} at ${dayText(run.times[row])}: oxygen from ` +
      `${percent(this.least(row))} to ${percent(run.worstAt(row, this.index))}, most in ${run.worstPlace(row, this.index)}.${dips}`;
  }
  least(row) {
    let least = 1;
    for (let i = 0; i < this.cells.length; ++i) least = Math.min(least, this.run.oxygen.at(row, this.riser.first + i));
    return least;
  }
}
