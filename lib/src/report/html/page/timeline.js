// Days of all systems on one line of time, with what is done on dates.

/** Risers of the run, or of all runs where they are compared. */
function timelineRows() {
  if (data.verb !== "compare") return run().result.risers.map((riser) => ({ name: riser.name, riser, of: state.run }));
  return runs.map((r, k) => r.result.risers.map((riser) => ({ name: `${letter(k)} ${riser.name}`, riser, of: k }))).flat();
}

/** Where everything lies in a picture of so many pixels. */
function timelinePlan(width, rows) {
  const narrow = width < 600, row = 34, top = run().plant.dates.length ? 36 : 18, end = data.duration_s;
  const left = Math.min(narrow ? 96 : 220, 26 + 7.6 * Math.max(...rows.map((entry) => entry.name.length))), right = narrow ? 82 : 116;
  const unit = inHours ? HOUR : DAY, step = [1, 2, 3, 4, 5, 6, 7, 10, 12, 14, 20, 24, 50, 100].find((s) => end / unit / s <= (narrow ? 7 : 12)) || 200;
  return { width, narrow, row, top, left, right, end, step: step * unit, unit, bottom: top + rows.length * row, height: top + rows.length * row + 30,
    x: (t) => left + ((width - left - right) * t) / end };
}

/** The stretches of a run that are not among these. */
function complement(stretches, end) {
  const ends = [0, ...stretches.flat(), end];
  return Array.from({ length: ends.length / 2 }, (_, k) => [ends[2 * k], ends[2 * k + 1]]).filter(([a, b]) => b > a);
}

function timelineRow(plan, { name, riser }, y) {
  const { x, left, end } = plan, h = plan.row - 16;
  const bar = (kind, least) => ([from, to]) => svg("rect", { class: kind, x: x(from), y, width: Math.max(least, x(to) - x(from)), height: h, rx: 4 });
  const filled = riser.fill_start_s !== null && riser.fill_time_s !== null ? [riser.fill_start_s + riser.fill_time_s] : [];
  filled.push(...(riser.refills_s || []).map(([, done]) => done));
  return [svg("text", { x: left - 12, y: y + h - 4, "text-anchor": "end", class: "who" }, fitted(name, (left - 14) * 0.88)),
    complement(riser.at_target_s, end).map(bar("below", 0.5)), riser.at_target_s.map(bar("at", 1.5)),
    filled.map((t) => svg("line", { class: "filled", x1: x(t), x2: x(t), y1: y - 3, y2: y + h + 3 }, svg("title", {}, `filled ${duration(t)} after the start`))),
    [["reads", riser.time_at_readings_s, "analysers at all vents and sampling points read the target"], ["mean", riser.time_of_average_s, "the average meets the target"]].map(([kind, t, text]) =>
      (t === null || t === undefined ? null : answerMark(kind, x(t), y + h / 2, `${text} ${duration(t)} after the start`))),
    svg("text", { x: x(end) + 12, y: y + h - 4, class: riser.time_to_target_s === null ? "when missed" : "when" },
      riser.time_to_target_s === null ? (plan.narrow ? "not met" : "not at the end") : inHours ? duration(riser.time_to_target_s) : dayText(riser.time_to_target_s))];
}

/** A triangle where analysers read the target, a diamond where the average meets it. */
function answerMark(kind, x, y, title) {
  return svg("path", { class: `answer-mark ${kind}`, d: kind === "reads" ? `M${x - 5} ${y - 5}h10l-5 9z` : `M${x} ${y - 6}l6 6-6 6-6-6z` }, title ? svg("title", {}, title) : null);
}

/** A numbered mark for every date, and its words where there is room for them. */
function timelineDates(plan, rows) {
  const dates = run().plant.dates, mine = rows.flatMap((entry, i) => (entry.of === state.run ? [i] : []));
  const y1 = plan.top + mine[0] * plan.row - 8, y2 = plan.top + (mine[mine.length - 1] + 1) * plan.row;
  let free = -Infinity;
  return dates.map((date, k) => {
    const at = plan.x(date.time_s), next = k + 1 < dates.length ? plan.x(dates[k + 1].time_s) : plan.width, words = date.words[state.system];
    const line = svg("line", { class: "date", x1: at, x2: at, y1, y2 }, svg("title", {}, `${k + 1}: ${words}, ${dayText(date.time_s)}`));
    if (at < free) return line;
    free = at + 18;
    return [line, svg("circle", { class: "flag", cx: at, cy: y1 - 8, r: 8.5 }), svg("text", { class: "flag-number", x: at, y: y1 - 4.2, "text-anchor": "middle" }, String(k + 1)),
      6.2 * words.length + 30 < next - at ? svg("text", { class: "small", x: at + 14, y: y1 - 4 }, words) : null];
  });
}

function timelinePicture(width) {
  const rows = timelineRows(), plan = timelinePlan(width, rows), { x, top, bottom } = plan;
  const picture = svg("svg", { viewBox: `0 0 ${width} ${plan.height}`, width, height: plan.height, class: "timeline", role: "img", "aria-label": "When each system is filled and meets the target" });
  for (let t = 0; t <= plan.end + 1; t += plan.step) picture.append(
    svg("line", { class: "grid", x1: x(t), x2: x(t), y1: top - 6, y2: bottom }),
    svg("text", { x: x(t), y: bottom + 18, "text-anchor": "middle", class: "small" }, String(Math.round(t / plan.unit))));
  picture.append(svg("text", { x: width - plan.right + 16, y: bottom + 18, class: "small" }, axisTimeName));
  return fill(picture, {}, [rows.map((entry, i) => timelineRow(plan, entry, top + i * plan.row + 6)), timelineDates(plan, rows)]);
}

const TARGET_MET = ["read at all vents and sampling points", "met on average", "met in every part"];
const key = (kind, text) => el("span", { class: "key" }, svg("svg", { width: 22, height: 14, class: "timeline" },
  kind === "reads" || kind === "mean" ? answerMark(kind, 11, 7) : kind === "filled" ? svg("line", { class: kind, x1: 11, x2: 11, y1: 0, y2: 14 }) : svg("rect", { class: kind, x: 0, y: 2, width: 22, height: 10, rx: 3 })), text);

function timeline() {
  const holder = el("div", {}), rows = timelineRows();
  let width = 0;
  const draw = () => {
    width = printing.now ? printing.whole : holder.clientWidth;
    if (width > 50) holder.replaceChildren(timelinePicture(width));
  };
  timeline.draw = draw;
  new ResizeObserver(() => { if (!printing.now && Math.abs(holder.clientWidth - width) > 4) draw(); }).observe(holder);
  return el("figure", { class: "line-of-time" }, el("figcaption", {}, "When does each system meet the target?"), holder,
    el("p", { class: "keys", "aria-hidden": "true" }, key("below", "target not met"), key("at", TARGET_MET[words().answers?.asked ?? 2]), key("filled", "fill complete"), key("reads", "analysers read the target"), key("mean", "average meets the target")),
    run().plant.dates.length > 3 ? unfold("What is done, and when", datesTable, "", { class: "numbers", "data-print": "open" }) : datesTable(),
    run().result.stretches ? unfold("What each stretch between them brings", stretchTable, "", { class: "numbers", "data-print": "open" }) : null,
    unfold("Numbers behind this line", () => table(["System", num("Filled in"), "Target met"], rows.map(({ name, riser }) => [name,
      riser.fill_time_s === null ? "never" : duration(riser.fill_time_s),
      riser.at_target_s.map(([a, b]) => `${dayText(a)} to ${dayText(b)}`).join(", ") || "never"]), { caption: "When each system is filled and meets the target" })));
}
