// Pointer, keys and buttons.

function overPlot(e) {
  const el = e.target.closest ? e.target.closest('.plot') : null;
  const c = el && charts.find(x => x.el === el);
  if (!c) { return null; }
  const box = el.getBoundingClientRect(), last = c.spec.panels[c.spec.panels.length - 1];
  return { x: clamp(e.clientX - box.left, left(), left() + plotWidth()), inside: e.clientY - box.top <= last.top + last.height + 4 };
}

let dragFrom = null;
study.addEventListener('pointerdown', e => {
  const p = overPlot(e);
  if (!p || !p.inside || e.button !== 0) { return; }
  play(false);
  setCursor(tOf(p.x));
  if (e.pointerType === 'mouse') { dragFrom = p.x; e.preventDefault(); study.focus({ preventScroll: true }); }
});
study.addEventListener('pointermove', e => {
  const p = overPlot(e);
  if (!p) { return; }
  if (dragFrom !== null) { place('drag', Math.min(dragFrom, p.x), Math.max(dragFrom, p.x)); } else if (p.inside && !replay.on) { setCursor(tOf(p.x)); }
});
window.addEventListener('pointerup', e => {
  if (dragFrom === null) { return; }
  const from = dragFrom, x = clamp(e.clientX - charts[0].el.getBoundingClientRect().left, left(), left() + plotWidth());
  dragFrom = null;
  place('drag', null);
  if (Math.abs(x - from) >= 6) { setWindow(tOf(Math.min(from, x)), tOf(Math.max(from, x))); }
});
// The wheel belongs to the page; with Ctrl it zooms about the pointer, with Shift it pans.
study.addEventListener('wheel', e => {
  const p = overPlot(e), d = e.deltaY || e.deltaX;
  if (!p || !(e.ctrlKey || e.shiftKey) || !d) { return; }
  e.preventDefault();
  const span = state.to - state.from;
  if (e.shiftKey) { const by = Math.sign(d) * span / 10; setWindow(state.from + by, state.to + by, true); return; }
  const t = tOf(p.x), k = d > 0 ? 1.25 : 0.8;
  setWindow(t - (t - state.from) * k, t + (state.to - t) * k, true);
}, { passive: false });

// The thumb of the overview pans.
let thumbFrom = null;
id('thumb').addEventListener('pointerdown', e => { thumbFrom = { x: e.clientX, from: state.from, to: state.to }; id('thumb').setPointerCapture(e.pointerId); });
id('thumb').addEventListener('pointermove', e => {
  if (!thumbFrom) { return; }
  const by = (e.clientX - thumbFrom.x) / id('overview').clientWidth * (data.last - data.first);
  setWindow(thumbFrom.from + by, thumbFrom.to + by, true);
});
id('thumb').addEventListener('pointerup', () => { thumbFrom = null; });

const actions = {
  all: () => setWindow(data.first, data.last),
  in: () => zoom(0.5),
  out: () => zoom(2),
  earlier: () => setWindow(state.from - (state.to - state.from) / 2, state.to - (state.to - state.from) / 2, true),
  later: () => setWindow(state.from + (state.to - state.from) / 2, state.to + (state.to - state.from) / 2, true),
  play: () => play(!replay.on),
  back: () => { play(false); step(-1); },
  forward: () => { play(false); step(1); },
  previous: () => { play(false); nextFinding(-1); },
  next: () => { play(false); nextFinding(1); },
  'mark-a': () => mark('a'),
  'mark-b': () => mark('b'),
  unmark,
  link: copyLink,
  units: () => setUnits(!imperial),
  'print-summary': () => printAs('summary'),
  'print-full': () => printAs('full')
};

function zoom(k) {
  const mid = state.cursor === null || state.cursor < state.from || state.cursor > state.to ? (state.from + state.to) / 2 : state.cursor;
  setWindow(mid - (mid - state.from) * k, mid + (state.to - mid) * k, true);
}

async function copyLink() {
  try { history.replaceState(null, '', address()); } catch (e) { /* some viewers forbid it */ }
  try { await navigator.clipboard.writeText(address()); put(id('said'), say('link.copied')); } catch (e) { put(id('said'), say('link.in-address')); }
}

doc.addEventListener('click', e => {
  const b = e.target.closest ? e.target.closest('button') : null;
  if (!b || !times) { return; }
  if (b.dataset.do && actions[b.dataset.do]) { actions[b.dataset.do](); }
  if (b.dataset.series) { toggle(b); }
  if (b.dataset.save) { saveChart(chartOf(b), b.dataset.save); }
});

function toggle(b) {
  const c = charts.find(x => x.key && x.key.contains(b)), name = c.spec.option.series[+b.dataset.series].name;
  c.hidden[name] = !c.hidden[name];
  b.setAttribute('aria-pressed', String(!c.hidden[name]));
  c.inst.dispatchAction({ type: c.hidden[name] ? 'legendUnSelect' : 'legendSelect', name });
  labelLines(c);
}

// Keys act while the charts or the time slider have the focus, never while one writes.
study.addEventListener('keydown', e => {
  if (e.ctrlKey || e.metaKey || e.altKey || e.target.closest('input:not(#scrub), textarea, select, summary, a') || e.target.tagName === 'BUTTON' && (e.key === ' ' || e.key === 'Enter')) { return; }
  const big = e.shiftKey, span = state.to - state.from;
  const at = state.cursor === null ? state.from : state.cursor;
  const keys = {
    ArrowLeft: () => (big ? setCursor(at - span / 20) : step(-1)), ArrowRight: () => (big ? setCursor(at + span / 20) : step(1)),
    Home: () => setCursor(data.first), End: () => setCursor(data.last), ' ': actions.play,
    '+': actions.in, '=': actions.in, '-': actions.out, 0: actions.all, n: actions.next, p: actions.previous,
    a: actions['mark-a'], b: actions['mark-b'], '[': () => faster(-1), ']': () => faster(1)
  };
  if (e.target !== study && /^(Arrow|Home|End)/.test(e.key) && e.target.closest('.scroll')) { return; } // a table scrolls
  const act = keys[e.key];
  if (act && e.target.id !== 'scrub' || act && !/^(Arrow|Home|End)/.test(e.key)) { e.preventDefault(); act(); }
});

// Metres in the page's running text, with the text as it came.
const metres = /(\d+(?:\.\d+)?)(\u00a0| )m(?![\w/\u00b2\u00b3])/g;
const metric = new Map();

// textToFeet rewrites the text outside the study; the study speaks for itself.
function textToFeet(feet) {
  if (!feet) {
    metric.forEach((text, node) => { node.data = text; });
    metric.clear();
    return;
  }
  const walk = doc.createTreeWalker(doc.body, NodeFilter.SHOW_TEXT, {
    acceptNode: n => (n.parentElement.closest('script, style, pre, code, bdi, noscript, #moment, .plot, .bar, .asdata') ? NodeFilter.FILTER_REJECT : NodeFilter.FILTER_ACCEPT)
  });
  for (let n = walk.nextNode(); n; n = walk.nextNode()) {
    const text = n.data.replace(metres, (all, v, space) => (+v * feetPerMetre).toFixed(+v < 10 ? 1 : 0) + space + 'ft');
    if (text !== n.data) { metric.set(n, n.data); n.data = text; }
  }
}

// setUnits rewrites depths, in the charts and in the text.
function setUnits(feet) {
  imperial = feet;
  textToFeet(feet);
  put(doc.querySelector('[data-do="units"]'), say(feet ? 'units.metric' : 'units.imperial'));
  put(id('units-note'), feet ? say('units.note') : '');
  charts.forEach(c => { c.ranges = []; });
  redraw();
  between();
  doc.querySelectorAll('details.asdata[open]').forEach(fillTable);
}

function printAs(kind) {
  doc.documentElement.classList.toggle('summary', kind === 'summary');
  window.print();
}
