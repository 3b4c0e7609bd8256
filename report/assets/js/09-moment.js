// The moment in words and figures: what was read, what each policy made of it
// and why, what the controller did, and how the doses stood.
const panel = { facts: {}, cells: [], policies: [] };

// meant is a text that leads to its definition or rule, where the page has one.
function meant(text, target) {
  return has(target) ? make('a', { className: 'def', href: '#' + target }, text) : text;
}

const definitionOf = { depth: 'def-ambient', unit: 'def-po2', hypoxia: 'def-minutes-to-hypoxia', cns: 'def-cns-step', otu: 'def-otu', oxygen: 'def-vo2' };

function fact(list, key) {
  const dd = make('dd', {});
  list.append(make('div', {}, make('dt', {}, meant(say('moment.' + key), definitionOf[key] || 'def-' + key)), dd));
  panel.facts[key] = dd;
}

function headed(...names) { return make('thead', {}, make('tr', {}, ...names.map(n => make('th', { scope: 'col' }, n)))); }

function buildMoment() {
  const box = id('moment-body');
  const gas = make('dl', { className: 'facts' }), rest = make('dl', { className: 'facts' });
  ['depth', 'breathing', 'setpoint', 'unit'].concat(columns.estimate ? ['estimate'] : [], columns.helium ? ['helium'] : []).forEach(k => fact(gas, k));
  // A bare record carries no replays, and then no doses either.
  (data.policies.length ? ['valves', 'oxygen', 'hypoxia', 'cns', 'otu'] : ['valves']).forEach(k => fact(rest, k));
  const cells = make('tbody', {}), policies = make('tbody', {});
  data.cells.forEach(n => {
    const row = [make('td', {}), make('td', {}), make('td', {})];
    cells.append(make('tr', {}, make('th', { scope: 'row' }, String(n)), ...row));
    panel.cells.push(row);
  });
  data.policies.forEach(p => {
    const row = [make('td', {})].concat(data.cells.map(() => make('td', { className: 'place' })));
    const name = make('th', { scope: 'row' }, meant(p.name, 'vote-' + p.name));
    policies.append(make('tr', {}, name, ...row));
    panel.policies.push(row);
  });
  panel.why = make('ul', { className: 'why' });
  box.append(gas,
    make('h4', {}, say('moment.cells')),
    make('table', {}, headed(say('moment.cell'), say('moment.reading'), say('moment.distance'), say('moment.unitvote')), cells));
  if (data.policies.length) { box.append(make('h4', {}, say('moment.policies')),
    make('div', { className: 'scroll', tabIndex: 0, role: 'region', 'aria-label': say('moment.policies') },
      make('table', { className: 'votes' }, headed(say('moment.policy'), say('moment.po2'), ...data.cells.map(n => say('cell', n))), policies)),
    make('p', { className: 'remark' }, say('moment.legend')),
    make('h4', {}, say('moment.why')), panel.why); }
  box.append(make('h4', {}, say('moment.control')), rest);
  buildSums();
  // Where the panel lies over the charts it begins folded.
  if (window.matchMedia('(max-width: 68rem)').matches) { id('moment-details').open = false; }
}

// sums of the valves' seconds and of the time on the loop, to read oxygen in and
// oxygen used so far.
let openSoFar = null, loopSoFar = null;
function buildSums() {
  if (data.valves.length) {
    openSoFar = new Float64Array(rows);
    for (let i = 0, sum = 0; i < rows; i++) {
      data.valves.forEach(n => { const v = value('valve' + n, i); if (v > 0) { sum += v; } });
      openSoFar[i] = sum;
    }
  }
  loopSoFar = new Float64Array(rows);
  for (let i = 1; i < rows; i++) {
    const gap = columns.gap && columns.gap.n[i - 1] === 1;
    loopSoFar[i] = loopSoFar[i - 1] + (gap || value('loop', i - 1) === 0 ? 0 : times[i] - times[i - 1]);
  }
}

// moment rewrites the panel for a row; -1 stands for no row.
function moment(i) {
  const t = state.cursor;
  put(id('moment-time'), t === null ? say('moment.none') : clock(t));
  put(id('moment-log'), t === null ? '' : i < 0 ? say('moment.gap', plain(t)) : say('moment.log', plain(times[i])));
  if (!panel.why) { return; }
  id('scrub').value = t === null ? data.first : t;
  id('scrub').setAttribute('aria-valuetext', t === null ? say('moment.none') : clock(t));
  const f = panel.facts, at = (name, unit, d) => figure(value(name, i), unit, d);
  put(f.depth, columns.depth ? at('depth', 'm', 1) + phaseWords(t) : at('ambient', 'bar', 2) + phaseWords(t));
  put(f.breathing, i < 0 ? unknownMark : value('loop', i) === 0 ? say('moment.open') : say('moment.loop'));
  put(f.setpoint, at('setpoint', 'bar', 2));
  put(f.unit, at('unit', 'bar', 2));
  if (f.estimate) { put(f.estimate, at('estimate', 'bar', 2) + (columns['estimate-low'] && i >= 0 ? ' ' + say('moment.band', at('estimate-low', '', 2), at('estimate-high', '', 2)) : '')); }
  if (f.helium) { put(f.helium, at('helium', 'bar', 2)); }
  momentFindings(t);
  momentCells(i);
  momentPolicies(i, t);
  momentControl(i, f);
  momentRemarks(t);
}

// momentFindings names the findings that hold at the cursor, each a link to its text.
function momentFindings(t) {
  const now = t === null ? [] : data.findings.filter(f => f.from !== null && f.from <= t && t <= f.to);
  const key = now.map(f => f.label).join(' ');
  if (panel.findingKey === key) { return; }
  panel.findingKey = key;
  id('moment-findings').replaceChildren(...now.map((f, k) => make('a', { href: '#' + f.anchor, className: f.severity, title: f.title }, k ? f.label : f.label + ' ' + f.title)));
}

function phaseWords(t) {
  const p = t === null ? null : data.phases.find(x => t >= x.from_s && t <= x.to_s);
  return p ? ', ' + p.kind : '';
}

// fromOthers is a cell's distance from the mean of the others that have a reading.
function fromOthers(k, i) {
  let sum = 0, n = 0;
  data.cells.forEach((c, j) => { const v = value('cell' + c, i); if (j !== k && !Number.isNaN(v)) { sum += v; n++; } });
  return n ? { mean: sum / n, distance: value('cell' + data.cells[k], i) - sum / n } : { mean: NaN, distance: NaN };
}

function tolerance(mean) { return Math.max(data.vote.out_bar, data.vote.relative * mean) + 1e-6; }

const unitVotes = ['', 'in', 'out', 'manual-in', 'manual-out'];

function momentCells(i) {
  data.cells.forEach((n, k) => {
    const d = fromOthers(k, i), over = Math.abs(d.distance) > tolerance(d.mean);
    const [reading, distance, vote] = panel.cells[k];
    put(reading, figure(value('cell' + n, i), '', 2));
    put(distance, signed(d.distance, '', 2) + (over ? ' ' + say('moment.over') : ''));
    distance.className = over ? 'beyond' : '';
    const v = value('unitvote' + n, i);
    put(vote, v > 0 ? say('vote.' + unitVotes[v]) : say('vote.not-recorded'));
  });
}

// outOf finds the stretch in which a policy has a cell out at t.
function outOf(p, cell, t) { return p.outs.find(o => o.cell === cell && o.from <= t && t <= o.to) || null; }

const states = ['none', 'undecided', 'agreed'];

function momentPolicies(i, t) {
  const reasons = new Map(), undecided = [];
  data.policies.forEach((p, k) => {
    const [po2, ...places] = panel.policies[k];
    const mask = value('policy' + k + '-in', i), s = states[value('policy' + k + '-state', i)] || '';
    put(po2, figure(value('policy' + k, i), '', 2) + (s === 'undecided' ? ' ' + say('state.undecided') : ''));
    po2.className = s;
    if (s === 'undecided') { undecided.push(p.name); }
    data.cells.forEach((n, j) => {
      const bit = p.cells.indexOf(n), out = i < 0 ? null : outOf(p, n, t);
      const isIn = bit >= 0 && Math.floor(mask / Math.pow(2, bit)) % 2 === 1;
      const word = i < 0 || bit < 0 ? '' : Number.isNaN(value('cell' + n, i)) ? 'absent' : isIn ? 'in' : out ? 'out' : 'unused';
      put(places[j], word ? say('place.' + word) : unknownMark);
      places[j].className = 'place ' + word;
      if (out && word === 'out') {
        const key = out.reason + ' ' + clock(out.from);
        reasons.set(key, (reasons.get(key) || { out, names: [] }));
        reasons.get(key).names.push(p.name);
      }
    });
  });
  why(i, reasons, undecided);
}

// why says why the vote fell as it did.
function why(i, reasons, undecided) {
  const lines = [];
  if (i < 0) { lines.push(say(state.cursor === null ? 'moment.none' : 'why.gap')); } else {
    reasons.forEach(({ out, names }) => lines.push(say('why.out', names.join(', '), clock(out.from), out.reason)));
    if (undecided.length) { lines.push(say('why.undecided', undecided.join(', '))); }
    data.cells.forEach((n, k) => {
      const d = fromOthers(k, i), others = data.cells.filter((c, j) => j !== k && !Number.isNaN(value('cell' + c, i)));
      if (others.length > 1 && Math.abs(d.distance) > tolerance(d.mean)) {
        lines.push(say('why.now', n, figure(Math.abs(d.distance), '', 2), cellWords(others), figure(tolerance(d.mean) - 1e-6, '', 2)));
      }
    });
    if (!lines.length) { lines.push(say('why.all-in', figure(data.vote.out_bar, '', 2))); }
  }
  if (panel.whyText !== lines.join('\n')) {
    panel.whyText = lines.join('\n');
    panel.why.replaceChildren(...lines.map(l => make('li', {}, l)));
  }
}

function momentControl(i, f) {
  const open = data.valves.map(n => { const v = value('valve' + n, i); return v > 0 ? say('control.open', n, figure(v, 's', 2)) : null; }).filter(Boolean);
  put(f.valves, !data.valves.length ? say('control.no-valves') : i < 0 ? unknownMark : open.join('; ') || say('control.shut'));
  if (!f.oxygen) { return; }
  put(f.oxygen, oxygenWords(i));
  put(f.hypoxia, columns.hypoxia ? figure(value('hypoxia', i), 'min', 1) : say('control.hypoxia-unknown'));
  put(f.cns, columns.cns ? figure(value('cns', i), '%', 1) : say('not-known'));
  put(f.otu, columns.otu ? figure(value('otu', i), '', 0) : say('not-known'));
}

function oxygenWords(i) {
  if (i < 0) { return unknownMark; }
  const into = data.flow !== null && openSoFar ? say('control.in', figure(data.flow * openSoFar[i] / 60, 'L', 0)) : say('control.in-unknown');
  const used = data.vo2 !== null ? say('control.used', figure(data.vo2 * loopSoFar[i] / 60, 'L', 0)) : say('control.used-unknown');
  return into + '; ' + used;
}
