// Signs on the map: where gas enters, vents, leaks and low points. What they show changes with the moment, and always
// by shape as well as by colour.

const shapes = {
  leak: (x, y) => svg("path", { class: "sign leak", d: `M${x} ${y}c-3.4 4.2-4.6 5.8-4.6 8a4.6 4.6 0 0 0 9.2 0c0-2.2-1.2-3.8-4.6-8z` }),
  valve: (x, y) => svg("path", { class: "sign valve", d: `M${x - 11} ${y - 8}l22 16v-16l-22 16z` }),
  /** Discs: with an arrow where gas leaves, a bar where it is shut, a bar on water where water shuts it. */
  vent: (spots, state = 1) => svg("g", { class: `sign vent is-${state}` }, spots.map(([x, y, size = 1]) => svg("g", { transform: `translate(${x} ${y}) scale(${size})` },
    svg("circle", { r: 7 }), svg("path", { class: "arrow", d: "M-3.4 3l3.4-7 3.4 7z" }), svg("path", { class: "bar", d: "M-4 0h8" })))),
  /** A diamond where gas is sampled. */
  sample: (x, y, size = 1) => svg("g", { class: "sign sample", transform: `translate(${x} ${y}) scale(${size})` }, svg("path", { d: "M0-7l7 7-7 7-7-7z" }), svg("circle", { class: "dot", r: 2 })),
  /** A disc on the pipe: an arrow where gas passes, bubbles in water, or a bar in water where nothing passes. */
  low: (x, y, state = 2, size = 1) => svg("g", { class: `sign low is-${state}`, transform: `translate(${x} ${y}) scale(${size})` },
    svg("circle", { class: "disc", r: 11 }), svg("path", { class: "arrow", d: "M-7 0h9M-2-4.5l5 4.5-5 4.5" }),
    svg("g", { class: "bubbles" }, svg("circle", { cx: -4, cy: 3, r: 2.4 }), svg("circle", { cx: 1, cy: -3, r: 2.8 }), svg("circle", { cx: 5, cy: 4, r: 2 })),
    svg("path", { class: "bar", d: "M0-8v16" })),
};
const setState = (sign, state) => sign.setAttribute("class", sign.getAttribute("class").replace(/is-\d/, `is-${state}`));

/** Signs of a riser's vents, beyond the ends of their pipes and of all copies of these. */
function ventSigns(riser, plan, layers) {
  const count = {}, size = plan.small ? 0.62 : 1;
  return riser.vents.map((vent, k) => {
    const { at } = plan.pipes[vent.pipe], beyond = 20 * size * ((count[vent.pipe] = (count[vent.pipe] || 0) + 1) - 1) + 11 * size;
    const title = svg("title", {}), sign = fill(shapes.vent(at.map((line) => [line.x1 + beyond * line.dx, line.y1 + beyond * line.dy, size])), {}, [title]);
    layers.signs.append(sign);
    const [line] = at, x = line.x1 + beyond + 12;
    if (line.dx > 0 && !plan.narrow && beyond < 12) layers.texts.append(svg("text", { x, y: line.y1 + 4, class: "small" }, fitted(vent.name, plan.right + 90 - x)));
    return { sign, title, vent, index: riser.first_vent + k };
  });
}

/** Signs of a riser's sampling points, on their pipes. */
function sampleSigns(riser, plan, layer) {
  return (riser.samples || []).map((sample) => {
    const line = plan.pipes[sample.pipe].at[0], pipe = riser.pipes[sample.pipe], share = sample.distance_m !== null && pipe.length_m ? Math.min(1, sample.distance_m / pipe.length_m) : 1;
    const cell = Math.max(0, pipe.cell_ends.findIndex((end) => end >= share - 1e-9));
    const title = svg("title", {}), sign = fill(shapes.sample(line.x0 + share * line.long * line.dx, line.y0 + share * line.long * line.dy, plan.small ? 0.7 : 1), {}, [title]);
    layer.append(sign);
    return { title, sample, column: pipe.first + cell };
  });
}

/** Signs of a riser's low points, on the pipe behind them, with a line that says what passes. */
function lowPointSigns(riser, plan, layers) {
  const count = {}, size = plan.small ? 0.62 : 1;
  return riser.low_points.map((point, k) => {
    const place = plan.pipes[point.pipe], line = place.at[0], along = size * (26 * ((count[point.pipe] = (count[point.pipe] || 0) + 1) - 1)) + Math.min(20 * size, line.long / 2);
    const x = line.x0 + along * line.dx, y = line.y0 + along * line.dy, title = svg("title", {}), sign = fill(shapes.low(x, y, 2, size), {}, [title]);
    layers.signs.append(sign);
    const text = !plan.small && count[point.pipe] === 1 ? svg("text", { x: x + (line.dx ? -8 : 14), y: y + (line.dx ? Math.max(place.thick / 2, 11) + 15 : 4), class: "small" }) : null;
    if (text) layers.texts.append(text);
    return { sign, title, text, point, index: riser.first_low_point + k, room: plan.right + 80 - x };
  });
}

function paintSample(spot, run, row) {
  const oxygen = run.oxygen.at(row, spot.column);
  spot.title.textContent = `${spot.sample.name}: reads ${percent(oxygen)} oxygen, ${percent(1 - oxygen)} nitrogen`;
}
function paintVent(spot, run, row, riser) {
  const now = run.ventAt(row, spot.index);
  if (spot.now !== now) setState(spot.sign, spot.now = now);
  const pipe = riser.pipes[spot.vent.pipe], oxygen = run.oxygen.at(row, pipe.first + pipe.cells - 1);
  spot.title.textContent = `${spot.vent.name}: ${VENT_STATES[now]} (${spot.vent.words[state.system]}); an analyser there reads ${percent(oxygen)} oxygen`;
}
function paintLowPoint(spot, run, row, riser) {
  const now = run.passageAt(row, spot.index), words = `${spot.point.name}: ${PASSAGES[now]}, ${waterText(run.water.at(row, spot.index))} of water`;
  if (spot.now !== now) setState(spot.sign, spot.now = now);
  spot.title.textContent = `${words}, ${differenceText(run.heldAt(row, riser, spot.point))} more before it than behind`;
  if (spot.text) spot.text.textContent = [words, `${spot.point.name}: ${PASSAGES[now]}`, PASSAGES[now]].find((text) => 6.2 * text.length <= spot.room) ?? "";
  return words;
}

/** What the signs of the maps mean; only those that are in use. */
function signKey(plant) {
  const any = (what) => plant.risers.some((riser) => riser[what].length);
  const item = (shape, text) => el("span", { class: "key" }, svg("svg", { width: 24, height: 24, viewBox: "0 -2 24 24", class: "map", "aria-hidden": "true" }, shape), text);
  const vents = [1, 0, 2].filter((s) => runs.some((r) => r.vents.includes(s)));
  const passages = [2, 1, 0].filter((s) => runs.some((r) => r.passages.includes(s)));
  return el("p", { class: "keys" },
    item(shapes.valve(12, 10), "where gas enters"),
    any("vents") ? vents.map((s) => item(shapes.vent([[12, 10]], s), ["vent that is shut", "open vent", "vent shut by water"][s])) : null,
    plant.risers.some((r) => r.samples?.length) ? item(shapes.sample(12, 10), "sampling point") : null,
    plant.risers.some((r) => r.leaks.some((l) => l.pipe >= 0)) ? item(shapes.leak(12, 3), "leak") : null,
    any("low_points") ? passages.map((s) => item(shapes.low(12, 10, s), ["low point that is open", "low point closed by water, gas bubbles through", "low point closed by water"][s])) : null,
    any("links") ? item(svg("path", { class: "loop", d: "M2 4C22 4 22 16 2 16" }), "link that closes a loop") : null,
    plant.risers.some((r) => r.pipes.some((p) => Math.abs(p.pitch) > 0.99)) ? item(svg("g", {}, svg("path", { class: "wall", "stroke-width": 8, d: "M1 10h22" }),
      svg("path", { class: "upright", "stroke-width": 8, d: "M5 10h1.6M11 10h1.6M17 10h1.6" })), "vertical pipe") : null,
    plant.risers.some((r) => r.pipes.some((p) => !p.bore_m)) ? item(svg("path", { class: "wall", "stroke-width": 12, "stroke-linecap": "round", d: "M7 10h10" }), "given by volume, without a length") : null,
    plant.risers.some((r) => r.pipes.some((p) => p.copies > 1)) ? item(svg("text", { class: "count", x: 1, y: 15 }, "×9"), "so many equal lines at one point") : null,
    item(svg("path", { class: "done", d: "M2 10h20" }), "target met"));
}
