// The first screen: the answer for each system, all on one line of time, what was asked, what it rests on.

const mark = (met) => el("span", { class: met === null ? "mark-open" : met ? "mark-met" : "mark-missed" },
  met === null ? "–" : met ? "✓" : "✕");

/** From so many risers on, all of them are told briefly on the first screen, and not all are drawn on paper. */
const MANY_RISERS = 6;

function sentences() {
  return el("ul", { class: words().sentences.length > MANY_RISERS ? "answers many" : "answers" }, words().sentences.map((s) =>
    el("li", { class: s.met === false ? "missed" : s.met ? "met" : "open" }, mark(s.met), el("p", {}, el("strong", {}, s.name), " ", s.text))));
}

/** Three answers that may be weeks apart: what analysers read, the average, every part. */
function answersTable() {
  const answers = words().answers;
  if (!answers) return null;
  const heads = ["at vents and sampling points", "on average", "in every part"];
  return el("div", { class: "three" }, table(["Target met", ...heads.map((text, k) => num(k === answers.asked ? `${text} (asked for)` : text))],
    answers.systems.map((s) => [s.name, ...s.times.map((time, k) => (k === answers.asked ? el("strong", {}, time) : time))]),
    { caption: "When an analyser reads the target, when the average is there, and when every part is", quiet: true, class: "answers-table" }),
  answers.cells ? el("p", { class: "note" }, answers.cells) : null);
}

/** What would help where the target is missed, and what nobody knows exactly. */
function moreAnswers() {
  const { remedies, unknowns } = words(), some = (part) => part && part.lines.length;
  return [some(remedies) ? el("div", { class: "remedies" }, el("h3", {}, "What would help"),
    table(["What to do", "Target met after"], remedies.lines, { caption: "What would help, and the time each would take", quiet: true }),
    list(remedies.cautions, { class: "rests note" })) : null,
  some(unknowns) ? el("div", { class: "unknowns" }, el("h3", {}, "What nobody knows exactly"),
    table(["If", "Target met after"], unknowns.lines, { caption: "How the time to target depends on what nobody knows exactly", quiet: true }),
    unknowns.sentence ? el("p", {}, unknowns.sentence) : null) : null];
}

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
    el("h1", {}, data.title || "Untitled"),
    live("system", () => el("p", { class: "lead" }, words().lead)));
}

function answerSection() {
  return el("section", { id: "answer", "aria-labelledby": "answer-h" },
    live("system", () => el("h2", { id: "answer-h", class: words().met === false ? "verdict missed" : "verdict met" }, words().verdict)),
    live("system", sentences), live("system", () => [answersTable()]),
    runs.length ? live("run system", timeline) : null, live("system", moreAnswers));
}
function askedSection() {
  return el("section", { class: "two" }, el("div", {}, el("h3", {}, "Asked for"), live("system", asked)),
    el("div", {}, el("h3", {}, "What this rests on"), live("system", () => list(words().assumptions, { class: "rests" }))));
}
