// The piping as a map: every pipe drawn to length from where gas enters, as thick as its bore, each part in the
// colour of its oxygen. A line below a part says that it is on target, so that colour is not needed for that.

const MAP = { left: 54, right: 92, top: 34, bottom: 16, tank: 26, labels: 60 };

/** Places of a riser's pipes: x along the piping, y in lanes, so that no two pipes lie on each other. */
function layOut(riser, width) {
  const pipes = riser.pipes, children = pipes.map(() => []);
  pipes.forEach((pipe, p) => { if (pipe.parent >= 0) children[pipe.parent].push(p); });
  const known = pipes.filter((pipe) => pipe.length_m).map((pipe) => pipe.length_m).sort((a, b) => a - b);
  const usual = known.length ? known[known.length >> 1] : 1;
  const length = pipes.map((pipe) => pipe.length_m || usual);
  const order = [], depth = [];
  const stack = [[0, 1]];
  while (stack.length) {
    const [p, d] = stack.pop();
    order.push(p);
    depth[p] = d;
    for (const c of children[p]) stack.push([c, d + 1]);
  }
  const deepest = Math.max(...depth), room = width - MAP.left - MAP.right;
  const least = Math.min(26, (0.55 * room) / deepest);
  const reach = (scale) => {
    const end = [];
    for (const p of order) end[p] = (pipes[p].parent >= 0 ? end[pipes[p].parent] : 0) + Math.max(least, length[p] * scale);
    return end;
  };
  let low = 0, high = room / Math.min(...length);
  for (let k = 0; k < 40; ++k) {
    const middle = (low + high) / 2;
    if (Math.max(...reach(middle)) > room) high = middle; else low = middle;
  }
  const end = reach(low), beyond = [];
  for (const p of [...order].reverse()) beyond[p] = Math.max(end[p], ...children[p].map((c) => beyond[c]));
  const lanes = lanesOf(children, beyond);
  const count = Math.max(...lanes) + 1;
  const lane = count > 60 ? 9 : count > 24 ? 16 : count > 8 ? 32 : 50;
  const widest = Math.max(...pipes.map((pipe) => pipe.bore_m || 0), 1e-9);
  const most = Math.min(20, lane * 0.46);
  return {
    scale: low, lane, count, labels: pipes.length <= MAP.labels && lane >= 30,
    height: MAP.top + MAP.bottom + (count - 1) * lane + 40,
    pipes: pipes.map((pipe, p) => ({
      x0: MAP.left + (pipe.parent >= 0 ? end[pipe.parent] : 0),
      x1: MAP.left + end[p],
      y: MAP.top + 14 + lanes[p] * lane,
      thick: pipe.bore_m ? Math.max(Math.min(4, most), most * Math.sqrt(pipe.bore_m / widest)) : Math.min(MAP.tank, lane * 0.6),
    })),
  };
}

/** A lane for each pipe: it goes straight on into its longest branch, the others turn off to both sides. */
function lanesOf(children, beyond) {
  const lanes = children.map(() => 0);
  let next = 0;
  const sorted = children.map((list, p) => {
    const by = [...list].sort((a, b) => beyond[b] - beyond[a]);
    const above = by.slice(1).filter((_, i) => i % 2 === 1), below = by.slice(1).filter((_, i) => i % 2 === 0);
    return { list: [...above, ...by.slice(0, 1), ...below], main: by[0], p };
  });
  const stack = [{ p: 0, done: false }];  // not recursive: a chain may be a thousand pipes deep
  while (stack.length) {
    const { p, done } = stack.pop();
    if (done) { lanes[p] = lanes[sorted[p].main]; continue; }
    if (!sorted[p].list.length) { lanes[p] = next++; continue; }
    stack.push({ p, done: true });
    for (const c of [...sorted[p].list].reverse()) stack.push({ p: c, done: false });
  }
  return lanes;
}

const shapes = {
  vent: (x, y) => svg("g", { class: "sign vent", transform: `translate(${x} ${y})` },
    svg("circle", { cx: 10, cy: 0, r: 7 }), svg("path", { d: "M7 3l3-6.5 3 6.5z" })),
  leak: (x, y) => svg("path", { class: "sign leak", d: `M${x} ${y}c-3.4 4.2-4.6 5.8-4.6 8a4.6 4.6 0 0 0 9.2 0c0-2.2-1.2-3.8-4.6-8z` }),
  low: (x, y) => svg("g", { class: "sign low", transform: `translate(${x} ${y})` },
    svg("path", { class: "dip", d: "M-9-5c0 15 18 15 18 0" }), svg("path", { class: "water", d: "M-7.6 0c2 7.4 13.2 7.4 15.2 0z" })),
  valve: (x, y) => svg("path", { class: "sign valve", d: `M${x - 11} ${y - 8}l22 16v-16l-22 16z` }),
};

function pipeTip(riser, pipe) {
  const u = units(), parts = [pipe.name];
  if (pipe.bore_m) parts.push(`bore ${digits(u.toBore(pipe.bore_m))} ${u.bore}, ${digits(u.toLength(pipe.length_m))} ${u.length} long`);
  parts.push(`${digits(u.toVolume(pipe.volume_m3))} ${u.volume}`);
  if (pipe.vertical) parts.push("vertical");
  return parts.join(", ");
}

/** A shortened text that fits about so many pixels at the map's letter size. */
const fitted = (text, room) => (text.length * 6.2 <= room ? text : room < 30 ? "" : `${text.slice(0, Math.floor(room / 6.2) - 1)}…`);

class RiserMap {
  constructor(theRun, index, width) {
    this.run = theRun;
    this.index = index;
    this.riser = theRun.plant.risers[index];
    this.cells = [];
    this.dips = [];
    this.node = this.draw(width);
  }
  draw(width) {
    const plan = layOut(this.riser, width), riser = this.riser;
    const picture = svg("svg", { viewBox: `0 0 ${width} ${plan.height}`, width, height: plan.height, class: "map", role: "img" });
    this.caption = svg("title", {});
    const joints = svg("g", { class: "joints" }), bodies = svg("g", { class: "bodies" });
    const signs = svg("g", { class: "signs" }), texts = svg("g", { class: "texts" });
    picture.append(this.caption, joints, bodies, signs, texts);
    riser.pipes.forEach((pipe, p) => this.drawPipe(plan, p, { joints, bodies, signs, texts }));
    for (const [a, b] of riser.links) {
      const one = plan.pipes[a], two = plan.pipes[b], x = Math.max(one.x1, two.x1) + 14;
      joints.append(svg("path", { class: "loop", d: `M${one.x1} ${one.y}C${x} ${one.y} ${x} ${two.y} ${two.x1} ${two.y}` }));
    }
    this.drawSigns(plan, signs, texts);
    const first = plan.pipes[0];
    signs.append(svg("line", { class: "inlet", x1: 6, x2: first.x0, y1: first.y, y2: first.y }), shapes.valve(28, first.y));
    texts.append(svg("text", { x: 4, y: first.y - 16, class: "small" }, "gas in"));
    this.drawScale(plan, texts);
    return picture;
  }
  drawPipe(plan, p, layers) {
    const pipe = this.riser.pipes[p], place = plan.pipes[p], { x1, y, thick } = place;
    let { x0 } = place;
    const group = svg("g", { class: pipe.bore_m ? "pipe" : "pipe tank", click: () => set("focus", `${this.index}/${p}`) },
      svg("title", {}, pipeTip(this.riser, pipe)));
    if (pipe.parent >= 0) {
      const from = plan.pipes[pipe.parent];
      if (from.y !== y) {
        const bend = Math.min(9, plan.lane / 3), down = y > from.y ? bend : -bend, wide = Math.min(thick, from.thick);
        const d = `M${x0} ${from.y}V${y - down}Q${x0} ${y} ${x0 + bend} ${y}h2`, joint = svg("path", { class: "joint", d, "stroke-width": wide });
        layers.joints.append(svg("path", { class: "joint-edge", d, "stroke-width": wide + 2 }), joint);
        place.start = x0 + bend;
        place.joint = joint;
        x0 = place.start;
      }
    }
    group.append(svg("rect", { class: "wall", x: x0 - 1, y: y - thick / 2 - 1, width: x1 - x0 + 2, height: thick + 2, rx: pipe.bore_m ? Math.min(3, thick / 3) : thick / 2 }));
    const step = (x1 - x0) / pipe.cells;
    for (let c = 0; c < pipe.cells; ++c) {
      const x = x0 + c * step, rounded = !pipe.bore_m && pipe.cells === 1 ? thick / 2 : 0;
      const body = svg("rect", { class: "cell", x, y: y - thick / 2, width: Math.max(0.4, step - (step > 7 ? 0.8 : 0)), height: thick, rx: rounded });
      const done = svg("line", { class: "done", x1: x + (step > 7 ? 1 : 0), x2: x + step - (step > 7 ? 2 : 0), y1: y + thick / 2 + 3.5, y2: y + thick / 2 + 3.5 });
      group.append(body, done);
      this.cells.push({ body, done, joint: c === 0 ? place.joint : null });
    }
    if (pipe.vertical) {
      for (let x = x0 + 6; x < x1 - 3; x += 9) group.append(svg("line", { class: "upright", x1: x, x2: x + 4, y1: y + thick / 2 - 1, y2: y - thick / 2 + 1 }));
    }
    layers.bodies.append(group);
    if (plan.labels) this.label(pipe, place, layers.texts);
  }
  label(pipe, place, texts) {
    const { x1, y, thick } = place, x0 = place.start ? place.start + 4 : place.x0, u = units(), room = x1 - x0 - 4;
    const name = fitted(pipe.name, room);
    if (!name) return;
    const size = pipe.bore_m ? `${digits(u.toLength(pipe.length_m))} ${u.length}` : `${digits(u.toVolume(pipe.volume_m3))} ${u.volume}`;
    const both = name === pipe.name && (pipe.name.length + size.length + 3) * 6.2 < room;
    texts.append(svg("text", { x: x0 + 3, y: y - thick / 2 - 6, class: "name" }, name,
      both ? svg("tspan", { class: "size", dx: 7 }, size) : null));
  }
  drawSigns(plan, signs, texts) {
    const count = {};
    for (const vent of this.riser.vents) {
      const place = plan.pipes[vent.pipe], shift = 20 * (count[vent.pipe] = (count[vent.pipe] || 0) + 1) - 20;
      signs.append(fill(shapes.vent(place.x1 + 4 + shift, place.y), {}, [svg("title", {}, `${vent.name}: ${vent.words[state.system]}`)]));
      if (plan.labels && shift === 0) texts.append(svg("text", { x: place.x1 + 25, y: place.y + 4, class: "small" }, fitted(vent.name, MAP.right - 26)));
    }
    for (const leak of this.riser.leaks) {
      if (leak.pipe < 0) continue;
      const place = plan.pipes[leak.pipe];
      signs.append(fill(shapes.leak(place.x1 - 6, place.y + place.thick / 2 + 6), {}, [svg("title", {}, leak.words[state.system])]));
    }
    for (const dip of this.riser.low_points) {
      const place = plan.pipes[dip.pipe];
      const sign = fill(shapes.low(place.x0 + 10, place.y + place.thick / 2 + 10), {}, [svg("title", {}, `${dip.name}: ${dip.words[state.system]}`)]);
      signs.append(sign);
      const drained = this.run.plant.dates.filter((date) => date.deed === "drain" && date.riser === this.riser.name && (!date.what || date.what === dip.name));
      this.dips.push({ sign, dry_from: Math.min(Infinity, ...drained.map((date) => date.time_s)) });
    }
  }
  drawScale(plan, texts) {
    if (!plan.scale || !this.riser.pipes.some((pipe) => pipe.length_m)) return;
    const u = units(), perUnit = plan.scale / u.toLength(1), wanted = 90 / perUnit;
    const power = 10 ** Math.floor(Math.log10(wanted));
    const round = [5, 2, 1].map((m) => m * power).find((v) => v <= wanted), width = round * perUnit, y = plan.height - 10;
    texts.append(svg("path", { class: "ruler", d: `M${MAP.left} ${y - 4}v4h${width}v-4` }),
      svg("text", { x: MAP.left + width + 6, y, class: "small" }, `${digits(round)} ${u.length}`));
  }
  /** Colours of a moment. */
  paint(row) {
    const run = this.run, first = this.riser.first;
    for (let i = 0; i < this.cells.length; ++i) {
      const oxygen = run.oxygen.at(row, first + i), cell = this.cells[i], colour = oxygenScale.colour(oxygen);
      const done = atTarget(oxygen);
      if (cell.colour !== colour) {
        cell.colour = colour;
        cell.body.setAttribute("fill", colour);
        if (cell.joint) cell.joint.setAttribute("stroke", colour);
      }
      if (cell.was !== done) {
        cell.was = done;
        cell.done.setAttribute("visibility", done ? "visible" : "hidden");
      }
    }
    for (const dip of this.dips) dip.sign.classList.toggle("dry", run.times[row] >= dip.dry_from);
    this.caption.textContent = `Map of ${this.riser.name} at ${dayText(run.times[row])}: oxygen from ` +
      `${percent(this.least(row))} to ${percent(run.worstAt(row, this.index))}, most in ${run.worstPlace(row, this.index)}.`;
  }
  least(row) {
    let least = 1;
    for (let i = 0; i < this.cells.length; ++i) least = Math.min(least, this.run.oxygen.at(row, this.riser.first + i));
    return least;
  }
}

/** What the signs of the maps mean; only those that are in use. */
function signKey(plant) {
  const any = (what) => plant.risers.some((riser) => riser[what].length);
  const item = (shape, text) => el("span", { class: "key" }, svg("svg", { width: 24, height: 20, class: "map", "aria-hidden": "true" }, shape), text);
  return el("p", { class: "keys" },
    item(shapes.valve(12, 10), "where gas enters"),
    any("vents") ? item(shapes.vent(2, 10), "vent") : null,
    plant.risers.some((r) => r.leaks.some((l) => l.pipe >= 0)) ? item(shapes.leak(12, 3), "leak") : null,
    any("low_points") ? item(shapes.low(12, 8), "low point with water, empty once drained") : null,
    any("links") ? item(svg("path", { class: "loop", d: "M2 4C22 4 22 16 2 16" }), "link that closes a loop") : null,
    plant.risers.some((r) => r.pipes.some((p) => p.vertical)) ? item(svg("g", {}, svg("rect", { class: "wall", x: 1, y: 5, width: 22, height: 10 }),
      ...[5, 11, 17].map((x) => svg("line", { class: "upright", x1: x, x2: x + 4, y1: 14, y2: 6 }))), "vertical pipe") : null,
    plant.risers.some((r) => r.pipes.some((p) => !p.bore_m)) ? item(svg("rect", { class: "wall", x: 1, y: 4, width: 22, height: 12, rx: 6 }), "given by volume, without a length") : null,
    item(svg("line", { class: "done", x1: 2, x2: 22, y1: 10, y2: 10 }), "on target"));
}
