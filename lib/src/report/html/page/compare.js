// Strategies side by side.

const STUDIES = {};
const letter = (k) => (k < 26 ? String.fromCharCode(65 + k) : `S${k + 1}`);

STUDIES.compare = () => {
  const names = () => words().strategies;
  const head = () => names().map((name, k) => el("li", {}, el("b", {}, letter(k)), " ", name));
  const side = () => table(["", ...names().map((_, k) => num(letter(k)))], words().side.map((line) => [line.label,
    ...line.values.map((value, k) => (line.best === k ? el("span", { class: "best" }, value, " ★") : value))]),
  { caption: "★ is the least of those that meet the target, or of all where none does" });
  const differences = () => (words().differences.length
    ? table(["Key", ...names().map((_, k) => num(letter(k)))], words().differences.map((d) => [d.key, ...d.values]), { caption: "Inputs that are not the same", class: "keyed" })
    : el("p", {}, "The plants are the same."));
  const panel = new Panel({ title: "Worst oxygen anywhere in the piping", table: true, height: 280, depends: "system", make: () => {
    const x = Float64Array.from(runs[0].times, axisTime);
    const worst = (r, t) => Math.max(...r.plant.risers.map((_, i) => r.between(t, (row) => r.worstAt(row, i))));
    return { x, rowOf: () => runs[0].rowAt(run().times[state.row]), log: state.log, limit: { value: 100 * (1 - data.target_purity), label: "target" }, fromZero: true,
      format: (v) => `${digits(v)} %`, value: (v) => percent(v / 100),
      lines: runs.map((r, k) => ({ label: letter(k), colour: LINES[k % LINES.length], dash: DASHES[k % DASHES.length], width: 2.4,
        values: Float64Array.from(runs[0].times, (t) => Math.max(0.005, 100 * worst(r, t))) })) };
  } });
  return el("section", { id: "study", "aria-labelledby": "study-h" }, el("h2", { id: "study-h" }, "Side by side"),
    live("system", head, "ul", { class: "rests" }), live("system", side), panel.node, el("h3", {}, "What is different"), live("system", differences));
};
