// Map, clock and curves of the run that is looked at.

function lookAtPicker() {
  const options = () => [el("option", { value: "" }, "no pipe in particular"), run().plant.risers.map((riser, r) =>
    el("optgroup", { label: riser.name }, riser.pipes.map((pipe, p) => el("option", { value: `${r}/${p}` }, pipe.name))))];
  const picker = live("run", options, "select", { change: (e) => set("focus", e.target.value || null) });
  on("focus", () => { picker.value = state.focus || ""; });
  return el("label", { class: "pick" }, "Follow ", picker);
}
function runPicker() {
  if (runs.length < 2) return null;
  const picker = el("select", { change: (e) => showRun(Number(e.target.value)) }, runs.map((r, i) => el("option", { value: i, selected: i === state.run }, r.label)));
  on("run", () => { picker.value = state.run; });
  return el("label", { class: "pick" }, "Show ", picker);
}

function mapSection() {
  const many = data.plants.some((plant) => plant.risers.length > MANY_RISERS);
  const holder = el("div", { class: many ? "maps many" : "maps" });  // of many, those out of sight wait
  let maps = [], width = 0;
  const draw = () => {
    width = holder.clientWidth;
    if (width < 50) return;
    const r = run();
    const columns = many && width > 986 ? Math.floor((width + 26) / 506) : 1, each = Math.floor((width + 26) / columns) - 26;
    maps = r.plant.risers.map((_, i) => new RiserMap(r, i, Math.max(each, 300)));
    holder.replaceChildren(...maps.map((map) => el("figure", { class: "riser-map", style: { "contain-intrinsic-height": `auto ${map.height + 40}px` } }, el("figcaption", {}, el("strong", {}, map.riser.name), " ",
      el("span", {}, `${digits(units().toVolume(map.riser.volume_m3))} ${units().volume} of piping${map.riser.spread_leak ? ", leaks spread along it" : ""}`)), map.node)));
    paint();
  };
  const paint = () => maps.forEach((map) => map.paint(state.row));
  on("row", paint);
  on("run system theme", draw);
  new ResizeObserver(() => { if (Math.abs(holder.clientWidth - width) > 4) draw(); }).observe(holder);
  mapSection.draw = draw;
  return el("div", {}, el("div", { class: "map-head" }, live("theme", oxygenLegend), live("run", () => signKey(run().plant))), holder);
}

/** Four moments of a purge; where something is done on dates, what it was like just before and at the end as well. */
function printedRows(r, purge) {
  const last = r.times.length - 1, from = (t) => { const row = r.times.findIndex((time) => time >= t); return row < 0 ? last : row; };
  const dates = r.plant.dates.map((date) => date.time_s).filter((t) => t > 0), before = dates.slice(0, 2).map((t) => Math.max(0, from(t) - 1));
  const plain = (dates.length ? [0.1, 1] : [0.1, 0.35, 0.7, 1]).map((f) => from(f * purge));
  return [...new Set([...plain, ...before, ...(dates.length ? [last] : [])])].sort((a, b) => a - b);
}

/** Risers drawn on paper: all, or of many those that are last to be on target. */
function paperRisers() {
  const all = run().result.risers.map((riser, i) => ({ i, time: riser.time_to_target_s ?? Infinity }));
  if (all.length <= MANY_RISERS) return all.map((entry) => entry.i);
  return all.sort((a, b) => b.time - a.time || a.i - b.i).slice(0, MANY_RISERS).map((entry) => entry.i).sort((a, b) => a - b);
}

/** The piping at some moments, for paper. */
function printedMoments() {
  const r = run(), end = data.duration_s, last = r.result.risers.map((x) => x.time_to_target_s), risers = paperRisers();
  const purge = last.every((t) => t !== null) ? Math.max(...last) : end;
  const rows = printedRows(r, purge), few = risers.length > 3 ? [rows[Math.floor(rows.length / 2)], rows[rows.length - 1]] : rows;
  return el("div", { class: "only-print" }, risers.length < r.plant.risers.length ? el("p", {}, `The ${risers.length} of ${r.plant.risers.length} systems that are last to meet the target; the file shows all.`) : null,
    few.map((row) => el("div", { class: risers.length > 2 ? "shot long" : "shot" }, el("h4", {}, momentText(row)),
      risers.map((i) => {
        const map = new RiserMap(r, i, 660);
        map.paint(row);
        return el("figure", {}, el("figcaption", {}, r.plant.risers[i].name), map.node);
      }))));
}

const riserName = (index) => run().plant.risers[index]?.name ?? "";

function oxygenPanel(index) {
  return new Panel({ riser: index, title: () => `Oxygen in ${riserName(index)}`, here: () => index < run().plant.risers.length, table: true, make: () => {
    const r = run(), riser = r.plant.risers[index], lines = [], hundred = (v) => Math.max(100 * v, 0.005);
    const every = Math.ceil(riser.count / MANY_LINES), shown = Math.ceil(riser.count / every);
    for (let i = riser.first; i < riser.first + riser.count; i += every) lines.push({
      label: every > 1 ? `${shown} of ${riser.count} cells` : `each of ${riser.count} cells`, quiet: true, colour: "--line-faint", width: 1, values: r.oxygen.column(i, hundred) });
    const [fr, fp] = (state.focus || "-1/-1").split("/").map(Number);
    if (fr === index) {
      const pipe = riser.pipes[fp];
      for (let c = 0; c < pipe.cells; ++c) lines.push({ label: pipe.cells > 1 ? `${pipe.name}, cell ${c + 1}` : pipe.name, silent: pipe.cells > 8 && c > 0 && c < pipe.cells - 1,
        colour: "--line-3", width: 1.6, dash: c ? [6, 2 + c] : [], values: r.oxygen.column(pipe.first + c, hundred) });
    }
    lines.push({ label: "average", colour: "--line-1", width: 2, dash: DASHES[1], values: r.averageColumn(index, hundred) });
    lines.push({ label: "worst cell", colour: "--line-2", width: 2.6, values: r.worstColumn(index, hundred) });
    const x = Float64Array.from(r.times, axisTime);
    return { x, lines: [...lines, ...readingLines(index, "oxygen", x, hundred)], log: state.log, value: (v) => percent(v / 100), format: (v) => `${digits(v)} %`,
      limit: { value: 100 * (1 - data.target_purity), label: "target" }, fromZero: true };
  } });
}
/** Pressures of a riser: of all of it, of the zones that water parts, or of every part where friction is resolved. */
function pressureLines(r, index, change) {
  const riser = r.plant.risers[index], zone = (column) => r.zonePressure.column(r.zoneOf[column], change);
  if (!r.zoneOf) return [{ label: "all its parts", colour: "--line-1", values: r.pressure.column(index, change) }];
  const inlet = { label: riser.low_points.length || riser.count > 1 ? "where gas enters" : "all its parts", colour: "--line-1", width: 2.4, values: r.pressure.column(index, change) };
  if (riser.low_points.length) return [inlet, ...riser.low_points.slice(0, 5).map((point, k) => ({
    label: `behind ${point.name}`, colour: LINES[1 + k], dash: DASHES[1 + k], width: 2.2, values: zone(riser.pipes[point.pipe].first) }))];
  const zones = [...new Set(r.zoneOf.slice(riser.first, riser.first + riser.count))];
  if (zones.length < 2) return [inlet];
  const lowest = r.each((row) => change(Math.min(...zones.map((z) => r.zonePressure.at(row, z)))));
  return [inlet, { label: "lowest anywhere", colour: "--line-2", dash: DASHES[1], values: lowest }];
}
/** How much more pressure there is before each low point than behind it. */
function heldPanel(index) {
  if (!data.plants.some((plant) => plant.risers[index]?.low_points.length)) return null;
  const here = () => Boolean(run().plant.risers[index]?.low_points.length);
  return new Panel({ riser: index, title: () => `Pressure held by water in ${riserName(index)}`, here, table: true, height: 210, note: () => "Before each low point, less that behind it", make: () => {
    const r = run(), riser = r.plant.risers[index], u = units(), x = Float64Array.from(r.times, axisTime);
    return { x, lines: riser.low_points.slice(0, 6).map((point, k) => ({ label: point.name, colour: LINES[k], dash: DASHES[k], width: 2.2, values: r.each((row) => u.toDifference(r.heldAt(row, riser, point))) })),
      least: u.toDifference(100), format: (v) => digits(v), value: (v) => `${digits(Math.abs(v) < 5e-4 ? 0 : v)} ${u.difference}` };
  } });
}
function pressurePanel(index) {
  return new Panel({ riser: index, title: () => `Pressure in ${riserName(index)}`, here: () => index < run().plant.risers.length, table: true, height: 210, make: () => {
    const r = run(), x = Float64Array.from(r.times, axisTime), u = units();
    return { x, lines: [...pressureLines(r, index, u.toGauge), ...readingLines(index, "pressure_pa", x, u.toGauge)],
      least: state.system === "us" ? 2 : 0.15, fromZero: true, format: (v) => digits(v), value: (v) => `${v.toFixed(state.system === "us" ? 1 : 2)} ${u.gauge}` };
  } });
}

/** Readings as points, at the rows nearest to them. */
function readingLines(index, what, x, change) {
  const list = (data.readings || []).filter((reading) => reading.riser === index && reading[what] !== null);
  const pipes = [...new Set(list.map((reading) => reading.pipe))], colours = ["--line-4", "--line-5", "--line-6", "--line-3"];
  return pipes.map((p, k) => {
    const values = new Array(x.length).fill(null), errors = new Array(x.length).fill(0);
    for (const reading of list) if (reading.pipe === p) {
      const row = run().rowAt(reading.time_s);
      values[row] = change(reading[what]);
      errors[row] = Math.abs(change(reading[what] + reading[`${what}_uncertainty`]) - change(reading[what]));
    }
    const colour = colours[k % colours.length], pipe = data.plants[0].risers[index].pipes[p];
    const lines = [{ label: `read at ${pipe.name}`, colour, points: true, values, errors }];
    if (what === "oxygen") runs.forEach((other, i) => {
      const there = other.plant.risers[index].pipes.find((one) => one.name === pipe.name);
      if (!there) return;  // water has cut it off
      const column = there.first + there.cells - 1;
      lines.unshift({ label: `${pipe.name}, ${other.label}`, colour, dash: i === 0 && runs.length > 1 ? DASHES[2] : [], width: 2,
      values: Float64Array.from(run().times, (t) => change(other.between(t, (row) => other.oxygen.at(row, column)))) });
    });
    return lines;
  }).flat();
}

function dutyPanel() {
  if (!runs.some((r) => r.duty)) return null;
  return new Panel({ title: "How much the source runs", note: () => `Share of each ${duration(run().duty?.bin_s ?? 0)} that the machine runs`, height: 210, make: () => {
    const r = run(), d = r.duty, x = Float64Array.from(d.nitrogen, (_, i) => axisTime((i + 0.5) * d.bin_s));
    return { x, rowOf: () => Math.min(x.length - 1, Math.floor(r.times[state.row] / d.bin_s)), lines: [
      { label: "on nitrogen", colour: "--line-1", bars: true, shown: d.nitrogen.map((v) => 100 * v), values: Float64Array.from(d.nitrogen, (v, i) => 100 * (v + d.air[i])) },
      { label: "on plain air", colour: "--line-2", bars: true, values: Float64Array.from(d.air, (v) => 100 * v) }],
      fromZero: true, least: 10, format: (v) => `${digits(v)} %`, value: (v) => `${digits(v)} %` };
  }, table: true });
}
function gasPanel() {
  return new Panel({ title: "Gas used by all systems", table: true, height: 210, make: () => {
    const r = run(), x = Float64Array.from(r.times, axisTime);
    const sum = (series) => r.each((row) => { let s = 0; for (let i = 0; i < series.columns; ++i) s += series.at(row, i); return gasVolume(s); });
    return { x, lines: [{ label: "supplied", colour: "--line-1", values: sum(r.supplied) }, { label: "out through vents", colour: "--line-3", dash: DASHES[1], values: sum(r.vented) },
      { label: "out through leaks", colour: "--line-2", dash: DASHES[2], width: 2.5, values: sum(r.leaked) }],
      fromZero: true, least: 1, format: (v) => digits(v), value: (v) => `${digits(v)} ${units().gas}` };
  } });
}

function zoomBar() {
  const range = (seconds) => () => set("range", seconds === null ? null : [0, axisTime(seconds)]);
  const filled = Math.max(...run().result.risers.map((r) => (r.fill_start_s ?? 0) + (r.fill_time_s ?? 0)), 600);
  return el("div", { class: "zoom no-print", role: "group", "aria-label": "Stretch of time in the plots" },
    el("button", { type: "button", click: range(null) }, "Whole run"),
    data.duration_s > 2 * DAY ? el("button", { type: "button", click: range(DAY) }, "First day") : null,
    el("button", { type: "button", click: range(Math.min(data.duration_s, 1.6 * filled)) }, "Fills"),
    el("button", { type: "button", click: () => zoomBy(0.5), "aria-label": "Zoom in" }, "+"),
    el("button", { type: "button", click: () => zoomBy(2), "aria-label": "Zoom out" }, "−"),
    switcher("Oxygen scale", "log", [[true, "log"], [false, "linear"]]));
}

function watchSection() {
  const count = Math.max(...data.plants.map((plant) => plant.risers.length));
  return el("section", { id: "watch", "aria-labelledby": "watch-h" },
    el("h2", { id: "watch-h" }, "Watch the oxygen fall"),
    el("p", { class: "hint no-print" }, "Play, or drag the slider: map, table and the line in every plot go together. Arrow keys step it. A click on a pipe follows it in the plots."),
    el("div", { class: "pickers no-print" }, runPicker(), lookAtPicker()),
    mapSection(), el("div", { class: "print-shots" }), live("row run system", momentTable), live("row run system", () => [lowPointTable()]),
    unfold("Every cell at this moment", compartmentTable, "row run system", { class: "numbers", id: "parts" }),
    data.plants.some((plant) => plant.vent_count) ? unfold("Every vent at this moment", ventTable, "row run system", { class: "numbers", id: "vents" }) : null,
    el("h3", {}, "Curves"),
    el("p", { class: "hint no-print" }, "Drag across a plot to zoom all of them, double-click for the whole run, click to go to that moment. With a plot in focus: arrows move the moment, + and − zoom, 0 shows all."),
    zoomBar(),
    el("div", { class: "plots" }, Array.from({ length: count }, (_, i) => [oxygenPanel(i).node, pressurePanel(i).node, heldPanel(i)?.node]), dutyPanel()?.node, gasPanel().node),
    clockBar());
}
