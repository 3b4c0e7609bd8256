// Where things stand: one window of time for all charts, plot areas with the
// same left and right edge, round figures on the axes.
const dark = window.matchMedia('(prefers-color-scheme: dark)');
const state = { from: data.first, to: data.last, cursor: null, a: null, b: null, focus: null };
const charts = [];
let printing = false;

const printWidth = 690;
function width() { return printing ? printWidth : Math.floor(charts.length ? charts[0].el.clientWidth : study.clientWidth); }
function narrow() { return width() < 560; }
function left() { return data.left; }
function right() { return narrow() && !printing ? 10 : data.right; }
function plotWidth() { return Math.max(width() - left() - right(), 50); }
function xOf(t) { return left() + (t - state.from) / (state.to - state.from) * plotWidth(); }
function tOf(x) { return state.from + (x - left()) / plotWidth() * (state.to - state.from); }

function isDark() {
  if (printing) { return false; }
  if (!window.matchMedia('(forced-colors: active)').matches) { return dark.matches; }
  const m = /(\d+)\D+(\d+)\D+(\d+)/.exec(getComputedStyle(doc.body).backgroundColor);
  return m !== null && +m[1] + +m[2] + +m[3] < 384;
}

// recolour exchanges the light colours of the options for their dark forms.
function recolour(v) {
  if (typeof v === 'string') { return data.dark[v] || v; }
  if (Array.isArray(v)) { return v.map(recolour); }
  if (v && typeof v === 'object') {
    return Object.fromEntries(Object.entries(v).map(([k, x]) => [k, recolour(x)]));
  }
  return v;
}

function ink(light, onDark) { return onDark ? data.dark[light] || light : light; }

// ticks are round moments since the first row, at most about n of them.
function ticks(n) {
  const steps = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800, 43200, 86400];
  const span = state.to - state.from;
  const step = steps.find(s => span / s <= n) || Math.ceil(span / n);
  const out = [];
  for (let t = data.first + Math.ceil((state.from - data.first) / step - 1e-9) * step; t <= state.to + 1e-9; t += step) { out.push(t); }
  return out;
}

function timeAxis(a) {
  const at = ticks(narrow() ? 4 : 9);
  return Object.assign({}, a, {
    min: state.from, max: state.to, animation: false, splitLine: { show: false },
    axisLabel: Object.assign({}, a.axisLabel, { customValues: at, formatter: clock, hideOverlap: true, showMinLabel: null, showMaxLabel: null }),
    axisTick: Object.assign({}, a.axisTick, { customValues: at })
  });
}

// shownTimes is what of a time axis changes with the window.
function shownTimes() {
  const at = ticks(narrow() ? 4 : 9);
  return { min: state.from, max: state.to, axisLabel: { customValues: at }, axisTick: { customValues: at } };
}

// valueRange holds the whole record's figures, between round ends, so that the
// scale stays while one zooms in time.
function valueRange(c, k) {
  const axis = c.spec.option.yAxis[k];
  let lo = Infinity, hi = -Infinity, factor = 1;
  c.spec.series.forEach(s => {
    if (s.panel !== k || !s.column || !columns[s.column]) { return; }
    factor = shown(1, s.unit);
    const r = rangeOf(columns[s.column]);
    if (r) { lo = Math.min(lo, r[0] * factor); hi = Math.max(hi, r[1] * factor); }
  });
  if (lo > hi) { return { min: axis.min, max: axis.max }; }
  const fixed = x => x === undefined || x === null ? NaN : x * factor;
  const min = fixed(axis.min), max = fixed(axis.max);
  const step = roundStep(((Number.isNaN(max) ? hi : max) - (Number.isNaN(min) ? lo : min)) / (axis.splitNumber || 5));
  return {
    min: Number.isNaN(min) ? Math.floor(lo / step + 1e-9) * step : min,
    max: Number.isNaN(max) ? Math.max(Math.ceil(hi / step - 1e-9) * step, (Number.isNaN(min) ? lo : min) + step) : max,
    interval: step
  };
}

function roundStep(x) {
  if (!(x > 0)) { return 0.1; }
  const p = Math.pow(10, Math.floor(Math.log10(x) + 1e-9));
  return [1, 2, 5, 10].find(m => m * p >= x - 1e-12) * p;
}

function tidy(v) { return plainFixed(v, 6).replace(/\.?0+$/, ''); }

function valueAxis(c, k, a, onDark) {
  const lanes = c.spec.panels[k].rows, depth = c.spec.series.some(s => s.panel === k && s.unit === 'm');
  const out = Object.assign({}, a, c.ranges[k] || (c.ranges[k] = valueRange(c, k)), {
    name: depth && imperial ? a.name.replace(/, m$/, ', ft') : a.name,
    nameTextStyle: { align: 'left', padding: [0, 0, 0, -left() + 2], color: ink('#4a545e', onDark), fontSize: 11 },
    axisLabel: Object.assign({}, a.axisLabel, { formatter: tidy })
  });
  if (lanes.length) {
    const names = Object.fromEntries(lanes.map(r => [r.at, r.name]));
    out.z = 6; // above the tones of the lanes
    out.axisLabel = Object.assign({}, a.axisLabel, {
      customValues: lanes.map(r => r.at), inside: true, margin: 4, fontSize: 10.5, showMinLabel: true, showMaxLabel: true, formatter: v => names[v] || ''
    });
    out.axisTick = { show: false };
    out.splitLine = { show: false };
  }
  return out;
}
