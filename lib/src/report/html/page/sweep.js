// A sweep: values along axes, or spreads, and what came of them.

/** A bar for each entry, with its number beside it. */
function barList(entries) {
  const most = Math.max(...entries.map((e) => e.share), 1e-9);
  return el("ul", { class: "bars" }, entries.map((e) => el("li", {}, el("div", {}, e.label, " ", el("b", {}, e.text)),
    el("div", { class: "track-of", "aria-hidden": "true" }, el("div", { class: "bar", style: { width: `${Math.max(0, (100 * e.share) / most)}%` } })))));
}

/** Share of runs on target by each day. */
function spreadPanel(point, name) {
  const days = point.days, whole = point.runs;
  return new Panel({ title: name ? `On target by day, with ${name}` : "Share of the runs on target by each day", ownX: true, table: true, height: 250, depends: "system", make: () => {
    const end = Math.min(data.duration_s / DAY, 1.25 * days[days.length - 1]), x = [0, ...days, end], share = [0, ...days.map((_, i) => (100 * (i + 1)) / days.length * (point.met / whole)), (100 * point.met) / whole];
    return { x: Float64Array.from(x), range: [0, end], xLabel: "days", lines: [{ label: "of the runs are on target by then", colour: "--line-1", steps: true, width: 2.4, values: Float64Array.from(share) }],
      fromZero: true, least: 100, format: (v) => `${digits(v)} %` };
  } });
}

/** Days to target along the only axis. */
function axisPanel() {
  const axis = data.study.axes[0];
  return new Panel({ title: "Days to target", ownX: true, table: true, height: 250, depends: "system", make: () => {
    const points = data.study.points, x = Float64Array.from(points, (p) => p.values[state.system][0]);
    const order = [...x.keys()].sort((a, b) => x[a] - x[b]), room = (Math.max(...x) - Math.min(...x)) * 0.04 || 1;
    const series = (pick) => order.map((k) => { const t = pick(points[k]); return t === null ? null : t / DAY; });
    const xs = Float64Array.from(order, (k) => x[k]);
    const lines = points[0].p50 === undefined
      ? [{ label: "days to target", colour: "--line-1", values: series((p) => p.time_to_target_s) }]
      : [{ label: "90 % of the runs", colour: "--line-2", dash: DASHES[1], values: series((p) => p.p90) }, { label: "half of them", colour: "--line-1", width: 2.6, values: series((p) => p.p50) },
        { label: "10 %", colour: "--line-3", dash: DASHES[2], values: series((p) => p.p10) }];
    return { x: xs, range: [Math.min(...x) - room, Math.max(...x) + room], xLabel: `${axis.key} [${axis.unit[state.system]}]`, lines, fromZero: true, least: 1, format: (v) => digits(v) };
  } });
}

STUDIES.sweep = () => {
  const s = data.study, parts = [];
  if (s.axes.length === 1 && s.points.length > 1) parts.push(axisPanel().node);
  const head = () => words().columns.map((c, i) => (i < s.axes.length ? c : num(c)));
  parts.push(live("system", () => table(head(), words().points, { caption: s.spread ? "What came of the runs" : "Every run" })));
  if (s.spread) s.points.slice(0, 6).forEach((point, k) => {
    if (point.days.length) parts.push(spreadPanel(point, s.axes.length ? words().points[k].slice(0, s.axes.length).join(", ") : "").node);
    if (point.indices.length) parts.push(el("h3", {}, "What matters most"), el("p", { class: "note" }, "Share of the spread in days to target that each unknown accounts for, with its interplay with others."),
      barList([...point.indices].sort((a, b) => b.total - a.total).map((i) => ({ label: i.key, share: i.total, text: `${i.total.toFixed(2)} ± ${i.total_error.toFixed(2)}` }))));
  });
  return el("section", { id: "study", "aria-labelledby": "study-h" }, el("h2", { id: "study-h" }, s.spread ? "How sure is it?" : "What the values do"),
    live("system", () => list(words().varied, { class: "rests" })), parts);
};
