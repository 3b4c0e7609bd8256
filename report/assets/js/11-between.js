// Two marks, A and B: what changed between them, and what was taken in meanwhile.

function mark(name) {
  state[name] = state.cursor === null ? state.from : state.cursor;
  later('overlay', overlay);
  between();
  remember();
}

function unmark() {
  state.a = state.b = null;
  later('overlay', overlay);
  between();
  remember();
}

// integral of a column from t0 to t1 by straight lines between its rows, with
// the seconds that it covers: gaps and rows without a figure are left out.
function integral(name, t0, t1) {
  const c = columns[name];
  let sum = 0, covered = 0;
  for (let i = Math.max(rowBefore(t0), 0); i + 1 < rows && times[i] < t1; i++) {
    if (c.n[i] === c.none || c.n[i + 1] === c.none || columns.gap && columns.gap.n[i] === 1) { continue; }
    const lo = Math.max(times[i], t0), hi = Math.min(times[i + 1], t1);
    if (!(hi > lo)) { continue; }
    const a = c.n[i] / c.scale, slope = (c.n[i + 1] / c.scale - a) / (times[i + 1] - times[i]);
    const mean = a + slope * ((lo + hi) / 2 - times[i]);
    sum += mean * (hi - lo);
    covered += hi - lo;
  }
  return { sum, covered };
}

// compared are the columns of the table: name, words, unit, decimals, whether an
// integral over time means something.
function compared() {
  const list = [['depth', say('moment.depth'), 'm', 1, true], ['setpoint', say('moment.setpoint'), 'bar', 2, true], ['unit', say('moment.unit'), 'bar', 2, true]];
  data.cells.forEach(n => list.push(['cell' + n, say('cell', n), 'bar', 2, true]));
  data.policies.forEach((p, k) => { if (p.name === 'mid-value') { list.push(['policy' + k, p.name, 'bar', 2, true]); } });
  list.push(['estimate', say('moment.estimate'), 'bar', 2, true], ['cns', say('moment.cns'), '%', 1, false], ['otu', say('moment.otu'), '', 1, false]);
  return list.filter(r => columns[r[0]]);
}

function between() {
  const box = id('between');
  if (!panel.why) { return; }
  if (state.a === null || state.b === null) {
    box.replaceChildren(make('p', {}, say(state.a === null && state.b === null ? 'between.none' : 'between.one', clock(state.a === null ? state.b || data.first : state.a))));
    return;
  }
  const t0 = Math.min(state.a, state.b), t1 = Math.max(state.a, state.b), i = rowNear(t0), j = rowNear(t1);
  let least = t1 - t0;
  const body = compared().map(([name, words, unit, d, sums]) => {
    const s = sums ? integral(name, t0, t1) : null;
    if (s) { least = Math.min(least, s.covered); }
    const total = s && s.covered > 0 ? figure(shown(s.sum / 60, unit), '', 1) + ' ' + unitName(unit) + ' min' : '';
    const mean = s && s.covered > 0 ? figure(shown(s.sum / s.covered, unit), '', d) : '';
    return make('tr', {}, make('th', { scope: 'row' }, words + (unit ? ', ' + unitName(unit) : '')),
      ...[figure(shown(value(name, i), unit), '', d), figure(shown(value(name, j), unit), '', d), signed(shown(value(name, j) - value(name, i), unit), '', d), mean, total].map(x => make('td', {}, x)));
  });
  const open = openSoFar && i >= 0 && j >= 0 ? [make('p', {}, say('between.open', figure(openSoFar[j] - openSoFar[i], 's', 1)))] : [];
  box.replaceChildren(
    make('p', {}, say('between.span', clock(t0), clock(t1), lasting(t1 - t0)) + (least < t1 - t0 - data.step ? ' ' + say('between.covered', lasting(least)) : '')),
    make('div', { className: 'scroll', tabIndex: 0, role: 'region', 'aria-label': say('between.title') },
      make('table', {}, headed('', 'A', 'B', 'B ' + minus + ' A', say('between.mean'), say('between.integral')), make('tbody', {}, ...body))), ...open);
}


