// The first screen: the answer for each riser, all on one line of time, what was asked, what it rests on.

const mark = (met) => el("span", { class: met === null ? "mark-open" : met ? "mark-met" : "mark-missed" },
  met === null ? "–" : met ? "✓" : "✕");

/** From so many risers on, all of them are told briefly on the first screen, and not all are drawn on paper. */
const MANY_RISERS = 6;

function sentences() {
  return el("ul", { class: words().sentences.length > MANY_RISERS ? "answers many" : "answers" }, words().sentences.map((s) =>
    el("li", { class: s.met === false ? "missed" : s.met ? "met" : "open" }, mark(s.met), el("p", {}, el("strong", {}, s.name), " ", s.text))));
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
