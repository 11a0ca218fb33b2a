// What every part of the page uses: the data, elements, units, numbers and the state that parts share.

const data = JSON.parse(document.getElementById("data").textContent);

// --- elements: text goes in as text, never as markup ---
function fill(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes || {})) {
    if (value === null || value === undefined || value === false) continue;
    if (name === "style") for (const [key, v] of Object.entries(value)) node.style.setProperty(key, v);
    else if (typeof value === "function") node.addEventListener(name, value);
    else node.setAttribute(name, value === true ? "" : String(value));
  }
  for (const child of children.flat(Infinity)) {
    if (child === null || child === undefined || child === false) continue;
    node.append(child);
  }
  return node;
}
const el = (tag, attributes, ...children) => fill(document.createElement(tag), attributes, children);
const svg = (tag, attributes, ...children) =>
  fill(document.createElementNS("http://www.w3.org/2000/svg", tag), attributes, children);

// --- numbers and units ---
const PSI = 6894.757293168, GALLON = 3.785411784e-3, FOOT = 0.3048, DAY = 86400, HOUR = 3600;

/** A number with so many significant digits, digits before the point never dropped. */
function digits(value, count = 3) {
  if (!Number.isFinite(value)) return "unknown";
  if (value === 0) return "0";
  const magnitude = Math.floor(Math.log10(Math.abs(value)));
  const decimals = Math.min(12, Math.max(0, count - 1 - magnitude));
  const text = value.toFixed(decimals);
  return decimals > 0 ? text.replace(/\.?0+$/, "") : text;
}

const SYSTEMS = {
  us: {
    name: "US", gauge: "psig", difference: "psi", gas: "ft³", volume: "gal", length: "ft", bore: "in",
    toGauge: (pa) => (pa - data.site_pressure_pa) / PSI, toDifference: (pa) => pa / PSI,
    toGas: (m3) => m3 / FOOT ** 3, toVolume: (m3) => m3 / GALLON, toLength: (m) => m / FOOT, toBore: (m) => m / 0.0254,
  },
  si: {
    name: "SI", gauge: "bar(g)", difference: "kPa", gas: "m³", volume: "L", length: "m", bore: "mm",
    toGauge: (pa) => (pa - data.site_pressure_pa) / 1e5, toDifference: (pa) => pa / 1e3,
    toGas: (m3) => m3, toVolume: (m3) => m3 * 1e3, toLength: (m) => m, toBore: (m) => m * 1e3,
  },
};
const units = () => SYSTEMS[state.system];
/** Moles to the reader's standard volume. */
const gasVolume = (moles) =>
  units().toGas((moles * 8.314462618 * data.reference.temperature_k) / data.reference.pressure_pa);
const percent = (fraction) => {
  const value = 100 * fraction;
  return `${value < 0.0995 ? digits(value, 2) : value < 9.995 ? value.toFixed(2) : value.toFixed(1)} %`;
};
const pressureText = (pa) => {
  const value = units().toGauge(pa);
  return `${value.toFixed(state.system === "us" ? 1 : 2)} ${units().gauge}`;
};
const differenceText = (pa) => `${digits(Math.abs(units().toDifference(pa)) < 5e-4 ? 0 : units().toDifference(pa))} ${units().difference}`;
const waterText = (m3) => `${digits(m3 < 1e-8 ? 0 : units().toVolume(m3), 2)} ${units().volume}`;
const gasText = (moles) => `${digits(gasVolume(moles))} ${units().gas}`;

/** A time as people say it. */
function duration(seconds) {
  if (seconds < 90) return `${digits(seconds)} s`;
  if (seconds < 90 * 60) return `${(seconds / 60).toFixed(1)} min`;
  if (seconds < 36 * HOUR) return `${(seconds / HOUR).toFixed(1).replace(".0", "")} h`;
  return `${(seconds / DAY).toFixed(2)} days`;
}
const dayText = (seconds) => `day ${(seconds / DAY).toFixed(2)}`;

/** The unit of the time axis: hours for runs of up to three days. */
const inHours = data.duration_s <= 3 * DAY;
const axisTime = (seconds) => seconds / (inHours ? HOUR : DAY);
const axisTimeName = inHours ? "hours" : "days";

// --- what parts of the page share ---
const state = { run: 0, row: 0, system: data.system, log: true, range: null, focus: null, hover: null };
const listeners = {};
/** Calls back whenever one of the named things changes. */
function on(names, callback) {
  for (const name of names.split(" ")) (listeners[name] = listeners[name] || []).push(callback);
}
function set(name, value) {
  if (state[name] === value) return;
  state[name] = value;
  for (const callback of listeners[name] || []) callback(value);
}
const words = () => data.text[state.system];

/** Keeps an element's content up to date with what it is made from. */
function live(names, make, tag = "div", attributes = {}) {
  const node = el(tag, attributes);
  const renew = () => node.replaceChildren(...[make()].flat(Infinity).filter((c) => c !== null && c !== undefined && c !== false));
  on(names, renew);
  renew();
  return node;
}

const styleOf = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
let uniqueNumber = 0;
const uniqueId = (prefix) => `${prefix}-${++uniqueNumber}`;
