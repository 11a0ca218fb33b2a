// Signs on the map: where gas enters, vents, leaks and low points. What they show changes with the moment, and always
// by shape as well as by colour.

const shapes = {
  leak: (x, y) => svg("path", { class: "sign leak", d: `M${x} ${y}c-3.4 4.2-4.6 5.8-4.6 8a4.6 4.6 0 0 0 9.2 0c0-2.2-1.2-3.8-4.6-8z` }),
  valve: (x, y) => svg("path", { class: "sign valve", d: `M${x - 11} ${y - 8}l22 16v-16l-22 16z` }),
  /** A disc: with an arrow where gas leaves, a bar where it is shut, a bar on water where water shuts it. */
  vent: (x, y, state = 1) => svg("g", { class: `sign vent is-${state}`, transform: `translate(${x} ${y})` },
    svg("circle", { cx: 10, cy: 0, r: 7 }), svg("path", { class: "arrow", d: "M6.6 3l3.4-7 3.4 7z" }), svg("path", { class: "bar", d: "M6 0h8" })),
  /** A disc on the pipe: an arrow where gas passes, bubbles in water, or a bar in water where nothing passes. */
  low: (x, y, state = 2) => svg("g", { class: `sign low is-${state}`, transform: `translate(${x} ${y})` },
    svg("circle", { class: "disc", r: 11 }), svg("path", { class: "arrow", d: "M-7 0h9M-2-4.5l5 4.5-5 4.5" }),
    svg("g", { class: "bubbles" }, svg("circle", { cx: -4, cy: 3, r: 2.4 }), svg("circle", { cx: 1, cy: -3, r: 2.8 }), svg("circle", { cx: 5, cy: 4, r: 2 })),
    svg("path", { class: "bar", d: "M0-8v16" })),
};
const setState = (sign, state) => sign.setAttribute("class", sign.getAttribute("class").replace(/is-\d/, `is-${state}`));

/** Signs of a riser's vents, placed at the ends of their pipes. */
function ventSigns(riser, plan, layers) {
  const count = {};
  return riser.vents.map((vent, k) => {
    const place = plan.pipes[vent.pipe], shift = 20 * (count[vent.pipe] = (count[vent.pipe] || 0) + 1) - 20;
    const title = svg("title", {}), sign = fill(shapes.vent(place.x1 + 4 + shift, place.y), {}, [title]);
    layers.signs.append(sign);
    if (plan.labels && shift === 0) layers.texts.append(svg("text", { x: place.x1 + 25, y: place.y + 4, class: "small" }, fitted(vent.name, MAP.right - 26)));
    return { sign, title, vent, index: riser.first_vent + k };
  });
}

/** Signs of a riser's low points, on the pipe behind them, with a line that says what passes. */
function lowPointSigns(riser, plan, layers) {
  const count = {};
  return riser.low_points.map((point, k) => {
    const place = plan.pipes[point.pipe], shift = 26 * (count[point.pipe] = (count[point.pipe] || 0) + 1) - 26;
    const x = (place.start ?? place.x0) + 20 + shift, title = svg("title", {}), sign = fill(shapes.low(x, place.y), {}, [title]);
    layers.signs.append(sign);
    const text = plan.labels && shift === 0 ? svg("text", { x: x - 8, y: place.y + Math.max(place.thick / 2, 11) + 15, class: "small" }) : null;
    if (text) layers.texts.append(text);
    return { sign, title, text, point, index: riser.first_low_point + k, room: Math.max(place.x1, plan.right) - x };
  });
}

function paintVent(spot, run, row) {
  const now = run.ventAt(row, spot.index);
  if (spot.now !== now) setState(spot.sign, spot.now = now);
  spot.title.textContent = `${spot.vent.name}: ${VENT_STATES[now]} (${spot.vent.words[state.system]})`;
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
    any("vents") ? vents.map((s) => item(shapes.vent(2, 10, s), ["vent that is shut", "open vent", "vent shut by water"][s])) : null,
    plant.risers.some((r) => r.leaks.some((l) => l.pipe >= 0)) ? item(shapes.leak(12, 3), "leak") : null,
    any("low_points") ? passages.map((s) => item(shapes.low(12, 10, s), ["low point that is open", "low point closed by water, gas bubbles through", "low point closed by water"][s])) : null,
    any("links") ? item(svg("path", { class: "loop", d: "M2 4C22 4 22 16 2 16" }), "link that closes a loop") : null,
    plant.risers.some((r) => r.pipes.some((p) => p.vertical)) ? item(svg("g", {}, svg("rect", { class: "wall", x: 1, y: 5, width: 22, height: 10 }),
      ...[5, 11, 17].map((x) => svg("line", { class: "upright", x1: x, x2: x + 4, y1: 14, y2: 6 }))), "vertical pipe") : null,
    plant.risers.some((r) => r.pipes.some((p) => !p.bore_m)) ? item(svg("rect", { class: "wall", x: 1, y: 4, width: 22, height: 12, rx: 6 }), "given by volume, without a length") : null,
    item(svg("line", { class: "done", x1: 2, x2: 22, y1: 10, y2: 10 }), "on target"));
}
