// Readings held against the plant: which fault explains them.

STUDIES.fit = () => {
  const explanations = () => el("ol", { class: "explanations" }, words().explanations.map((e) => el("li", {}, el("b", {}, e.words), ": ", e.odds, e.size ? el("p", { class: "note" }, e.size) : null)));
  const estimates = () => table(["", num("As found"), num("Between"), num("As given"), ""], words().estimates.map((e) => [e.what, e.found, e.range, e.given, e.note]), { caption: words().interval });
  const warnings = () => (words().confusions.length ? list(words().confusions, { class: "rests" }) : null);
  const forecasts = () => el("ul", { class: "answers" }, words().forecasts.map((f) => el("li", { class: f.met ? "met" : "missed" }, mark(f.met), el("p", {}, el("strong", {}, f.name), " ", f.text))));
  const readings = () => table([num("Time"), "Riser", "Pipe", num("Oxygen"), num("Pressure")], data.readings.map((r) => [dayText(r.time_s),
    data.plants[0].risers[r.riser].name, data.plants[0].risers[r.riser].pipes[r.pipe].name, r.oxygen === null ? "" : percent(r.oxygen), r.pressure_pa === null ? "" : pressureText(r.pressure_pa)]), { caption: "Readings" });
  return el("section", { id: "study", "aria-labelledby": "study-h" }, el("h2", { id: "study-h" }, "Which fault explains the readings?"), live("system", explanations),
    el("h3", {}, "Forecast by the first explanation"), live("system", forecasts), el("h3", {}, "The plant as found"), live("system", estimates), live("system", warnings),
    unfold("The readings", readings, "system", { class: "numbers", "data-print": "open" }));
};
