// The oxygen scale: from blue (inert) over grey to amber (air). Its lightness rises all the way and its hues lie
// on the blue-yellow line, so that it reads the same with red-green colour blindness and in grey print.

const SCALES = {
  light: [[13, 52, 97], [62, 96, 133], [122, 130, 138], [187, 158, 106], [242, 178, 51]],
  dark: [[45, 104, 168], [84, 133, 173], [146, 156, 160], [209, 181, 124], [255, 211, 102]],
};
const AIR = 0.209476;

const oxygenScale = {
  low: 0.001,
  table: [],
  /** The scale's lower end follows from the data: a round number below the cleanest gas. */
  prepare(list) {
    let least = AIR;
    for (const r of list) for (const v of r.oxygen.values) if (v < least) least = v;
    const steps = [1e-4, 2e-4, 5e-4, 1e-3, 2e-3, 5e-3, 1e-2, 2e-2, 5e-2];
    this.low = steps.filter((s) => s <= Math.max(least, 1e-4) * 1.001).pop() || 1e-4;
    this.low = Math.min(this.low, (1 - data.target_purity) / 2);
    this.theme();
  },
  theme() {
    const stops = SCALES[isDark() ? "dark" : "light"];
    this.table = Array.from({ length: 256 }, (_, i) => {
      const place = (i / 255) * (stops.length - 1), k = Math.min(stops.length - 2, Math.floor(place)), f = place - k;
      return `rgb(${stops[k].map((c, j) => Math.round(c + f * (stops[k + 1][j] - c))).join(",")})`;
    });
  },
  /** 0 at the lower end, 1 at air. */
  place(oxygen) {
    const t = Math.log(Math.max(oxygen, 1e-9) / this.low) / Math.log(AIR / this.low);
    return Math.min(1, Math.max(0, t));
  },
  colour(oxygen) { return this.table[Math.round(255 * this.place(oxygen))]; },
};

const printing = { now: false, half: 315, whole: 640 };  // widths of plots on paper, two beside each other or one [CSS px]
function isDark() {
  if (printing.now) return false;
  const chosen = document.documentElement.dataset.theme;
  return chosen ? chosen === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
}

/** The legend as a bar with ticks. */
function oxygenLegend() {
  const id = uniqueId("scale"), width = 300, ticks = [];
  const steps = [1e-4, 2e-4, 5e-4, 1e-3, 2e-3, 5e-3, 0.01, 0.02, 0.05, 0.1, AIR].filter((v) => v >= oxygenScale.low * 0.999);
  const limit = 1 - data.target_purity;
  const target = 16 + width * oxygenScale.place(limit);
  let last = -99;
  for (const step of steps) {
    const x = 16 + width * oxygenScale.place(step);
    if (x - last < 30 && step !== AIR) continue;
    last = x;
    ticks.push(svg("line", { x1: x, x2: x, y1: 30, y2: 35, class: "tick" }),
      svg("text", { x, y: 47, "text-anchor": "middle" }, step === AIR ? "air" : `${digits(100 * step)} %`));
  }
  const stops = [0, 0.25, 0.5, 0.75, 1].map((f) =>
    svg("stop", { offset: f, "stop-color": oxygenScale.table[Math.round(255 * f)] }));
  return svg("svg", { viewBox: `0 0 ${width + 36} 52`, width: width + 36, height: 52, class: "scale", role: "img",
    "aria-label": `Colours: blue is little oxygen, amber is air; the target lies at ${percent(limit)} oxygen` },
    svg("defs", {}, svg("linearGradient", { id }, ...stops)),
    svg("rect", { x: 16, y: 18, width, height: 12, rx: 6, fill: `url(#${id})`, class: "bar" }),
    svg("path", { d: `M${target - 5} 9h10l-5 8z`, class: "target-mark" }),
    svg("text", { x: target, y: 7, "text-anchor": "middle", class: "target-text" }, "target"),
    ...ticks);
}
