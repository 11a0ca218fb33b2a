// Curves against time, drawn by uPlot. All share one cursor, one stretch of time and the moment of the slider.

const panels = [];
const LINES = ["--line-1", "--line-2", "--line-3", "--line-4", "--line-5", "--line-6"];
const DASHES = [[], [8, 4], [2, 3], [10, 3, 2, 3], [5, 2], [1, 2]];
const MANY_LINES = 48;
const LOG_STEPS = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100];

/** Where the slider's moment stands, in axis units. */
const momentX = () => axisTime(run().times[state.row]);
const fullRange = () => [0, axisTime(data.duration_s)];

class Panel {
  /** `make()` says what to draw: { x, lines: [{ label, values, colour, dash, width, quiet, points, errors }], axis, log, least, limit } */
  constructor(options) {
    Object.assign(this, options);
    this.box = el("div", { class: "canvas" });
    this.legend = el("div", { class: "legend" });
    this.heading = el("h4", { id: uniqueId("plot") }, this.name());
    this.node = el("figure", { class: "panel", tabindex: 0, role: "group", "aria-labelledby": this.heading.id, keydown: (e) => this.key(e) },
      this.heading, this.note ? live("run", () => this.note(), "p", { class: "note" }) : null, this.legend, this.box, this.table ? numbersTable(this) : null);
    this.node.panel = this;
    panels.push(this);
    watcher.observe(this.node);
  }
  name() { return typeof this.title === "function" ? this.title() : this.title; }
  key(event) {
    if (event.target !== this.node) return;
    const steps = { ArrowRight: 1, ArrowLeft: -1, PageUp: 10, PageDown: -10 };
    if (event.key in steps) moveRow(steps[event.key] * (event.shiftKey ? 10 : 1));
    else if (event.key === "Home") moveRow(-1e9);
    else if (event.key === "End") moveRow(1e9);
    else if (event.key === "+" || event.key === "=") zoomBy(0.5);
    else if (event.key === "-") zoomBy(2);
    else if (event.key === "0") set("range", null);
    else return;
    event.preventDefault();
  }
  build() {
    this.plot?.destroy();
    this.plot = this.now = null;
    this.heading.textContent = this.name();
    this.node.hidden = this.here ? !this.here() : false;
    if (this.node.hidden) return;
    this.what = this.make();
    this.ready = true;
    const { what } = this;
    const text = styleOf("--quiet"), grid = styleOf("--grid");
    const font = `12px ${styleOf("--sans")}`;
    const axis = (more) => ({ stroke: text, font, grid: { stroke: grid, width: 1 }, ticks: { stroke: grid, width: 1, size: 5 }, ...more });
    this.plot = new uPlot({
      width: Math.max(200, printing.now ? this.printWidth() : this.box.clientWidth || 480), height: this.height || 250, padding: [10, 12, 0, 0], pxAlign: 0,
      scales: { x: { time: false, range: () => (this.ownX ? what.range : state.range || fullRange()) },
        y: { distr: what.log ? 3 : 1, log: 10, range: (u, low, high) => this.yRange(low, high) } },
      axes: [axis({ label: what.xLabel || axisTimeName, labelFont: font, labelSize: 20, size: 32 }),
        axis({ size: 58, values: (u, splits) => splits.map((v) => (v === null ? "" : what.format ? what.format(v) : digits(v))),
          splits: what.log ? (u, i, low, high) => LOG_STEPS.filter((v) => v >= low * 0.999 && v <= high * 1.001) : undefined,
          filter: what.log ? (u, splits) => splits : undefined })],
      cursor: { sync: this.ownX ? undefined : { key: "time", scales: ["x", null] }, drag: { x: !this.ownX, y: false, setScale: false }, focus: { prox: -1 }, points: { size: 7 } },
      legend: { show: false },
      series: [{}, ...what.lines.map((line) => this.lineOptions(line))],
      hooks: {
        draw: [(u) => { this.drawMarks(u); this.moveNow(); }],
        setSelect: [(u) => { if (u.select.width > 4) set("range", [u.posToVal(u.select.left, "x"), u.posToVal(u.select.left + u.select.width, "x")]); u.setSelect({ width: 0, height: 0 }, false); }],
        setCursor: [(u) => this.showValues(u.cursor.idx)],
        ready: [(u) => { this.listen(u); this.moveNow(); }],
      },
    }, [what.x, ...what.lines.map((line) => line.values)], this.box);
    this.showLegend();
    this.moveNow();
  }
  printWidth() { return this.node.parentElement.classList.contains("plots") ? printing.half : printing.whole; }
  lineOptions(line) {
    const stroke = line.colour.startsWith("--") ? styleOf(line.colour) : line.colour;
    const base = { stroke, width: line.width || 2, dash: line.dash, spanGaps: true, points: { show: false } };
    if (line.bars) return { ...base, paths: uPlot.paths.bars({ size: [1, 60], gap: 1 }), fill: stroke, width: 0 };
    if (line.steps) return { ...base, paths: uPlot.paths.stepped({ align: 1 }) };
    if (line.points) return { ...base, paths: () => null, points: { show: true, size: 8, stroke, fill: styleOf("--paper"), width: 2 } };
    return base;
  }
  yRange(low, high) {
    const { what } = this;
    if (low === null) return what.log ? [0.1, 25] : [0, 1];
    if (what.limit) { low = Math.min(low, what.limit.value); high = Math.max(high, what.limit.value); }
    if (what.log) return [Math.max(0.005, low / 1.35), high * 1.35];
    const room = Math.max(high - low, what.least || 1e-9) * 0.08;
    return [what.fromZero ? 0 : low - room, Math.max(high + room, low + (what.least || 0))];
  }
  drawMarks(u) {
    const { what } = this, c = u.ctx;
    c.save();
    c.beginPath();
    c.rect(u.bbox.left, u.bbox.top, u.bbox.width, u.bbox.height);
    c.clip();
    const ratio = devicePixelRatio;
    if (what.limit) this.drawLimit(u, c, ratio);
    if (!this.ownX) this.drawDates(u, c, ratio);
    for (const line of what.lines) if (line.errors) this.drawErrors(u, c, ratio, line);
    c.restore();
  }
  /** What is done on dates, by the numbers of its table where there is room for them. */
  drawDates(u, c, ratio) {
    c.strokeStyle = c.fillStyle = styleOf("--quiet");
    c.setLineDash([2 * ratio, 4 * ratio]);
    c.lineWidth = ratio;
    c.font = `${11 * ratio}px ${styleOf("--sans")}`;
    c.textAlign = "left";
    c.textBaseline = "top";
    let free = -Infinity;
    run().plant.dates.forEach((date, k) => {
      const x = u.valToPos(axisTime(date.time_s), "x", true);
      c.beginPath();
      c.moveTo(x, u.bbox.top);
      c.lineTo(x, u.bbox.top + u.bbox.height);
      c.stroke();
      if (x < free) return;
      free = x + 18 * ratio;
      c.fillText(String(k + 1), x + 4 * ratio, u.bbox.top + 2 * ratio);
    });
  }
  drawLimit(u, c, ratio) {
    const y = u.valToPos(this.what.limit.value, "y", true);
    c.strokeStyle = styleOf("--ink");
    c.lineWidth = ratio;
    c.setLineDash([6 * ratio, 4 * ratio]);
    c.beginPath();
    c.moveTo(u.bbox.left, y);
    c.lineTo(u.bbox.left + u.bbox.width, y);
    c.stroke();
    c.fillStyle = styleOf("--ink");
    c.font = `${11 * ratio}px ${styleOf("--sans")}`;
    c.textAlign = "right";
    c.textBaseline = "bottom";
    c.fillText(this.what.limit.label, u.bbox.left + u.bbox.width - 4 * ratio, y - 4 * ratio);
  }
  drawErrors(u, c, ratio, line) {
    c.setLineDash([]);
    c.lineWidth = 1.5 * ratio;
    c.strokeStyle = line.colour.startsWith("--") ? styleOf(line.colour) : line.colour;
    this.what.x.forEach((x, i) => {
      const y = line.values[i];
      if (y === null || y === undefined) return;
      const at = u.valToPos(x, "x", true), low = this.what.log ? Math.max(0.005, y - line.errors[i]) : y - line.errors[i];
      c.beginPath();
      c.moveTo(at, u.valToPos(low, "y", true));
      c.lineTo(at, u.valToPos(y + line.errors[i], "y", true));
      c.stroke();
    });
  }
  listen(u) {
    if (this.ownX) return;
    this.now = el("div", { class: "now" });
    u.over.append(this.now);
    let down = null;
    u.over.addEventListener("pointerdown", (e) => { down = e.clientX; });
    u.over.addEventListener("pointerup", (e) => {
      if (down === null || Math.abs(e.clientX - down) > 4) return;
      pause();
      const box = u.over.getBoundingClientRect();
      set("row", run().rowAt(u.posToVal(e.clientX - box.left, "x") * (inHours ? HOUR : DAY)));
    });
    u.over.addEventListener("dblclick", () => set("range", null));
  }
  moveNow() {
    if (!this.plot || !this.now) return;
    const x = this.plot.valToPos(momentX(), "x"), inside = x >= -1 && x <= this.plot.over.clientWidth + 1;
    this.now.style.setProperty("transform", `translateX(${x}px)`);
    this.now.hidden = !inside;
    this.showValues(null);
  }
  showLegend() {
    this.values = [];
    const seen = new Set(), items = [];
    this.what.lines.forEach((line, i) => {
      if (seen.has(line.label) || line.silent) return;
      seen.add(line.label);
      const value = el("b", {});
      if (!line.quiet) this.values.push({ i, value, line });
      const stroke = line.colour.startsWith("--") ? `var(${line.colour})` : line.colour;
      items.push(el("span", { class: "item" }, svg("svg", { width: 24, height: 10, "aria-hidden": "true" },
        line.points ? svg("circle", { cx: 12, cy: 5, r: 3.5, class: "dot", style: { stroke } })
          : line.bars ? svg("rect", { x: 6, y: 0, width: 12, height: 10, style: { fill: stroke } })
            : svg("line", { x1: 0, x2: 24, y1: 5, y2: 5, "stroke-width": line.width || 2, "stroke-dasharray": (line.dash || []).join(" "), style: { stroke } })),
        line.label, " ", value));
    });
    this.legend.replaceChildren(...items);
  }
  /** Values at the cursor, or at the slider's moment. */
  showValues(index) {
    if (!this.what || this.ownX) return;
    const at = Number.isInteger(index) ? index : this.what.rowOf ? this.what.rowOf() : state.row;
    for (const { i, value, line } of this.values || []) {
      const y = shownValue(this.what.lines[i], at);
      value.textContent = line.points || y === null ? "" : this.what.value ? this.what.value(y) : digits(y);
    }
  }
}

const watcher = new IntersectionObserver((entries) => {
  for (const entry of entries) {
    const panel = entry.target.panel;
    if (entry.isIntersecting && !panel.ready) panel.build();
  }
}, { rootMargin: "500px" });

const resizer = new ResizeObserver((entries) => {
  for (const entry of entries) {
    const panel = entry.target.parentElement?.panel;
    if (panel?.plot && !printing.now && Math.abs(entry.contentRect.width - panel.plot.width) > 2 && entry.contentRect.width > 100)
      panel.plot.setSize({ width: entry.contentRect.width, height: panel.height || 250 });
    panel?.moveNow();
  }
});

function zoomBy(factor) {
  const [low, high] = state.range || fullRange(), [start, end] = fullRange();
  const width = Math.min(end - start, (high - low) * factor), centre = Math.min(Math.max(momentX(), low), high);
  const from = Math.min(Math.max(start, centre - width / 2), end - width);
  set("range", width >= end - start ? null : [from, from + width]);
}

function rebuildPanels() {
  for (const panel of panels) if (panel.ready && panel.node.isConnected) panel.build();
}
on("row", () => panels.forEach((panel) => panel.moveNow()));
on("range", () => panels.forEach((panel) => {
  if (!panel.plot || panel.ownX) return;
  const [low, high] = state.range || fullRange();
  panel.plot.setScale("x", { min: low, max: high });
  panel.moveNow();
}));
on("system log run focus", rebuildPanels);
