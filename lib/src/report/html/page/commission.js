// The acceptance sheet: to fill in on paper, or filled in and judged.

STUDIES.commission = () => {
  const group = (part) => [el("h3", {}, part.heading), el("p", { class: "note" }, part.instruction),
    table(["Step", num("Expected"), num("All is well from"), num("to"), num("Measured"), ""], part.steps.map((s) => [s.label, s.expected, s.low, s.high,
      s.measured ?? el("span", { class: "fill-in", "aria-label": "to fill in" }), s.measured === null ? "" : mark(s.within)]), { caption: part.heading, quiet: true })];
  const causes = () => (words().causes.length ? el("ol", { class: "explanations" }, words().causes.map((text) => el("li", {}, text))) : null);
  return el("section", { id: "study", "aria-labelledby": "study-h" }, el("h2", { id: "study-h" }, "Acceptance sheet"), live("system", causes),
    live("system", () => words().groups.map(group), "div", { class: "sheet" }),
    el("p", { class: "sign-off" }, ["By", "Date", "Analyser"].map((what) => el("span", {}, `${what}: `, el("span", { class: "fill-in" })))));
};
