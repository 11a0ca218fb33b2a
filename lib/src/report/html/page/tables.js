// Tables: what stands behind maps and plots, for readers of screens and for those who want the numbers.

function table(head, rows, more = {}) {
  const numeric = head.map((h) => typeof h === "object" && h.numeric);
  return el("div", { class: more.box ? `scroll ${more.box}` : "scroll", tabindex: 0, role: "region", "aria-label": more.caption || "Table" },
    el("table", { class: more.class },
      more.caption ? el("caption", {}, more.quiet ? el("span", { class: "unseen" }, more.caption) : more.caption) : null,
      el("thead", {}, el("tr", {}, head.map((h, i) => el("th", { scope: "col", class: numeric[i] ? "num" : null }, typeof h === "object" ? h.text : h)))),
      el("tbody", {}, rows.map((row) => el("tr", {}, row.map((cell, i) =>
        i === 0 ? el("th", { scope: "row" }, cell) : el("td", { class: numeric[i] ? "num" : null }, cell)))))));
}
const num = (text) => ({ text, numeric: true });

/** A part that is made when it is opened, and anew when what it shows changes. */
function unfold(summary, make, names = "", attributes = {}) {
  const body = el("div", {});
  let stale = true;
  const node = el("details", attributes, el("summary", {}, summary), body);
  const renew = () => {
    if (!node.open) { stale = true; return; }
    stale = false;
    body.replaceChildren(...[make()].flat());
  };
  node.addEventListener("toggle", () => { if (node.open && stale) renew(); });
  if (names) on(names, renew);
  node.unfold = () => { node.open = true; renew(); };
  return node;
}

/** A line's value as it is read: bars that stand on others are drawn higher than that. */
const shownValue = (line, k) => (line.shown || line.values)[k] ?? null;

/** The numbers of a panel at some thirty moments. */
function numbersTable(panel) {
  return unfold("Numbers behind this plot", () => {
    const what = panel.make(), lines = what.lines.filter((line) => line.values.length === what.x.length).slice(0, 40);
    const rows = new Set();
    for (let k = 0; k < what.x.length; ++k) if (what.x.length <= 40 || k % Math.ceil(what.x.length / 32) === 0) rows.add(k);
    rows.add(what.x.length - 1);
    return table([num(what.xLabel || axisTimeName), ...lines.map((line) => num(line.label))],
      [...rows].map((k) => [digits(what.x[k], 4), ...lines.map((line) => shownValue(line, k) === null ? "" : (what.value || digits)(shownValue(line, k)))]),
      { caption: panel.name() });
  }, panel.depends || "system run focus", { class: "numbers" });
}

/** What every system does at the moment shown. */
function momentTable() {
  const r = run(), row = state.row;
  return table(["System", num("Pressure"), num("Average oxygen"), num("Most oxygen"), "where", num("Nitrogen there"), "Target met", num("Gas supplied so far")],
    r.plant.risers.map((riser, i) => [riser.name, pressureText(r.pressure.at(row, i)), percent(r.averageAt(row, i)), percent(r.worstAt(row, i)),
      r.worstPlace(row, i), percent(1 - r.worstAt(row, i)), atTarget(r.worstAt(row, i)) ? "yes" : "not yet", gasText(r.supplied.at(row, i))]),
    { caption: `All systems at ${momentText(row)}`, class: "moment-table" });
}

const PASSAGES = ["open", "closed by water, gas bubbles through", "closed by water"];
const VENT_STATES = ["shut", "open", "shut by water"];

/** What the water at low points does at the moment shown. */
function lowPointTable() {
  const r = run(), row = state.row;
  if (!r.plant.low_point_count) return null;
  const rows = r.plant.risers.map((riser) => riser.low_points.map((point, k) => {
    const [before, behind] = r.sidesOf(riser, point), spot = riser.first_low_point + k;
    return [point.name, riser.name, PASSAGES[r.passageAt(row, spot)], waterText(r.water.at(row, spot)), pressureText(r.pressureAt(row, before)),
      pressureText(r.pressureAt(row, behind)), differenceText(r.heldAt(row, riser, point))];
  })).flat();
  return table(["Low point", "System", "State", num("Water"), num("Pressure before"), num("Pressure behind"), num("Difference")], rows,
    { caption: `Low points at ${momentText(row)}`, class: "low-points" });
}

/** How every vent stands at the moment shown. */
function ventTable() {
  const r = run(), row = state.row;
  return table(["Vent", "System", "State", "Kind"], r.plant.risers.map((riser) => riser.vents.map((vent, k) =>
    [vent.name, riser.name, VENT_STATES[r.ventAt(row, riser.first_vent + k)], vent.words[state.system]])).flat(),
  { caption: `Vents at ${momentText(row)}`, class: "vents" });
}

/** What is done on dates, numbered as on the lines of time. */
function datesTable() {
  const dates = run().plant.dates;
  if (!dates.length) return null;
  return table(["No.", "When", "What is done"], dates.map((date, k) => [String(k + 1), dayText(date.time_s), date.words[state.system]]),
    { caption: `What is done, and when${runs.length > 1 ? ` (${run().label})` : ""}`, class: "dates", box: "dates-table" });
}

/** What every system did between the dates. */
function stretchTable() {
  const gas = (m3) => `${digits(units().toGas(m3))} ${units().gas}`;
  const rows = run().result.stretches.map((stretch) => stretch.risers.map((riser) => [`${dayText(stretch.begin_s)} to ${dayText(stretch.end_s)}`, riser.name,
    riser.time_to_target_s === null ? "not in it" : `after ${duration(riser.time_to_target_s)}`, percent(riser.oxygen_begin), percent(riser.oxygen_end),
    riser.fill_time_s === null ? "no fill" : duration(riser.fill_time_s), gas(riser.supplied_std_m3)])).flat();
  return table(["Stretch", "System", "Target met", num("Most oxygen at its start"), num("at its end"), num("Filled in"), num("Gas supplied")], rows,
    { caption: "What each stretch brings", class: "stretches" });
}

/** Every cell at the moment shown. */
function compartmentTable() {
  const r = run(), row = state.row;
  const pressure = r.zoneOf ? (i) => [pressureText(r.pressureAt(row, i))] : () => [];
  return table(["System", "Pipe", num("Cell"), num("Oxygen"), num("Nitrogen"), "Target met", num("Met from"), ...(r.zoneOf ? [num("Pressure")] : [])],
    r.cells.map((cell, i) => {
      const riser = r.plant.risers[cell.riser], pipe = riser.pipes[cell.pipe], oxygen = r.oxygen.at(row, i);
      const since = r.result.risers[cell.riser].final.pipes[cell.pipe].time_to_target_s[cell.cell];
      return [riser.name, pipe.name, String(cell.cell + 1), percent(oxygen), percent(1 - oxygen), atTarget(oxygen) ? "yes" : "not yet",
        since === null ? "not at the end" : dayText(since), ...pressure(i)];
    }), { caption: `All cells at ${momentText(row)}`, class: "compartments" });
}
