// Tables: what stands behind maps and plots, for readers of screens and for those who want the numbers.

function table(head, rows, more = {}) {
  const numeric = head.map((h) => typeof h === "object" && h.numeric);
  return el("div", { class: "scroll", tabindex: 0, role: "region", "aria-label": more.caption || "Table" },
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

/** The numbers of a panel at some thirty moments. */
function numbersTable(panel) {
  return unfold("Numbers behind this plot", () => {
    const what = panel.make(), lines = what.lines.filter((line) => line.values.length === what.x.length).slice(0, 40);
    const rows = new Set();
    for (let k = 0; k < what.x.length; ++k) if (what.x.length <= 40 || k % Math.ceil(what.x.length / 32) === 0) rows.add(k);
    rows.add(what.x.length - 1);
    return table([num(what.xLabel || axisTimeName), ...lines.map((line) => num(line.label))],
      [...rows].map((k) => [digits(what.x[k], 4), ...lines.map((line) => line.values[k] === null || line.values[k] === undefined ? "" : (what.value || digits)(line.values[k]))]),
      { caption: panel.name() });
  }, panel.depends || "system run focus", { class: "numbers" });
}

/** What every riser does at the moment shown. */
function momentTable() {
  const r = run(), row = state.row;
  return table(["Riser", num("Pressure"), num("Average oxygen"), num("Most oxygen"), "where", num("Nitrogen there"), "On target", num("Gas supplied so far")],
    r.plant.risers.map((riser, i) => [riser.name, pressureText(r.pressure.at(row, i)), percent(r.averageAt(row, i)), percent(r.worstAt(row, i)),
      r.worstPlace(row, i), percent(1 - r.worstAt(row, i)), atTarget(r.worstAt(row, i)) ? "yes" : "not yet", gasText(r.supplied.at(row, i))]),
    { caption: `All risers at ${momentText(row)}`, class: "moment-table" });
}

/** Every compartment at the moment shown. */
function compartmentTable() {
  const r = run(), row = state.row;
  return table(["Riser", "Pipe", num("Part"), num("Oxygen"), num("Nitrogen"), "On target", num("On target from")],
    r.cells.map((cell, i) => {
      const riser = r.plant.risers[cell.riser], pipe = riser.pipes[cell.pipe], oxygen = r.oxygen.at(row, i);
      const since = r.result.risers[cell.riser].final.pipes[cell.pipe].time_to_target_s[cell.cell];
      return [riser.name, pipe.name, String(cell.cell + 1), percent(oxygen), percent(1 - oxygen), atTarget(oxygen) ? "yes" : "not yet",
        since === null ? "not at the end" : dayText(since)];
    }), { caption: `All parts at ${momentText(row)}`, class: "compartments" });
}
