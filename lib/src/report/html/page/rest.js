// Findings, inputs, how far to trust it, cautions, and what the report can be traced by.

function findingsSection() {
  if (!words().findings.length) return null;
  return el("section", { id: "findings", "aria-labelledby": "findings-h" }, el("h2", { id: "findings-h" }, "Findings, and what to do"),
    live("system", () => el("ul", { class: "findings" }, words().findings.map((f) => el("li", { class: f.level },
      el("p", { class: "what" }, el("b", {}, f.level), " ", f.where ? el("span", {}, f.where) : null), el("p", {}, f.text), el("p", { class: "code" }, f.code))))));
}

function inputsSection() {
  const fields = data.inputs, short = fields.length <= 400;
  const make = () => table(["Key", num("US units"), num("SI units")], fields.map(([k, us, si]) => [k, us, si]), { caption: "Inputs as read", class: "inputs" });
  return el("section", { id: "inputs", "aria-labelledby": "inputs-h" }, el("h2", { id: "inputs-h" }, "What went in"),
    el("p", {}, `${fields.length} values as read from ${data.file}, defaults included, in both systems of units. Pressures are gauge, against the site's air.`),
    unfold("All inputs", make, "", { class: "numbers", "data-print": short ? "open" : null }));
}

function trustSection() {
  const v = data.validation;
  return el("section", { id: "trust", "aria-labelledby": "trust-h" }, el("h2", { id: "trust-h" }, "How far to trust it"),
    el("p", {}, data.trust), v.summary ? el("p", {}, v.summary) : null,
    v.rows.length ? unfold("Sources this version is held against", () => table(["Source", num("Numbers"), "How known", num("Largest error"), num("Tolerance used"), ""], v.rows, { caption: "Validation of this version" }), "", { class: "numbers" }) : null,
    el("aside", { class: "cautions", "aria-label": "Cautions" }, el("h3", {}, "Keep in mind"), list(data.cautions)));
}

function footer() {
  return el("footer", {}, el("p", {}, "Written by oxfade ", el("b", {}, data.oxfade), " from ", el("b", {}, data.file), ". Digest of the inputs: ", el("code", {}, data.digest),
    ". The same inputs with the same version give this same report, byte for byte."),
    el("p", { class: "small no-print" }, "Curves are drawn with uPlot, which comes with this file: ", el("a", { href: "#licence", click: () => { document.getElementById("licence").open = true; } }, "its licence"), "."),
    unfold("Licence of uPlot (MIT)", () => el("pre", { class: "licence" }, data.licence), "", { id: "licence", class: "numbers" }));
}
