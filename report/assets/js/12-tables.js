// Each chart as a table of the window that is shown, and as a file.

function chartOf(e) { return charts.find(c => c.el.closest('figure').contains(e)); }

// fillTable writes about forty rows of the window, at equal steps.
function fillTable(details) {
  const c = chartOf(details), box = details.querySelector('.scroll');
  if (!c) { return; }
  const lo = Math.max(rowBefore(state.from), 0), hi = Math.max(rowBefore(state.to), lo), every = Math.max(1, Math.ceil((hi - lo + 1) / 40));
  const lines = c.spec.series.map((s, i) => [s, c.spec.option.series[i].name]).filter(([s]) => columns[s.column]);
  const body = make('tbody', {});
  for (let i = lo, before = lo - 1; i <= hi; i = i === hi ? hi + 1 : Math.min(i + every, hi)) {
    body.append(make('tr', {}, make('th', { scope: 'row' }, clock(times[i])), make('td', {}, plain(times[i])), ...lines.map(([s]) => make('td', {}, tableFigure(s, before, i)))));
    before = i;
  }
  const head = lines.map(([s, name]) => name + (s.unit ? ', ' + unitName(s.unit) : '') + (s.summed ? say('table.summed') : ''));
  box.replaceChildren(make('table', { className: 'data' }, headed(say('table.since'), 'time_s', ...head), body));
  put(details.querySelector('.range'), say(every === 1 ? 'table.all' : 'table.every', clock(times[lo]), clock(times[hi]), every));
}

// unfold puts an explanation into the page when it is first opened.
function unfold(details) {
  const t = details.querySelector('template');
  if (t) { t.replaceWith(t.content.cloneNode(true)); }
}

// tableFigure is a figure in a row; of commanded seconds the sum since the row above.
function tableFigure(s, before, i) {
  if (!s.summed) { return figure(value(s.column, i), '', s.decimals + (shown(1, s.unit) === 1 ? 0 : -1)); }
  let sum = 0, any = false;
  for (let k = before + 1; k <= i; k++) { const v = value(s.column, k); if (!Number.isNaN(v)) { sum += v; any = true; } }
  return any ? figure(sum, '', s.decimals) : unknownMark;
}

doc.addEventListener('toggle', e => {
  if (e.target.classList && e.target.classList.contains('explain') && e.target.open) { unfold(e.target); }
  if (e.target.classList && e.target.classList.contains('asdata') && e.target.open && times) { fillTable(e.target); }
}, true);

// alone is a chart that stands without the page: with its title, its sentence
// and a key.
function alone(c) {
  const o = options(c, false), top = 58, shift = p => Object.assign({}, p, { top: +p.top + top });
  const title = c.el.closest('figure').querySelector('h3').textContent;
  const sentence = c.el.closest('figure').querySelector('figcaption p').textContent;
  return Object.assign({}, o, {
    backgroundColor: '#ffffff', grid: o.grid.map(shift), animation: false,
    title: { text: title + ', ' + clock(state.from) + ' to ' + clock(state.to), subtext: sentence, left: 8, top: 4, textStyle: { fontSize: 14, color: '#1d2329' }, subtextStyle: { fontSize: 11, color: '#4a545e' }, itemGap: 4 },
    legend: { show: true, left: 8, top: 42, itemWidth: 26, itemHeight: 8, textStyle: { fontSize: 11, color: '#1d2329' }, selected: Object.fromEntries(Object.entries(c.hidden).map(([k, v]) => [k, !v])) },
    series: o.series.map(s => Object.assign({}, s, { symbol: 'none' }))
  });
}

function saveChart(c, kind) {
  const size = { width: width(), height: c.spec.height + 62 }, name = 'chart-' + c.spec.id + '.' + kind;
  if (kind === 'svg') {
    const inst = echarts.init(null, null, Object.assign({ renderer: 'svg', ssr: true }, size));
    inst.setOption(alone(c));
    saveFile(name, new Blob([inst.renderToSVGString()], { type: 'image/svg+xml' }));
    inst.dispose();
    return;
  }
  const inst = echarts.init(make('div', {}), null, Object.assign({ renderer: 'canvas', devicePixelRatio: 2 }, size));
  inst.setOption(alone(c));
  inst.renderToCanvas({ pixelRatio: 2, backgroundColor: '#ffffff' }).toBlob(b => { if (b) { saveFile(name, b); } inst.dispose(); }, 'image/png');
}

function saveFile(name, blob) {
  const url = URL.createObjectURL(blob), a = make('a', { href: url, download: name });
  doc.body.append(a);
  a.click();
  a.remove();
  window.setTimeout(() => URL.revokeObjectURL(url), 10000);
}
