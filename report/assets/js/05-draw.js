// The charts: the options come with the page, the samples of the window are
// filled in, the library draws them.

// linesFor are the drawn samples of every line of a chart, for the window.
function linesFor(c, starts) {
  return c.spec.series.map((s, i) => {
    const col = columns[s.column];
    if (!col) { return c.spec.option.series[i].data || []; }
    return s.stems ? stemsOf(col, starts) : extremesOf(col, starts, shown(1, s.unit));
  });
}

function seriesOption(s, points) {
  const type = s.lineStyle.type;
  return Object.assign({}, s, {
    silent: true, emphasis: { disabled: true }, z: 3, data: withDots(points),
    lineStyle: Object.assign({}, s.lineStyle, { type: /^\d/.test(type) ? type.split(',').map(Number) : type, join: 'round' })
  });
}

function options(c, onDark) {
  const o = onDark ? recolour(c.spec.option) : c.spec.option;
  return Object.assign({}, o, {
    textStyle: { fontFamily: getComputedStyle(doc.body).fontFamily },
    series: o.series.map((s, i) => seriesOption(s, c.lines[i])),
    grid: o.grid.map(g => Object.assign({}, g, { left: left(), right: right() })),
    xAxis: o.xAxis.map(timeAxis),
    yAxis: o.yAxis.map((a, k) => valueAxis(c, k, a, onDark))
  });
}

function start(spec) {
  const el = id('chart-' + spec.id);
  if (!el || !spec.option) { return; }
  el.style.height = spec.height + 'px';
  const canvas = make('div', { className: 'canvas' });
  const labels = make('div', { className: 'labels' });
  labels.setAttribute('aria-hidden', 'true');
  el.append(canvas, labels);
  const c = { spec, el, labels, ranges: [], lines: [], hidden: {}, marks: marks(), key: doc.querySelector('.key[data-chart="' + spec.id + '"]') };
  Object.values(c.marks).forEach(m => el.append(m));
  charts.push(c);
  // Twice the pixels of the screen's own measure keep paper crisp.
  c.inst = echarts.init(canvas, null, { renderer: 'canvas', width: width(), height: spec.height, devicePixelRatio: Math.max(window.devicePixelRatio || 1, 2) });
}

// redraw draws everything anew; slide only moves the window.
function redraw() {
  const starts = bucketsOf(state.from, state.to, plotWidth());
  charts.forEach(c => {
    c.lines = linesFor(c, starts);
    c.inst.setOption(options(c, isDark()), { notMerge: true, lazyUpdate: false });
    Object.keys(c.hidden).forEach(name => { if (c.hidden[name]) { c.inst.dispatchAction({ type: 'legendUnSelect', name }); } });
    labelLines(c);
  });
  overlay();
}

function slide() {
  const starts = bucketsOf(state.from, state.to, plotWidth());
  charts.forEach(c => {
    c.lines = linesFor(c, starts);
    c.inst.setOption({ xAxis: c.spec.option.xAxis.map(shownTimes), series: c.spec.option.series.map((s, i) => ({ id: s.id, data: withDots(c.lines[i]) })) });
    labelLines(c);
  });
  overlay();
}

function resize() {
  charts.forEach(c => { c.inst.resize({ width: width(), height: c.spec.height, silent: true }); });
  redraw();
}

// colourOf is a line's colour on the present ground.
function colourOf(c, i) { return ink(c.spec.option.series[i].lineStyle.color, isDark()); }
