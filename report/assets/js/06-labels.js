// Direct labels: each line's short name beside it, in the right margin where the
// lines end apart, else inside, at the moment where they lie farthest apart.
// Names that would cover one another share one label.

function pointBefore(points, t) {
  let lo = 0, hi = points.length;
  while (lo < hi) {
    const mid = (lo + hi) >> 1;
    if (points[mid][0] <= t) { lo = mid + 1; } else { hi = mid; }
  }
  return lo - 1;
}

// drawnAt is the drawn figure at t, null in a break.
function drawnAt(points, t) {
  const i = pointBefore(points, t);
  const a = points[i], b = points[i + 1];
  if (!a || !b || a[1] === null || b[1] === null) { return null; }
  return t - a[0] <= b[0] - t ? a[1] : b[1];
}

// drawnLast is the last drawn figure in the window.
function drawnLast(points) {
  for (let i = pointBefore(points, state.to); i >= 0; i--) {
    if (points[i][1] !== null) { return points[i][0] >= state.from || points[i + 1] && points[i + 1][1] !== null ? points[i][1] : null; }
  }
  return null;
}

function labelLines(c) {
  c.labels.textContent = '';
  c.spec.panels.forEach((panel, k) => {
    if (panel.rows.length) { labelLanes(c, k); return; }
    const lines = labelled(c, k);
    if (!lines.length || narrow() && lines.length < 2) { return; }
    let best = spot(c, panel, k, lines, state.to, true);
    for (let j = 1; j < 24 && best.length < lines.length; j++) {
      const at = spot(c, panel, k, lines, state.to - (state.to - state.from) * j / 25, false);
      if (at.length > best.length || at.length === best.length && at.length && at[0].inside && best[0].inside && spread(at) > spread(best)) { best = at; }
    }
    best.forEach(g => write(c, g.text, g.x, g.y - 7, g.colour, g.inside ? 'inside' : ''));
  });
}

function spread(labels) { return labels[labels.length - 1].y - labels[0].y; }

function labelled(c, k) {
  const out = [];
  c.spec.series.forEach((s, i) => { if (s.panel === k && s.short && !c.hidden[c.spec.option.series[i].name]) { out.push(i); } });
  return out;
}

// spot tries one moment and returns the labels that it would give.
function spot(c, panel, k, lines, t, atEnd) {
  if (atEnd && right() < 40) { return []; }
  const ends = [];
  lines.forEach(i => {
    const v = atEnd ? drawnLast(c.lines[i]) : drawnAt(c.lines[i], t);
    if (v === null) { return; }
    const y = c.inst.convertToPixel({ yAxisIndex: k }, v);
    const out = y < panel.top - 1 || y > panel.top + panel.height + 1;
    if (out && !atEnd) { return; }
    ends.push({ y: clamp(y, panel.top, panel.top + panel.height), text: c.spec.series[i].short, colour: colourOf(c, i) });
  });
  ends.sort((a, b) => a.y - b.y);
  return group(ends, atEnd ? width() - right() + 5 : xOf(t), !atEnd);
}

function group(ends, x, inside) {
  const out = [];
  ends.forEach(e => {
    const last = out[out.length - 1];
    if (last && e.y - last.low < 13) { last.names.push(e.text); last.low = Math.max(last.low, e.y); } else { out.push({ y: e.y, low: e.y, x, inside, names: [e.text], colour: e.colour }); }
  });
  out.forEach(g => {
    const all = g.names.join(', ');
    g.text = all.length <= 14 ? all : g.names[0] + ' +' + (g.names.length - 1);
    g.y = (g.y + g.low) / 2;
    if (g.names.length > 1) { g.colour = ''; }
  });
  return out;
}

// labelLanes writes the cell's number before its first stroke in each lane.
function labelLanes(c, k) {
  const seen = {};
  labelled(c, k).forEach(i => {
    const points = c.lines[i];
    points.forEach((a, j) => {
      const b = points[j + 1];
      if (a[1] === null || !b || b[1] === null || b[0] < state.from || a[0] > state.to || seen[a[1]]) { return; }
      seen[a[1]] = true;
      write(c, c.spec.series[i].short, Math.max(xOf(a[0]), left()) - 9, c.inst.convertToPixel({ yAxisIndex: k }, a[1]) - 6, colourOf(c, i), 'lanes');
    });
  });
}

function write(c, text, x, y, colour, kind) {
  const span = make('span', { className: kind }, text);
  // The name is in the text's own ink, readable on any ground; the line's colour stands beside it.
  Object.assign(span.style, { left: x + 'px', top: y + 'px', borderLeftColor: colour || 'transparent' });
  c.labels.append(span);
}
