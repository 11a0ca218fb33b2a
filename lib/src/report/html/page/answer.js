// The first screen: the answer for each riser, all on one line of time, what was asked, what it rests on.

const mark = (met) => el("span", { class: met === null ? "mark-open" : met ? "mark-met" : "mark-missed" },
  met === null ? "–" : met ? "✓" : "✕");

function sentences() {
  return el("ul", { class: "answers" }, words().sentences.map((s) =>
    el("li", { class: s.met === false ? "missed" : s.met ? "met" : "open" }, mark(s.met), el("p", {}, el("strong", {}, s.name), " ", s.text))));
}

/** Days of all risers on one line of time. */
function timelinePicture(width) {
  const rows = timelineRows(), risers = rows.map((entry) => entry.riser), end = data.duration_s, narrow = width < 600, row = 34, top = run().plant.dates.length ? 40 : 18;
  const left = Math.min(narrow ? 96 : 220, 26 + 7.6 * Math.max(...rows.map((entry) => entry.name.length))), right = narrow ? 82 : 116;
  const x = (t) => left + ((width - left - right) * t) / end, height = top + risers.length * row + 30, bottom = top + risers.length * row;
  const unit = inHours ? HOUR : DAY, step = [1, 2, 3, 4, 5, 6, 7, 10, 12, 14, 20, 24, 50, 100].find((s) => end / unit / s <= (narrow ? 7 : 12)) || 200;
  const picture = svg("svg", { viewBox: `0 0 ${width} ${height}`, width, height, class: "timeline", role: "img", "aria-label": "When each riser is filled and on target" });
  for (let t = 0; t <= end + 1; t += step * unit) picture.append(
    svg("line", { class: "grid", x1: x(t), x2: x(t), y1: top - 6, y2: bottom }),
    svg("text", { x: x(t), y: bottom + 18, "text-anchor": "middle", class: "small" }, String(Math.round(t / unit))));
  picture.append(svg("text", { x: width - right + 16, y: bottom + 18, class: "small" }, axisTimeName));
  risers.forEach((riser, i) => {
    const y = top + i * row + 6, h = row - 16;
    const filled = riser.fill_start_s !== null && riser.fill_time_s !== null ? riser.fill_start_s + riser.fill_time_s : null;
    picture.append(svg("text", { x: left - 12, y: y + h - 4, "text-anchor": "end", class: "who" }, fitted(rows[i].name, (left - 14) * 0.88)),
      svg("rect", { class: "below", x: x(0), y, width: x(end) - x(0), height: h, rx: 4 }));
    for (const [from, to] of riser.at_target_s) picture.append(
      svg("rect", { class: "at", x: x(from), y, width: Math.max(1.5, x(to) - x(from)), height: h, rx: 4 }));
    if (filled !== null) picture.append(svg("line", { class: "filled", x1: x(filled), x2: x(filled), y1: y - 3, y2: y + h + 3 }, svg("title", {}, `filled ${duration(filled)} after the start`)));
    picture.append(svg("text", { x: x(end) + 12, y: y + h - 4, class: riser.time_to_target_s === null ? "when missed" : "when" },
      riser.time_to_target_s === null ? "not at the end" : inHours ? duration(riser.time_to_target_s) : dayText(riser.time_to_target_s)));
  });
  for (const date of run().plant.dates) picture.append(svg("line", { class: "date", x1: x(date.time_s), x2: x(date.time_s), y1: top - 8, y2: bottom }),
    svg("text", { x: x(date.time_s), y: top - 12, "text-anchor": "middle", class: "small" }, fitted(date.words[state.system], 180)));
  return picture;
}

/** Risers of the run, or of all runs where they are compared. */
function timelineRows() {
  if (data.verb !== "compare") return run().result.risers.map((riser) => ({ name: riser.name, riser }));
  return runs.map((r, k) => r.result.risers.map((riser) => ({ name: `${letter(k)} ${riser.name}`, riser }))).flat();
}

function timeline() {
  const holder = el("div", {}), rows = timelineRows();
  let width = 0;
  const draw = () => {
    width = printing.now ? 660 : holder.clientWidth;
    if (width > 50) holder.replaceChildren(timelinePicture(width));
  };
  timeline.draw = draw;
  new ResizeObserver(() => { if (!printing.now && Math.abs(holder.clientWidth - width) > 4) draw(); }).observe(holder);
  return el("figure", { class: "line-of-time" }, el("figcaption", {}, "When is each riser on target?"), holder,
    el("p", { class: "keys", "aria-hidden": "true" }, key("below", "below target"), key("at", "every part on target"), key("filled", "fill complete")),
    unfold("Numbers behind this line", () => table(["Riser", num("Filled in"), "On target"], rows.map(({ name, riser }) => [name,
      riser.fill_time_s === null ? "never" : duration(riser.fill_time_s),
      riser.at_target_s.map(([a, b]) => `${dayText(a)} to ${dayText(b)}`).join(", ") || "never"]), { caption: "When each riser is filled and on target" })));
}
const key = (kind, text) => el("span", { class: "key" }, svg("svg", { width: 22, height: 14, class: "timeline" },
  kind === "filled" ? svg("line", { class: kind, x1: 11, x2: 11, y1: 0, y2: 14 }) : svg("rect", { class: kind, x: 0, y: 2, width: 22, height: 10, rx: 3 })), text);

function asked() {
  return table(["Asked", "Wanted", "Found", "Met"], words().asked.map((a) => [a.what, a.wanted, a.found,
    el("span", { class: a.met ? "yes" : "no" }, mark(a.met), a.met ? " yes" : " no")]), { caption: "What was asked for, and whether it is met", quiet: true, class: "asked" });
}

function list(items, attributes = {}) {
  return el("ul", attributes, items.map((text) => el("li", {}, text)));
}

function switcher(label, name, choices) {
  return el("div", { class: "switch", role: "group", "aria-label": label }, el("span", { class: "switch-label" }, label), choices.map(([value, text, title]) => {
    const button = el("button", { type: "button", title, click: () => set(name, value) }, text);
    const show = () => button.setAttribute("aria-pressed", String(state[name] === value));
    on(name, show);
    show();
    return button;
  }));
}

function heading() {
  const themes = el("button", { type: "button", click: () => {
    document.documentElement.dataset.theme = isDark() ? "light" : "dark";
    themeChanged();
  } }, "Light or dark");
  return el("header", {},
    el("div", { class: "tools no-print" }, switcher("Units", "system", [["us", "US"], ["si", "SI"]]), themes,
      el("button", { type: "button", click: () => print() }, "Print")),
    el("p", { class: "kind" }, data.kind),
    el("h1", {}, data.title || "Untitled plant"),
    live("system", () => el("p", { class: "lead" }, words().lead)));
}

function answerSection() {
  return el("section", { id: "answer", "aria-labelledby": "answer-h" },
    live("system", () => el("h2", { id: "answer-h", class: words().met === false ? "verdict missed" : "verdict met" }, words().verdict)),
    live("system", sentences),
    runs.length ? live("run system", timeline) : null);
}
function askedSection() {
  return el("section", { class: "two" }, el("div", {}, el("h3", {}, "Asked for"), live("system", asked)),
    el("div", {}, el("h3", {}, "What this rests on"), live("system", () => list(words().assumptions, { class: "rests" }))));
}
