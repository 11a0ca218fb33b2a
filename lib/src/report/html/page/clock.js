// The moment that map, plots and table show: a slider over the recorded moments, play, and steps by key.
// Moments lie close together where much happens, so that playing them evenly shows the fills as well as the days.

const player = { on: false, frame: 0, begin: 0, from: 0, seconds: 16 };

function play() {
  if (player.on) return pause();
  player.on = true;
  player.begin = performance.now();
  player.from = state.row >= run().times.length - 1 ? 0 : state.row;
  const step = (now) => {
    if (!player.on) return;
    const last = run().times.length - 1;
    const row = player.from + Math.floor((Math.max(0, now - player.begin) / 1000 / player.seconds) * last);
    set("row", Math.min(row, last));
    if (row >= last) return pause();
    player.frame = requestAnimationFrame(step);
  };
  player.frame = requestAnimationFrame(step);
  for (const callback of listeners.playing || []) callback(true);
}
function pause() {
  player.on = false;
  cancelAnimationFrame(player.frame);
  for (const callback of listeners.playing || []) callback(false);
}
function moveRow(by) {
  pause();
  set("row", Math.min(run().times.length - 1, Math.max(0, state.row + by)));
}

const momentText = (row) => {
  const t = run().times[row];
  return `${dayText(t)}, ${duration(t)} after the start`;
};

/** Days, or hours, marked where they lie among the moments. */
function clockTicks() {
  const last = run().times.length - 1, end = run().times[last], unit = inHours ? HOUR : DAY;
  const step = [1, 2, 5, 7, 10, 14, 20, 50, 100, 200, 500].find((s) => end / unit / s <= 12) || 1000;
  const marks = [];
  let before = -1;
  for (let t = 0; t <= end + 1; t += step * unit) {
    const at = run().rowAt(t) / last;
    if (at - before < 0.045) continue;
    before = at;
    marks.push(el("span", { class: "mark", style: { left: `${100 * at}%` } }, String(Math.round(t / unit))));
  }
  return marks;
}

/** What is done on dates, by its number. */
function clockDates() {
  const last = run().times.length - 1;
  let before = -1;
  return run().plant.dates.map((date, k) => {
    const at = run().rowAt(date.time_s) / last;
    if (at - before < 0.03) return null;
    before = at;
    return el("span", { class: "mark", style: { left: `${100 * at}%` } }, `▾${k + 1}`);
  });
}

function clockBar() {
  const slider = el("input", { type: "range", id: "moment", min: 0, max: run().times.length - 1, step: 1, value: state.row,
    "aria-label": "Moment shown", input: (event) => { pause(); set("row", Number(event.target.value)); } });
  const button = el("button", { type: "button", class: "play", click: play });
  const icon = svg("svg", { width: 14, height: 14, viewBox: "0 0 14 14", "aria-hidden": "true" }, svg("path", {}));
  const caption = el("span", {}, "Play");
  button.append(icon, caption);
  const face = el("output", { class: "moment", for: "moment" });
  const show = () => {
    slider.max = run().times.length - 1;
    slider.value = state.row;
    slider.setAttribute("aria-valuetext", momentText(state.row));
    const t = run().times[state.row];
    face.replaceChildren(el("strong", {}, dayText(t)), ` ${duration(t)}`);
  };
  const look = (playing) => {
    icon.firstChild.setAttribute("d", playing ? "M2 1h4v12H2zM8 1h4v12H8z" : "M2 1l11 6-11 6z");
    caption.textContent = playing ? "Pause" : "Play";
  };
  on("row run", show);
  on("playing", look);
  show();
  look(false);
  return el("div", { class: "clock", role: "group", "aria-label": "Time" }, button,
    el("div", { class: "track" }, data.plants.some((plant) => plant.dates.length) ? live("run", clockDates, "div", { class: "marks dates", "aria-hidden": "true" }) : null, slider, live("run", clockTicks, "div", { class: "marks", "aria-hidden": "true" })), face);
}
