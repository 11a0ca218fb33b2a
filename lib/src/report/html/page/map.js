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
  const lane = count > 60 ? 9 : count > 24 ? 16 : count > 8 ? 32 : riser.low_points.length ? 62 : 50;
  const widest = Math.max(...pipes.map((pipe) => pipe.bore_m || 0), 1e-9);
  const most = Math.min(20, Math.min(lane, 50) * 0.46);
  return {
    scale: low, lane, count, right: width - MAP.right, labels: pipes.length <= MAP.labels && lane >= 30,
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
    this.node = this.draw(width);
  }
  draw(width) {
    const plan = layOut(this.riser, width), riser = this.riser;
    this.height = plan.height;
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
    this.drawLeaks(plan, signs);
    this.vents = ventSigns(riser, plan, { signs, texts });
    this.dips = lowPointSigns(riser, plan, { signs, texts });
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
  drawLeaks(plan, signs) {
    for (const leak of this.riser.leaks) {
      if (leak.pipe < 0) continue;
      const place = plan.pipes[leak.pipe];
      signs.append(fill(shapes.leak(place.x1 - 6, place.y + place.thick / 2 + 6), {}, [svg("title", {}, leak.words[state.system])]));
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
    for (const vent of this.vents) paintVent(vent, run, row);
    const dips = this.dips.map((dip) => ` ${paintLowPoint(dip, run, row, this.riser)}.`).join("");
    this.caption.textContent = `Map of ${this.riser.name} at ${dayText(run.times[row])}: oxygen from ` +
      `${percent(this.least(row))} to ${percent(run.worstAt(row, this.index))}, most in ${run.worstPlace(row, this.index)}.${dips}`;
  }
  least(row) {
    let least = 1;
    for (let i = 0; i < this.cells.length; ++i) least = Math.min(least, this.run.oxygen.at(row, this.riser.first + i));
    return least;
  }
}
