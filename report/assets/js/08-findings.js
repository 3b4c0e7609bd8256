// Findings on the time axis: each moves all charts to its moment.

function lane() {
  const box = id('lane'), ends = [];
  const edge = left() + plotWidth();
  const buttons = data.findings.filter(f => f.from !== null && f.to >= state.from && f.from <= state.to).map(f => {
    const x0 = clamp(xOf(f.from), left(), edge - 28);
    const x1 = Math.max(clamp(xOf(f.to), left(), edge), x0 + 28);
    let row = 0;
    while (row < ends.length && ends[row] > x0) { row++; }
    ends[row] = x1 + 2;
    const b = make('button', { type: 'button', className: f.severity, title: f.severity + ': ' + f.title }, x1 - x0 < 90 ? f.label : f.label + ' ' + f.title);
    b.setAttribute('aria-label', say('lane.go', f.label, f.severity, f.title));
    Object.assign(b.style, { left: x0 + 'px', width: (x1 - x0) + 'px', top: row * 1.65 + 'rem' });
    b.addEventListener('click', () => show(f.from, f.to));
    return b;
  });
  box.replaceChildren(...buttons);
  box.style.height = ends.length * 1.65 + 'rem';
}

// show moves all charts to a stretch, with some of what was before and after.
function show(from, to) {
  state.focus = { from, to };
  const pad = Math.max((to - from) * 0.35, data.step * 20, 60);
  state.cursor = from;
  setWindow(from - pad, to + pad, true);
}

// nextFinding goes to the finding that begins after (or before) the cursor.
function nextFinding(direction) {
  const at = state.cursor === null ? (direction > 0 ? -Infinity : Infinity) : state.cursor;
  const list = data.findings.filter(f => f.from !== null).sort((a, b) => a.from - b.from);
  const f = direction > 0 ? list.find(x => x.from > at + 1e-6) : list.reverse().find(x => x.from < at - 1e-6);
  if (f) { show(f.from, f.to); }
}

doc.addEventListener('click', e => {
  const a = e.target.closest ? e.target.closest('a.goto') : null;
  if (!a || !times) { return; }
  e.preventDefault();
  show(+a.dataset.from, +a.dataset.to);
  id('study').scrollIntoView();
  study.focus({ preventScroll: true });
});
