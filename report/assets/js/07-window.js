// One window of time, one cursor and two marks for all charts, and their place
// in the page's address, so that a moment can be sent as a link.

function setWindow(from, to, keepFocus) {
  const whole = data.last - data.first;
  const least = Math.min(Math.max(data.step * 4, whole / 50000), whole);
  if (!(to - from >= least)) { const mid = (from + to) / 2; from = mid - least / 2; to = mid + least / 2; }
  const span = Math.min(to - from, whole);
  from = clamp(from, data.first, data.last - span);
  state.from = from;
  state.to = from + span;
  if (!keepFocus) { state.focus = null; }
  later('slide', slide);
  remember();
}

// later runs a function once in the next frame, however often it is asked for.
const waiting = {};
function later(name, run) {
  if (waiting[name]) { return; }
  waiting[name] = true;
  window.requestAnimationFrame(() => { waiting[name] = false; run(); });
}

function whole() { return state.from <= data.first && state.to >= data.last; }

let remembering = 0;
function remember() {
  window.clearTimeout(remembering);
  remembering = window.setTimeout(() => {
    try { history.replaceState(null, '', address()); } catch (e) { /* some viewers forbid it */ }
  }, 400);
}

function address() {
  const parts = ['t=' + plain(state.from) + ',' + plain(state.to)];
  if (state.cursor !== null) { parts.push('at=' + plain(state.cursor)); }
  if (state.a !== null) { parts.push('a=' + plain(state.a)); }
  if (state.b !== null) { parts.push('b=' + plain(state.b)); }
  return '#' + parts.join('&');
}

// recall reads the address; anything else than our own form is left alone.
function recall() {
  const m = /^#t=(-?[\d.]+),(-?[\d.]+)((?:&(?:at|a|b)=-?[\d.]+)*)$/.exec(location.hash);
  if (!m || !(+m[2] > +m[1])) { return false; }
  state.from = clamp(+m[1], data.first, data.last - data.step);
  state.to = clamp(+m[2], state.from + data.step, data.last);
  state.cursor = state.a = state.b = null;
  m[3].split('&').filter(Boolean).forEach(p => {
    const [k, v] = p.split('='), t = clamp(+v, data.first, data.last);
    if (Number.isFinite(t)) { state[k === 'at' ? 'cursor' : k] = t; }
  });
  return true;
}

// marks are the overlays of one chart.
function marks() {
  const out = {};
  ['focus', 'between', 'drag', 'a', 'b', 'cursor'].forEach(name => { out[name] = make('div', { className: 'over over-' + name, hidden: true }); });
  return out;
}

// place shows an overlay over the plots of every chart, at one place.
function place(name, x0, x1) {
  charts.forEach(c => {
    const m = c.marks[name], p = c.spec.panels, last = p[p.length - 1];
    m.hidden = x0 === null;
    if (x0 === null) { return; }
    m.style.transform = 'translateX(' + x0 + 'px)';
    m.style.width = Math.max(x1 - x0, 0) + 'px';
    m.style.top = p[0].top + 'px';
    m.style.height = (last.top + last.height - p[0].top) + 'px';
  });
}

function placeSpan(name, from, to) {
  const edge = left() + plotWidth();
  if (from === null || to === null || to < state.from || from > state.to) { place(name, null); return; }
  place(name, clamp(xOf(from), left(), edge), clamp(xOf(to), left(), edge));
}

function placeMoment(name, t) {
  if (t === null || t < state.from || t > state.to) { place(name, null); return; }
  place(name, xOf(t), xOf(t));
}

function overlay() {
  if (!charts.length) { return; }
  put(id('window'), whole() ? say('window.whole', clock(data.last)) : say('window.part', clock(state.from), clock(state.to)));
  const f = state.focus, both = state.a !== null && state.b !== null;
  placeSpan('focus', f ? f.from : null, f ? f.to : null);
  placeSpan('between', both ? Math.min(state.a, state.b) : null, both ? Math.max(state.a, state.b) : null);
  placeMoment('a', state.a);
  placeMoment('b', state.b);
  placeMoment('cursor', state.cursor);
  overview();
  lane();
  readout();
}

// overview shows the window's share of the whole record.
function overview() {
  const all = data.last - data.first, box = id('thumb');
  box.style.left = (state.from - data.first) / all * 100 + '%';
  box.style.width = Math.max((state.to - state.from) / all * 100, 1) + '%';
}

function setCursor(t) {
  state.cursor = t === null ? null : clamp(t, data.first, data.last);
  if (t !== null && (t < state.from || t > state.to) && state.to > state.from) { follow(); }
  placeMoment('cursor', state.cursor);
  later('readout', readout);
  remember();
}

// follow moves the window so that the cursor stays in it.
function follow() {
  const span = state.to - state.from;
  setWindow(state.cursor - span * 0.1, state.cursor + span * 0.9, true);
}

// readout writes the figures at the cursor.
function readout() {
  const row = rowNear(state.cursor);
  charts.forEach(c => {
    if (!c.key) { return; }
    c.outputs = c.outputs || Array.from(c.key.querySelectorAll('button')).map(b => [b.querySelector('output'), c.spec.series[+b.dataset.series]]);
    c.outputs.forEach(([out, s]) => {
      if (out) { put(out, state.cursor === null || !s.column ? '' : figure(value(s.column, row), s.unit, Math.min(s.decimals, 2))); }
    });
  });
  moment(row);
}
