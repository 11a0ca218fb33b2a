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

/** Time to target of a point of the sweep; of half of its runs where they have a spread. */
const pointTime = (point) => (point.p50 === undefined ? point.time_to_target_s : point.p50) ?? null;

/** Two axes as a field: a row for each value of the first, a column for each of the second, darker the longer. */
function fieldTable() {
  const { axes, points } = data.study, lines = words().points, label = (i) => [...new Set(lines.map((line) => line[i]))];
  const rows = label(0), columns = label(1), found = new Map(lines.map((line, k) => [`${line[0]}\n${line[1]}`, pointTime(points[k])]));
  const times = points.map(pointTime).filter((t) => t !== null), least = Math.min(...times), most = Math.max(...times, least * 1.0001);
  const shade = (t) => { const place = Math.sqrt((t - least) / (most - least)), light = 92 - 58 * place; return { background: `hsl(211 45% ${light}%)`, color: light > 52 ? "#10202f" : "#fff" }; };
  const cell = (a, b) => {
    const time = found.get(`${a}\n${b}`) ?? null;
    return el("td", time === null ? { class: "unmet" } : { style: shade(time) }, time === null ? "not met" : (time / DAY).toFixed(2));
  };
  return el("div", { class: "scroll", tabindex: 0, role: "region", "aria-label": "Days to target" }, el("table", { class: "field" },
    el("caption", {}, `${data.study.spread ? "Days within which half of the runs are on target" : "Days to target"}: down, ${axes[0].key}; across, ${axes[1].key}. Darker is longer.`),
    el("thead", {}, el("tr", {}, el("td", {}), columns.map((text) => el("th", { scope: "col" }, text)))),
    el("tbody", {}, rows.map((a) => el("tr", {}, el("th", { scope: "row" }, a), columns.map((b) => cell(a, b)))))));
}

/** The same as curves: along the second axis, one for each value of the first. */
function crossedPanel() {
  const { axes, points } = data.study;
  return new Panel({ title: "Days to target", ownX: true, table: true, height: 250, depends: "system", make: () => {
    const lines = words().points, names = [...new Set(lines.map((line) => line[0]))], u = state.system;
    const x = [...new Set(points.map((p) => p.values[u][1]))].sort((a, b) => a - b), room = (x[x.length - 1] - x[0]) * 0.04 || 1;
    const values = (name) => x.map((at) => { const k = points.findIndex((p, i) => lines[i][0] === name && p.values[u][1] === at), t = k < 0 ? null : pointTime(points[k]); return t === null ? null : t / DAY; });
    return { x: Float64Array.from(x), range: [x[0] - room, x[x.length - 1] + room], xLabel: `${axes[1].key} [${axes[1].unit[u]}]`, fromZero: true, least: 1, format: (v) => digits(v),
      lines: names.map((name, k) => ({ label: name, colour: LINES[k % LINES.length], dash: DASHES[k % DASHES.length], width: 2.2, values: values(name) })) };
  } });
}

STUDIES.sweep = () => {
  const s = data.study, parts = [];
  if (s.axes.length === 1 && s.points.length > 1) parts.push(axisPanel().node);
  if (s.axes.length === 2) {
    parts.push(live("system", () => [fieldTable()]));
    if (new Set(s.points.map((p) => p.values.si[0])).size <= LINES.length) parts.push(el("p", { class: "note" }, `Each curve is for a value of ${s.axes[0].key}:`), crossedPanel().node);
  }
  const head = () => words().columns.map((c, i) => (i < s.axes.length ? c : num(c)));
  const every = () => table(head(), words().points, { caption: s.spread ? "What came of the runs" : "Every run" });
  parts.push(s.axes.length === 2 ? unfold("Every value with its numbers", every, "system", { class: "numbers", "data-print": "open" }) : live("system", every));
  if (s.spread) s.points.slice(0, 6).forEach((point, k) => {
    if (point.days.length) parts.push(spreadPanel(point, s.axes.length ? words().points[k].slice(0, s.axes.length).join(", ") : "").node);
    if (point.indices.length) parts.push(el("h3", {}, "What matters most"), el("p", { class: "note" }, "Share of the spread in days to target that each unknown accounts for, with its interplay with others."),
      barList([...point.indices].sort((a, b) => b.total - a.total).map((i) => ({ label: i.key, share: i.total, text: `${i.total.toFixed(2)} ± ${i.total_error.toFixed(2)}` }))));
  });
  return el("section", { id: "study", "aria-labelledby": "study-h" }, el("h2", { id: "study-h" }, s.spread ? "How sure is it?" : "What the values do"),
    live("system", () => list(words().varied, { class: "rests" })), parts);
};
