// Puts the page together.

function themeChanged() {
  oxygenScale.theme();
  for (const callback of listeners.theme || []) callback();
  timeline.draw?.();
  rebuildPanels();
}

/** A moment that shows something: the plant's oxygen half way (in decades) between air and its end. */
function openingRow() {
  const r = runs[state.run], last = r.times.length - 1, risers = r.plant.risers.length;
  const mean = (row) => { let s = 0; for (let i = 0; i < risers; ++i) s += Math.log(r.averageAt(row, i)); return s / risers; };
  const half = 0.5 * (Math.log(AIR) + mean(last));
  for (let row = 0; row <= last; ++row) if (mean(row) < half) return row;
  return last;
}

function prepareForPaper() {
  if (printing.now) return;
  printing.now = true;
  pause();
  themeChanged();
  document.querySelector(".print-shots")?.replaceChildren(printedMoments());
  for (const node of document.querySelectorAll("details[data-print=open]")) node.unfold();
  const risers = runs.length ? paperRisers() : [];
  for (const panel of panels) {
    const wanted = panel.riser === undefined || risers.includes(panel.riser);
    panel.node.classList.toggle("no-print", !wanted);
    if (wanted && !panel.ready) panel.build();
  }
}
function backFromPaper() {
  if (!printing.now) return;
  printing.now = false;
  document.querySelector(".print-shots")?.replaceChildren();
  themeChanged();
}

function start() {
  const root = document.getElementById("report");
  if (runs.length) {
    state.run = data.first_run || 0;
    oxygenScale.prepare(runs);
    state.row = openingRow();
  }
  const main = el("main", {}, answerSection(), (data.verb in STUDIES ? STUDIES[data.verb]() : null), askedSection(), runs.length ? watchSection() : null, findingsSection(), inputsSection(), trustSection());
  root.append(heading(), main, footer());
  mapSection.draw?.();
  for (const panel of panels) resizer.observe(panel.box);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", themeChanged);
  addEventListener("beforeprint", prepareForPaper);
  addEventListener("afterprint", backFromPaper);
  globalThis.oxfadeReport = { data, state, set, runs, oxygenScale, panels, ready: performance.now() };
}
start();
