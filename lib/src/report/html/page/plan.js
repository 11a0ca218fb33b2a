// Where pipes lie on the map, as on a sprinkler plan: mains as straight lines, branch lines at right angles to the
// main they hang on, at their taps, to both sides, all to one scale. Equal lines that hang on one point (a count) are
// drawn side by side. Where lines would lie on each other, the later one is moved along and joined by a thin line.

const PLAN = { left: 44, top: 30, bottom: 40, gap: 3, comb: 11, header: 7, copies: 40, copies_within: 6, tank: 34 };

/** What hangs on what, how far each pipe reaches, and where pipes branch. */
function treeOf(riser) {
  const pipes = riser.pipes, children = pipes.map(() => []), order = [], stack = [0];
  pipes.forEach((pipe, p) => { if (pipe.parent >= 0) children[pipe.parent].push(p); });
  const known = pipes.filter((pipe) => pipe.length_m).map((pipe) => pipe.length_m).sort((a, b) => a - b);
  const usual = known.length ? known[known.length >> 1] : 1;
  const length = pipes.map((pipe) => pipe.length_m || usual);
  while (stack.length) {
    const p = stack.pop();
    order.push(p);
    stack.push(...children[p]);
  }
  const count = pipes.map((pipe) => Math.max(1, Math.round((pipe.copies || 1) / (pipe.parent >= 0 ? pipes[pipe.parent].copies || 1 : 1))));
  const total = [...length], branches = pipes.map(() => false), reach = [...length];
  for (const p of order.reverse()) {
    for (const c of children[p]) {
      total[p] += count[c] * total[c];
      reach[p] = Math.max(reach[p], length[p] + reach[c]);
      if (children[p].length > 1 || count[c] > 1 || branches[c]) branches[p] = true;
    }
  }
  return { pipes, children, length, count, total, branches, reach };
}

/** The pipe that goes straight on from another, whose way has these lines at its sides already; null where none does. */
function straightOn(tree, p, sides) {
  const list = tree.children[p].filter((c) => tree.count[c] === 1), bore = (c) => tree.pipes[c].bore_m || Infinity;
  // As narrow as the lines that hang on this way already, it is one of them, whatever hangs on it.
  const line = (c) => tree.pipes[c].bore_m && sides.some((s) => tree.pipes[s].bore_m >= tree.pipes[c].bore_m);
  const mains = list.filter((c) => tree.branches[c] && !line(c)).sort((a, b) => tree.total[b] - tree.total[a] || a - b);
  if (mains.length > 1 && !sides.length && tree.total[mains[1]] > 0.67 * tree.total[mains[0]]) return null;  // a tee
  if (mains.length) return mains[0];
  const as_wide = list.filter((c) => bore(c) >= 0.95 * bore(p));
  if (sides.length) {
    if (as_wide.length === 1) return as_wide[0];
    return list.length === 1 && tree.children[p].length === 1 && tree.reach[list[0]] < 0.4 * Math.max(...sides.map((c) => tree.reach[c])) ? list[0] : null;
  }
  if (list.length < 2) return list[0] ?? null;
  const [one, two] = [...list].sort((a, b) => tree.reach[b] - tree.reach[a] || a - b);
  return tree.reach[one] > 1.25 * tree.reach[two] ? one : null;
}

/** A pipe and all that hangs on it, in pixels: x along the straight way that begins with it, y to its sides. */
function layWay(plan, first, depth) {
  const { tree, scale } = plan, out = { segments: [], headers: [], notes: [], x0: 0, x1: 0, y0: -plan.half, y1: plan.half };
  const taken = { 1: [], "-1": [] }, sides = [];
  let x = 0;
  for (let p = first; p !== null && p !== undefined;) {
    const long = tree.pipes[p].length_m ? Math.max(plan.least, tree.length[p] * scale) : Math.max(PLAN.tank, plan.least);
    out.segments.push({ pipe: p, x0: x, y0: 0, x1: x + long, y1: 0 });
    x += long;
    const next = straightOn(tree, p, sides);
    const turning = tree.children[p].filter((c) => c !== next);
    let side = -1;
    for (const c of turning) {
      sides.push(c);
      side = layLines(plan, out, taken, c, x, side, depth);
    }
    p = next;
  }
  out.x1 = Math.max(out.x1, x);
  return out;
}

/** The lines of one child of a point at x, all its copies; says which side is next. */
function layLines(plan, out, taken, child, x, side, depth) {
  const one = layWay(plan, child, depth + 1), count = plan.tree.count[child];
  const shown = Math.min(count, depth === 0 ? plan.copies : PLAN.copies_within);
  const room = count > 2 ? plan.note : 0;  // for the number of copies beyond the first of them
  for (let k = 0; k < shown; ++k, side = -side) {
    const clear = freePlace(taken[side], x + one.y0, x + one.y1, plan.gap) === 0;
    const shift = clear ? 0 : freePlace(taken[side], x + one.y0, x + one.y1, plan.comb), up = clear ? 0 : PLAN.header;
    const turn = (px, py) => [x + shift + py, side * (up + px)];
    taken[side].push([x + shift + one.y0, x + shift + one.y1]);
    if (shift > 0) out.headers.push([[x, 0], [x, side * up], [x + shift, side * up]]);
    for (const s of one.segments) {
      const [x0, y0] = turn(s.x0, s.y0), [x1, y1] = turn(s.x1, s.y1);
      out.segments.push({ pipe: s.pipe, x0, y0, x1, y1 });
    }
    for (const line of one.headers) out.headers.push(line.map(([px, py]) => turn(px, py)));
    for (const note of one.notes) { const [nx, ny] = turn(note.x, note.y); out.notes.push({ ...note, x: nx, y: ny }); }
    if (k === 0 && room) { const [nx, ny] = turn(one.x1 + 0.76 * plan.note, 0); out.notes.push({ pipe: child, x: nx, y: ny, text: `×${count}`, shown }); }
    out.x0 = Math.min(out.x0, x + shift + one.y0);
    out.x1 = Math.max(out.x1, x + shift + one.y1);
    const far = side * (up + one.x1 + room), near = side * (up + one.x0);
    out.y0 = Math.min(out.y0, far, near);
    out.y1 = Math.max(out.y1, far, near);
  }
  return side;
}

/** How far something from x0 to x1 has to move along to lie clear of what is there. */
function freePlace(taken, x0, x1, gap) {
  let shift = 0;
  for (const [from, to] of [...taken].sort((a, b) => a[0] - b[0])) {
    if (x1 + shift + gap > from && x0 + shift < to + gap) shift = to + gap - x0;
  }
  return shift < 0.5 ? 0 : shift;
}

/** The plan of a riser for a picture of so many pixels across. */
function layOut(riser, width) {
  const tree = treeOf(riser), narrow = width < 520, right = narrow ? 34 : 96, room = width - PLAN.left - right;
  const tallest = Math.max(230, Math.min(460, 0.5 * width));
  const comb = narrow ? 5 : PLAN.comb, copies = Math.min(PLAN.copies, 2 * Math.floor((0.35 * room) / (comb + 6)));
  const fit = (gap, half) => {
    const lay = (scale) => layWay({ tree, scale, least: 3, gap, half, comb, copies, note: narrow ? 17 : 34 }, 0, 0);
    let low = 0, high = room / Math.max(...tree.length);
    for (let k = 0; k < 18; ++k) {
      const middle = (low + high) / 2, way = lay(middle);
      if (way.x1 - way.x0 > room || way.y1 - way.y0 > tallest) high = middle; else low = middle;
    }
    return { low, way: lay(low) };
  };
  // Thin lines at their true places rather than thick ones beside them.
  let best = narrow ? fit(0.8, 1.2) : fit(PLAN.gap, 2.5);
  if (!narrow && best.way.headers.length) {
    const thin = fit(0.8, 1.2);
    if (thin.way.headers.length < best.way.headers.length) best = thin;
  }
  const { low, way } = best, x = PLAN.left - way.x0, y = PLAN.top - way.y0;
  const widest = Math.max(...riser.pipes.map((pipe) => pipe.bore_m || 0), 1e-9);
  const spacing = closestLines(way.segments), most = Math.max(3.4, Math.min(13, 0.42 * spacing));
  const thick = (pipe) => (pipe.bore_m ? Math.max(Math.min(3, most), most * Math.sqrt(pipe.bore_m / widest)) : Math.max(most, Math.min(20, spacing * 0.6)));
  const places = riser.pipes.map((pipe) => ({ thick: thick(pipe), at: [] }));
  for (const s of way.segments) {
    const long = Math.hypot(s.x1 - s.x0, s.y1 - s.y0);
    places[s.pipe].at.push({ x0: s.x0 + x, y0: s.y0 + y, x1: s.x1 + x, y1: s.y1 + y, long, dx: Math.round((s.x1 - s.x0) / long), dy: Math.round((s.y1 - s.y0) / long) });
  }
  trimAtMains(riser, places);
  const move = ([px, py]) => [px + x, py + y];
  return {
    scale: low, spacing, right: width - right, narrow, small: spacing < 22, pipes: places, headers: way.headers.map((line) => line.map(move)),
    notes: way.notes.map((note) => ({ ...note, x: note.x + x, y: note.y + y })), height: way.y1 - way.y0 + PLAN.top + PLAN.bottom,
  };
}

/** Pixels between neighbours among parallel lines. */
function closestLines(segments) {
  const lines = segments.filter((s) => s.x0 === s.x1), places = [...new Set(lines.map((s) => Math.round(4 * s.x0) / 4))].sort((a, b) => a - b);
  let least = 60;
  for (let k = 1; k < places.length; ++k) least = Math.min(least, places[k] - places[k - 1]);
  return least;
}

/** Lines begin at the wall of the main that they hang on, and a main ends behind its last lines. */
function trimAtMains(riser, places) {
  riser.pipes.forEach((pipe, p) => {
    if (pipe.parent < 0) return;
    const main = places[pipe.parent], half = main.thick / 2;
    let bends = false;
    for (const line of places[p].at) {
      const turns = main.at.some((m) => m.dx * line.dx + m.dy * line.dy === 0 && Math.abs(m.x1 - line.x0) + Math.abs(m.y1 - line.y0) < 0.5);
      bends = bends || turns;
      if (!turns || half > 0.6 * line.long) continue;
      line.x0 += half * line.dx;
      line.y0 += half * line.dy;
      line.long -= half;
    }
    if (bends) main.corner = Math.max(main.corner || 0, places[p].thick / 2); else main.straight = true;
  });
  for (const place of places) if (place.corner && !place.straight) for (const line of place.at) { line.plain = line.long; line.long += place.corner; }
}
