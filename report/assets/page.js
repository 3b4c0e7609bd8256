// The page's own script. It reads the options and samples that the page
// carries, draws them with the embedded library, and keeps one window of time
// and one cursor for all charts. It fetches nothing and writes no markup:
// text enters the page by textContent alone.
(function () {
  'use strict';
  var doc = document;
  var data = JSON.parse(doc.getElementById('chart-data').textContent);
  var plots = doc.getElementById('plots');
  var dark = window.matchMedia('(prefers-color-scheme: dark)');
  var printing = false;
  var charts = [];
  var state = { from: data.first, to: data.last, cursor: null, focus: null };
  doc.documentElement.classList.add('js');

  // --- words -------------------------------------------------------------
  function two(n) { return (n < 10 ? '0' : '') + n; }

  function clock(t) {
    var s = Math.floor(Math.abs(t - data.first) + 1e-6);
    return (t < data.first - 1e-6 ? '\u2212' : '') + Math.floor(s / 3600) + ':' + two(Math.floor(s / 60) % 60) + ':' + two(s % 60);
  }

  function plain(t) { return String(Math.round(t * 10) / 10); }

  function id(name) { return doc.getElementById(name); }

  // --- geometry ----------------------------------------------------------
  function narrow() { return plots.clientWidth < 560; }
  function left() { return data.left; }
  function right() { return narrow() && !printing ? 10 : data.right; }
  function plotWidth() { return Math.max(width() - left() - right(), 50); }
  function width() { return printing ? 690 : plots.clientWidth; }
  function xOf(t) { return left() + (t - state.from) / (state.to - state.from) * plotWidth(); }
  function tOf(x) { return state.from + (x - left()) / plotWidth() * (state.to - state.from); }
  function clamp(t, lo, hi) { return Math.min(Math.max(t, lo), hi); }

  // --- options -----------------------------------------------------------
  // The options are written in light colours; on a dark screen each is
  // exchanged for its dark form.
  function recolour(value) {
    if (typeof value === 'string') { return data.dark[value] || value; }
    if (Array.isArray(value)) { return value.map(recolour); }
    if (value && typeof value === 'object') {
      var out = {};
      Object.keys(value).forEach(function (k) { out[k] = k === 'data' && Array.isArray(value[k]) && value.name !== undefined ? value[k] : recolour(value[k]); });
      return out;
    }
    return value;
  }

  function isDark() { return dark.matches && !printing; }

  function colourOf(c, i) {
    var light = c.spec.option.series[i].lineStyle.color;
    return isDark() ? data.dark[light] || light : light;
  }

  // ticks returns round moments since the first row, at most about n of them.
  function ticks(n) {
    var steps = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800, 43200, 86400];
    var span = state.to - state.from;
    var step = steps.find(function (s) { return span / s <= n; }) || Math.ceil(span / n);
    var out = [];
    for (var t = data.first + Math.ceil((state.from - data.first) / step - 1e-9) * step; t <= state.to + 1e-9; t += step) { out.push(t); }
    return out;
  }

  function timeAxis(axis) {
    var at = ticks(narrow() ? 4 : 9);
    return {
      min: data.first, max: data.last,
      axisLabel: { customValues: at, formatter: clock, hideOverlap: true, showMinLabel: null, showMaxLabel: null },
      axisTick: { customValues: at }, splitLine: { show: false }, animation: false
    };
  }

  function valueAxis(c, i) {
    var rows = c.spec.panels[i].rows;
    var axis = { nameTextStyle: { align: 'left', padding: [0, 0, 0, -left() + 2], color: isDark() ? '#b4bdc6' : '#4a545e', fontSize: 11 } };
    if (rows.length) {
      axis.z = 6; // above the tones of the lanes
      var names = {};
      rows.forEach(function (r) { names[r.at] = r.name; });
      axis.axisLabel = {
        customValues: rows.map(function (r) { return r.at; }), inside: true, margin: 4, fontSize: 10.5, showMinLabel: true, showMaxLabel: true,
        formatter: function (v) { return names[v] || ''; }
      };
      axis.axisTick = { show: false };
      axis.splitLine = { show: false };
    }
    return axis;
  }

  function options(c) {
    var o = isDark() ? recolour(c.spec.option) : c.spec.option;
    var base = Object.assign({}, o, { textStyle: { fontFamily: getComputedStyle(doc.body).fontFamily } });
    base.series = o.series.map(function (s) {
      var type = s.lineStyle.type;
      return Object.assign({}, s, {
        silent: true, emphasis: { disabled: true }, z: 3,
        lineStyle: Object.assign({}, s.lineStyle, { type: /^\d/.test(type) ? type.split(',').map(Number) : type, join: 'round' })
      });
    });
    base.grid = o.grid.map(function (g) { return Object.assign({}, g, { left: left(), right: right() }); });
    base.xAxis = o.xAxis.map(function (a, i) { return merge(a, timeAxis(a)); });
    base.yAxis = o.yAxis.map(function (a, i) { return merge(a, valueAxis(c, i)); });
    base.dataZoom = o.dataZoom.map(function (z) { return Object.assign({}, z, zoomOf(z)); });
    return base;
  }

  function merge(a, b) {
    var out = Object.assign({}, a);
    Object.keys(b).forEach(function (k) {
      var plainObject = b[k] && typeof b[k] === 'object' && !Array.isArray(b[k]);
      out[k] = plainObject ? Object.assign({}, a[k], b[k]) : b[k];
    });
    return out;
  }

  function zoomOf(z) {
    var out = { startValue: state.from, endValue: state.to, animation: false };
    if (z.type === 'inside') {
      out.disabled = true; // the wheel belongs to the page
    } else {
      Object.assign(out, {
        show: !printing, left: left(), right: right(), height: 18, bottom: 4, showDetail: false, brushSelect: false, realtime: true,
        borderColor: 'transparent', fillerColor: isDark() ? 'rgba(86,180,233,.22)' : 'rgba(0,114,178,.16)',
        handleStyle: { color: isDark() ? '#b4bdc6' : '#4a545e' }, moveHandleSize: 4
      });
    }
    return out;
  }

  // --- drawing -----------------------------------------------------------
  function start(spec) {
    var el = id('chart-' + spec.id);
    if (!el || !spec.option) { return; }
    el.style.height = spec.height + 'px';
    var c = { spec: spec, el: el, hidden: {} };
    c.inst = echarts.init(el, null, { renderer: 'canvas', width: width(), height: spec.height });
    c.labels = doc.createElement('div');
    c.labels.className = 'labels';
    c.key = doc.querySelector('.key[data-chart="' + spec.id + '"]');
    c.marks = marks();
    draw(c);
    el.appendChild(c.labels);
    Object.keys(c.marks).forEach(function (name) { el.appendChild(c.marks[name]); });
    c.inst.on('datazoom', function () { fromSlider(c); });
    charts.push(c);
  }

  function draw(c) {
    c.inst.setOption(options(c), { notMerge: true });
    Object.keys(c.hidden).forEach(function (name) {
      if (c.hidden[name]) { c.inst.dispatchAction({ type: 'legendUnSelect', name: name }); }
    });
    labelLines(c);
  }

  function redraw() { charts.forEach(draw); overlay(); }

  function fromSlider(c) {
    if (!c.spec.option.dataZoom.some(function (z) { return z.type === 'slider'; })) { return; }
    var z = c.inst.getOption().dataZoom[0];
    if (Math.abs(z.startValue - state.from) + Math.abs(z.endValue - state.to) < 1e-6) { return; }
    setWindow(z.startValue, z.endValue);
  }

  // pairOf gives time and value of a drawn sample, which may carry a symbol.
  function pairOf(p) { return Array.isArray(p) ? p : p.value; }

  // indexAt finds the last drawn sample at or before t.
  function indexAt(samples, t) {
    var lo = 0, hi = samples.length;
    while (lo < hi) {
      var mid = (lo + hi) >> 1;
      if (pairOf(samples[mid])[0] <= t) { lo = mid + 1; } else { hi = mid; }
    }
    return lo - 1;
  }

  // valueAt is the drawn sample nearest to t; null in a break.
  function valueAt(samples, t) {
    var i = indexAt(samples, t), a = i >= 0 ? pairOf(samples[i]) : null;
    var b = i + 1 < samples.length ? pairOf(samples[i + 1]) : null;
    if (a && a[0] === t && a[1] !== null) { return a[1]; }
    if (a && a[1] === null) { a = null; }
    if (b && b[1] === null) { b = null; }
    if (a && b) { return t - a[0] <= b[0] - t ? a[1] : b[1]; }
    var near = data.step * data.bucket * 1.5;
    if (a && t - a[0] <= near) { return a[1]; }
    if (b && b[0] - t <= near) { return b[1]; }
    return null;
  }

  // labelLines writes each line's short name beside it: in the right margin
  // where the lines end apart, else inside, at the moment where they lie
  // farthest apart. Names that would cover one another share one label.
  function labelLines(c) {
    c.labels.textContent = '';
    c.spec.panels.forEach(function (panel, pi) {
      if (panel.rows.length) { labelLanes(c, panel, pi); return; }
      var lines = labelled(c, pi);
      if (!lines.length || narrow() && lines.length < 2) { return; }
      var best = spot(c, panel, pi, lines, state.to, true);
      for (var k = 1; k < 24 && best.length < lines.length; k++) {
        var at = spot(c, panel, pi, lines, state.to - (state.to - state.from) * k / 25, false);
        if (at.length > best.length || at.length === best.length && at.length && at[0].inside && best[0].inside && spread(at) > spread(best)) { best = at; }
      }
      best.forEach(function (g) { write(c, g.text, g.x, g.y - 7, g.colour, g.inside ? 'inside' : ''); });
    });
  }

  function spread(labels) { return labels[labels.length - 1].y - labels[0].y; }

  function labelled(c, pi) {
    var out = [];
    c.spec.series.forEach(function (s, i) {
      if (s.panel === pi && s.short && !c.hidden[c.spec.option.series[i].name]) { out.push(i); }
    });
    return out;
  }

  // spot tries one moment and returns the labels that it would give.
  function spot(c, panel, pi, lines, t, atEnd) {
    if (atEnd && right() < 40) { return []; }
    var ends = [];
    lines.forEach(function (i) {
      var data = c.spec.option.series[i].data;
      var v = atEnd ? lastIn(data) : valueAt(data, t);
      if (v === null) { return; }
      var y = c.inst.convertToPixel({ yAxisIndex: pi }, v);
      if (y < panel.top - 1 || y > panel.top + panel.height + 1) { if (!atEnd) { return; } }
      ends.push({ y: clamp(y, panel.top, panel.top + panel.height), text: c.spec.series[i].short, colour: colourOf(c, i) });
    });
    ends.sort(function (a, b) { return a.y - b.y; });
    return group(ends, atEnd ? width() - right() + 5 : xOf(t), !atEnd);
  }

  function group(ends, x, inside) {
    var out = [];
    ends.forEach(function (e) {
      var last = out[out.length - 1];
      if (last && e.y - last.low < 13) { last.names.push(e.text); last.low = Math.max(last.low, e.y); } else { out.push({ y: e.y, low: e.y, x: x, inside: inside, names: [e.text], colour: e.colour }); }
    });
    out.forEach(function (g) {
      var all = g.names.join(', ');
      g.text = all.length <= 14 ? all : g.names[0] + ' +' + (g.names.length - 1);
      g.y = (g.y + g.low) / 2;
      if (g.names.length > 1) { g.colour = ''; }
    });
    return out;
  }

  // lastIn is the last drawn value inside the window.
  function lastIn(samples) {
    for (var i = indexAt(samples, state.to); i >= 0; i--) {
      var p = pairOf(samples[i]);
      if (p[1] !== null) { return p[0] >= state.from || i + 1 < samples.length && pairOf(samples[i + 1])[1] !== null ? p[1] : null; }
    }
    return null;
  }

  // labelLanes writes the cell's number before its first stroke in each lane.
  function labelLanes(c, panel, pi) {
    var seen = {};
    labelled(c, pi).forEach(function (i) {
      c.spec.option.series[i].data.forEach(function (p, k, data) {
        var a = pairOf(p), b = k + 1 < data.length ? pairOf(data[k + 1]) : null;
        if (a[1] === null || !b || b[1] === null || b[0] < state.from || a[0] > state.to || seen[a[1]]) { return; }
        seen[a[1]] = true;
        var x = Math.max(xOf(a[0]), left()) - 9;
        write(c, c.spec.series[i].short, x, c.inst.convertToPixel({ yAxisIndex: pi }, a[1]) - 6, colourOf(c, i), 'lanes');
      });
    });
  }

  function write(c, text, x, y, colour, kind) {
    var span = doc.createElement('span');
    span.textContent = text;
    span.className = kind;
    span.style.left = x + 'px';
    span.style.top = y + 'px';
    span.style.color = colour;
    c.labels.appendChild(span);
  }

  // --- window and cursor -------------------------------------------------
  function setWindow(from, to, keepFocus) {
    var least = Math.max(data.step * 4, (data.last - data.first) / 5000);
    if (!(to - from >= least)) { var mid = (from + to) / 2; from = mid - least / 2; to = mid + least / 2; }
    var span = Math.min(to - from, data.last - data.first);
    from = clamp(from, data.first, data.last - span);
    state.from = from;
    state.to = from + span;
    if (!keepFocus) { state.focus = null; }
    charts.forEach(function (c) {
      c.inst.setOption({
        dataZoom: c.spec.option.dataZoom.map(function () { return { startValue: state.from, endValue: state.to }; }),
        xAxis: c.spec.option.xAxis.map(function () { var at = ticks(narrow() ? 4 : 9); return { axisLabel: { customValues: at }, axisTick: { customValues: at } }; })
      });
      labelLines(c);
    });
    overlay();
    remember();
  }

  function whole() { return state.from <= data.first && state.to >= data.last; }

  function remember() {
    var hash = whole() ? '#charts' : '#t=' + plain(state.from) + ',' + plain(state.to);
    try { history.replaceState(null, '', hash); } catch (e) { /* some viewers forbid it */ }
  }

  function recall() {
    var m = /^#t=(-?[\d.]+),(-?[\d.]+)$/.exec(location.hash);
    if (m && +m[2] > +m[1]) { state.from = clamp(+m[1], data.first, data.last); state.to = clamp(+m[2], state.from + data.step, data.last); return true; }
    return false;
  }

  // marks are the overlays of one chart: cursor, time of the finding, drag.
  function marks() {
    var out = {};
    ['focus', 'drag', 'cursor'].forEach(function (name) {
      out[name] = doc.createElement('div');
      out[name].className = name;
      out[name].hidden = true;
    });
    return out;
  }

  // place shows an overlay over the plots of every chart, at one place.
  function place(name, x0, x1) {
    charts.forEach(function (c) {
      var el = c.marks[name], p = c.spec.panels, last = p[p.length - 1];
      el.hidden = x0 === null;
      if (x0 === null) { return; }
      el.style.left = x0 + 'px';
      el.style.width = Math.max(x1 - x0, 0) + 'px';
      el.style.top = p[0].top + 'px';
      el.style.height = (last.top + last.height - p[0].top) + 'px';
    });
  }

  function overlay() {
    if (!charts.length) { return; }
    id('window').textContent = whole() ? 'Whole record, ' + clock(data.last) : 'Shown: ' + clock(state.from) + ' to ' + clock(state.to);
    var edge = left() + plotWidth(), f = state.focus;
    if (f && f.to >= state.from && f.from <= state.to) {
      place('focus', clamp(xOf(f.from), left(), edge), clamp(xOf(f.to), left(), edge));
    } else { place('focus', null); }
    placeCursor();
    lane();
    readout();
  }

  function placeCursor() {
    var t = state.cursor;
    if (t !== null && t >= state.from && t <= state.to) { place('cursor', xOf(t), xOf(t)); } else { place('cursor', null); }
  }

  function readout() {
    var t = state.cursor;
    id('moment').textContent = t === null ? '' : 'Cursor: ' + clock(t) + ' (' + plain(t) + ' s)';
    charts.forEach(function (c) {
      if (!c.key) { return; }
      c.key.querySelectorAll('button').forEach(function (b) {
        var out = b.querySelector('output');
        if (!out) { return; }
        var i = +b.dataset.series, s = c.spec.series[i];
        var v = t === null ? null : valueAt(c.spec.option.series[i].data, t);
        out.textContent = t === null ? '' : v === null ? '\u2013' : v.toFixed(Math.min(s.decimals, 2)).replace('-', '\u2212') + (s.unit ? ' ' + s.unit : '');
      });
    });
  }

  function setCursor(t) {
    state.cursor = t === null ? null : clamp(t, state.from, state.to);
    placeCursor();
    readout();
  }

  // --- findings ----------------------------------------------------------
  function lane() {
    var el = id('lane'), rows = [];
    el.textContent = '';
    data.findings.forEach(function (f) {
      if (f.from === null || f.to < state.from || f.from > state.to) { return; }
      var x0 = clamp(xOf(f.from), left(), left() + plotWidth() - 28);
      var x1 = Math.max(clamp(xOf(f.to), left(), left() + plotWidth()), x0 + 28);
      var row = 0;
      while (row < rows.length && rows[row] > x0) { row++; }
      rows[row] = x1 + 2;
      var b = doc.createElement('button');
      b.type = 'button';
      b.className = f.severity;
      b.textContent = x1 - x0 < 90 ? f.label : f.label + ' ' + f.title;
      b.title = f.severity + ': ' + f.title;
      b.style.left = x0 + 'px';
      b.style.width = (x1 - x0) + 'px';
      b.style.top = (row * 1.5) + 'rem';
      b.addEventListener('click', function () { id(f.anchor).scrollIntoView(); });
      el.appendChild(b);
    });
    el.style.height = (rows.length * 1.5) + 'rem';
  }

  function show(from, to) {
    state.focus = { from: from, to: to };
    var pad = Math.max((to - from) * 0.35, data.step * 20);
    setWindow(from - pad, to + pad, true);
    id('charts').scrollIntoView();
    plots.focus({ preventScroll: true });
  }

  doc.addEventListener('click', function (e) {
    var a = e.target.closest ? e.target.closest('a.goto') : null;
    if (!a) { return; }
    e.preventDefault();
    show(+a.dataset.from, +a.dataset.to);
  });

  // --- pointer, keys, buttons --------------------------------------------
  function overPlot(e) {
    var el = e.target.closest ? e.target.closest('.plot') : null;
    if (!el) { return null; }
    var c = charts.find(function (x) { return x.el === el; });
    if (!c) { return null; }
    var box = el.getBoundingClientRect(), y = e.clientY - box.top;
    var last = c.spec.panels[c.spec.panels.length - 1];
    return { x: e.clientX - box.left, inside: y <= last.top + last.height + 4 };
  }

  var dragFrom = null;
  plots.addEventListener('pointerdown', function (e) {
    var p = overPlot(e);
    if (!p || !p.inside || e.button !== 0) { return; }
    setCursor(tOf(clamp(p.x, left(), left() + plotWidth())));
    if (e.pointerType === 'mouse') { dragFrom = p.x; }
  });
  plots.addEventListener('pointermove', function (e) {
    var p = overPlot(e);
    if (!p) { return; }
    var x = clamp(p.x, left(), left() + plotWidth());
    if (dragFrom !== null) {
      place('drag', Math.min(clamp(dragFrom, left(), left() + plotWidth()), x), Math.max(dragFrom, x));
    } else if (p.inside) { setCursor(tOf(x)); }
  });
  window.addEventListener('pointerup', function (e) {
    if (dragFrom === null) { return; }
    var a = dragFrom;
    dragFrom = null;
    place('drag', null);
    var box = charts[0].el.getBoundingClientRect(), x = e.clientX - box.left;
    if (Math.abs(x - a) < 6) { return; }
    var t0 = tOf(clamp(Math.min(a, x), left(), left() + plotWidth()));
    var t1 = tOf(clamp(Math.max(a, x), left(), left() + plotWidth()));
    setWindow(t0, t1);
  });

  function act(what) {
    var span = state.to - state.from, mid = state.cursor === null ? (state.from + state.to) / 2 : state.cursor;
    if (what === 'all') { setWindow(data.first, data.last); }
    if (what === 'in') { setWindow(mid - span / 4, mid + span / 4, true); }
    if (what === 'out') { setWindow(mid - span, mid + span, true); }
    if (what === 'left') { setWindow(state.from - span / 2, state.to - span / 2, true); }
    if (what === 'right') { setWindow(state.from + span / 2, state.to + span / 2, true); }
  }

  plots.addEventListener('click', function (e) {
    var b = e.target.closest ? e.target.closest('button') : null;
    if (!b) { return; }
    if (b.dataset.do) { act(b.dataset.do); }
    if (b.dataset.series) { toggle(b); }
  });

  function toggle(b) {
    var c = charts.find(function (x) { return x.key && x.key.contains(b); });
    if (!c) { return; }
    var name = c.spec.option.series[+b.dataset.series].name;
    c.hidden[name] = !c.hidden[name];
    b.setAttribute('aria-pressed', String(!c.hidden[name]));
    c.inst.dispatchAction({ type: c.hidden[name] ? 'legendUnSelect' : 'legendSelect', name: name });
    labelLines(c);
  }

  plots.addEventListener('keydown', function (e) {
    if (e.target !== plots || e.ctrlKey || e.metaKey || e.altKey) { return; }
    var span = state.to - state.from, step = span / (e.shiftKey ? 10 : 100);
    var at = state.cursor === null ? state.from : state.cursor;
    var keys = {
      ArrowLeft: function () { setCursor(at - step); },
      ArrowRight: function () { setCursor(at + step); },
      Home: function () { setCursor(state.from); },
      End: function () { setCursor(state.to); },
      '+': function () { act('in'); }, '=': function () { act('in'); }, '-': function () { act('out'); }, '0': function () { act('all'); }
    };
    if (keys[e.key]) { e.preventDefault(); keys[e.key](); }
  });

  // --- size, theme, paper ------------------------------------------------
  function resize() {
    charts.forEach(function (c) { c.inst.resize({ width: width(), height: c.spec.height, silent: true }); });
    redraw();
  }

  var pending = 0;
  window.addEventListener('resize', function () {
    window.clearTimeout(pending);
    pending = window.setTimeout(resize, 80);
  });
  dark.addEventListener('change', redraw);
  window.addEventListener('beforeprint', function () { printing = true; resize(); });
  window.addEventListener('afterprint', function () { printing = false; resize(); });

  recall();
  data.charts.forEach(start);
  overlay();
  window.addEventListener('hashchange', function () { if (recall()) { setWindow(state.from, state.to); } });
}());
