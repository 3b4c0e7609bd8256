// The questions of a sheet: answers are read, committed to with a code, and saved
// as a file. The script fetches nothing, sends nothing and writes no markup.
(function () {
'use strict';
const doc = document;
const id = name => doc.getElementById(name);
const data = JSON.parse(id('sheet-data').textContent);
const stages = [];

// --- SHA-256 (FIPS 180-4), since a page from a file has no other for certain ---
function primes(n) {
  const p = [];
  for (let k = 2; p.length < n; k++) { if (p.every(q => k % q)) { p.push(k); } }
  return p;
}
const fraction = x => Math.floor((x - Math.floor(x)) * 4294967296);
const roundKeys = primes(64).map(p => fraction(Math.cbrt(p)));
const startWords = primes(8).map(p => fraction(Math.sqrt(p)));
const turn = (x, n) => (x >>> n) | (x << (32 - n));

function sha256(bytes) {
  const length = bytes.length, padded = new Uint8Array(((length + 72) >> 6) << 6);
  padded.set(bytes);
  padded[length] = 0x80;
  const view = new DataView(padded.buffer);
  view.setUint32(padded.length - 4, length * 8);
  const h = Uint32Array.from(startWords), w = new Uint32Array(64);
  for (let at = 0; at < padded.length; at += 64) {
    for (let i = 0; i < 16; i++) { w[i] = view.getUint32(at + 4 * i); }
    for (let i = 16; i < 64; i++) {
      const a = w[i - 15], b = w[i - 2];
      w[i] = w[i - 16] + (turn(a, 7) ^ turn(a, 18) ^ (a >>> 3)) + w[i - 7] + (turn(b, 17) ^ turn(b, 19) ^ (b >>> 10));
    }
    const v = Array.from(h);
    for (let i = 0; i < 64; i++) {
      const one = (v[7] + (turn(v[4], 6) ^ turn(v[4], 11) ^ turn(v[4], 25)) + ((v[4] & v[5]) ^ (~v[4] & v[6])) + roundKeys[i] + w[i]) >>> 0;
      const two = ((turn(v[0], 2) ^ turn(v[0], 13) ^ turn(v[0], 22)) + ((v[0] & v[1]) ^ (v[0] & v[2]) ^ (v[1] & v[2]))) >>> 0;
      v.pop();
      v.unshift((one + two) >>> 0);
      v[4] = (v[4] + one) >>> 0;
    }
    v.forEach((x, i) => { h[i] = h[i] + x; });
  }
  const out = new DataView(new ArrayBuffer(32));
  h.forEach((x, i) => out.setUint32(4 * i, x));
  return new Uint8Array(out.buffer);
}

// code is the short code of a stage; the marker computes the same.
const letters = '0123456789abcdefghjkmnpqrstvwxyz';
function codeOf(before, stage) {
  let text = data.schema + '\n' + data.sheet + '\n' + before + '\n' + stage.stage + '\n';
  stage.answers.forEach(a => { text += a.id + '=' + a.answer + '\n'; });
  const sum = sha256(new TextEncoder().encode(text));
  let n = 0, code = '';
  for (let i = 0; i < 5; i++) { n = n * 256 + sum[i]; }
  for (let i = 0; i < 8; i++) { code = letters[n % 32] + code; n = Math.floor(n / 32); }
  return code.slice(0, 4) + '-' + code.slice(4);
}

// --- reading the answers -------------------------------------------------------
function plain(text) { return text.trim().replace(',', '.').slice(0, 12); }

function answerOf(q) {
  const kind = q.dataset.kind, ticked = Array.from(q.querySelectorAll('input:checked')).map(e => e.value);
  if (kind === 'choice') { return ticked[0] || ''; }
  if (kind === 'cells') { return ticked.join(','); }
  if (kind === 'moment') { return ticked[0] === 'at' ? plain(q.querySelector('.figure').value) : ticked[0] || ''; }
  if (kind === 'number') { return plain(q.querySelector('.figure').value); }
  return q.querySelector('textarea').value.replace(/\s+/g, ' ').trim().slice(0, 1500);
}

// odd says what is wrong with an answer that can't be meant so.
function odd(q, answer) {
  const kind = q.dataset.kind;
  if (answer === '') { return kind === 'open' ? '' : 'open'; }
  if (kind === 'cells' && answer.includes(',') && /none|unknown/.test(answer)) { return 'cells and “none” or “can’t be known” together'; }
  if ((kind === 'number' || kind === 'moment' && answer !== 'start' && answer !== 'never') && !/^[+-]?\d*\.?\d+$/.test(answer)) { return 'no number'; }
  return '';
}

// --- committing ----------------------------------------------------------------
let warned = '';
function commit(form, number, after) {
  const said = id('said-' + number), questions = Array.from(form.querySelectorAll('.q'));
  const stage = { stage: number, answers: questions.map(q => ({ id: q.dataset.id, answer: answerOf(q) })) };
  const bad = questions.map((q, i) => ({ n: q.querySelector('legend').textContent.split('.')[0], why: odd(q, stage.answers[i].answer) })).filter(x => x.why);
  const wrong = bad.filter(x => x.why !== 'open');
  if (wrong.length) { said.textContent = wrong.map(x => 'Question ' + x.n + ': ' + x.why + '.').join(' '); return; }
  const key = number + ':' + bad.map(x => x.n).join(',');
  if (bad.length && warned !== key) {
    warned = key;
    said.textContent = 'Left open: question ' + bad.map(x => x.n).join(', ') + '. Commit again to leave it so; “can’t be known” may be the answer.';
    return;
  }
  stage.code = codeOf(stages.length ? stages[stages.length - 1].code : '', stage);
  stages.push(stage);
  questions.forEach(q => { q.disabled = true; });
  form.querySelector('button').disabled = true;
  said.textContent = 'Committed. Code ' + number + ': ' + stage.code + '. Tell it to your instructor now.';
  id('codes').textContent = stages.map(s => s.stage + ': ' + s.code).join('   ');
  id('hand-in').hidden = false;
  unsaved = true;
  after();
}

// --- the second look -----------------------------------------------------------
function make(tag, props, ...children) {
  const e = doc.createElement(tag);
  Object.entries(props || {}).forEach(([k, v]) => { if (/^(data|aria)-|^(role|scope)$/.test(k)) { e.setAttribute(k, v); } else { e[k] = v; } });
  e.append(...children);
  return e;
}

// unveil uncovers bytes with the stream of the sheet and the word, as the maker covered them.
function unveil(b, word) {
  let block = null;
  for (let i = 0; i < b.length; i++) {
    if (i % 32 === 0) { block = sha256(new TextEncoder().encode('afterloop second look\n' + data.sheet + '\n' + word + '\n' + i / 32)); }
    b[i] ^= block[i % 32];
  }
}

async function inflate(base64, word) {
  const s = atob(base64), b = new Uint8Array(s.length);
  for (let i = 0; i < s.length; i++) { b[i] = s.charCodeAt(i); }
  if (data.locked) { unveil(b, word); }
  return new Response(new Blob([b]).stream().pipeThrough(new DecompressionStream('deflate-raw'))).text();
}

function tableOf(t) {
  const out = [make('h3', {}, t.title), make('p', {}, t.lead)];
  if (t.head) {
    const head = make('tr', {}, ...t.head.map(h => make('th', { scope: 'col' }, h)));
    const body = t.rows.map(r => make('tr', {}, ...r.map((c, i) => make(i ? 'td' : 'th', i ? {} : { scope: 'row' }, c))));
    out.push(make('div', { className: 'scroll', tabIndex: 0, role: 'region', 'aria-label': t.title }, make('table', { className: 'narrow' }, make('thead', {}, head), make('tbody', {}, ...body))));
  }
  return out;
}

function option(q, type, value, ...text) {
  return make('label', { className: q.kind === 'cells' ? 'option short' : 'option' }, make('input', { type, name: q.id, value }), ' ', ...text);
}

function questionOf(q) {
  const box = make('fieldset', { className: 'q', 'data-id': q.id, 'data-kind': q.kind }, make('legend', {}, q.number + '. ' + q.text + ' ', make('small', {}, q.points ? q.points + ' points' : 'for the discussion')));
  const figure = name => make('input', { type: 'text', inputMode: 'decimal', className: 'figure', maxLength: 12, autocomplete: 'off', 'aria-label': name });
  if (q.kind === 'choice') { q.options.forEach(o => box.append(option(q, 'radio', o.letter, o.letter + '. ' + o.text))); }
  if (q.kind === 'cells') {
    box.append(make('p', { className: 'remark' }, 'Tick all that it shows to be wrong, or one of the last two.'));
    for (let n = 1; n <= q.cells; n++) { box.append(option(q, 'checkbox', String(n), 'cell ' + n)); }
    box.append(option(q, 'checkbox', 'none', 'none'), option(q, 'checkbox', 'unknown', 'can’t be known from this log'));
  }
  if (q.kind === 'number') { box.append(make('label', { className: 'option' }, figure(q.text + ' In ' + q.unit), ' ' + q.unit)); }
  if (q.kind === 'open') { box.append(make('label', { className: 'option' }, make('textarea', { rows: 4, maxLength: 1500, 'aria-label': q.text }))); }
  return box;
}

async function second(word) {
  const look = JSON.parse(await inflate(data.second, word));
  look.tables.forEach(t => id('second-tables').append(...tableOf(t)));
  look.questions.forEach(q => id('second-questions').append(questionOf(q)));
  id('second').hidden = false;
  id('second').scrollIntoView();
}

// --- saving --------------------------------------------------------------------
let unsaved = false;
function save() {
  const text = JSON.stringify({ schema: data.schema, sheet: data.sheet, student: data.student, stages }, null, 2) + '\n';
  const url = URL.createObjectURL(new Blob([text], { type: 'application/json' }));
  const a = make('a', { href: url, download: 'answers-' + data.sheet + '.json' });
  doc.body.append(a);
  a.click();
  a.remove();
  window.setTimeout(() => URL.revokeObjectURL(url), 10000);
  unsaved = false;
  id('said-3').textContent = 'Saved as answers-' + data.sheet + '.json where your browser keeps downloads. Hand it in.';
}

// A tick on a cell takes the tick off "none" and "can't be known", and the other way round.
doc.addEventListener('change', e => {
  const q = e.target.closest('.q');
  if (!q) { return; }
  if (q.dataset.kind === 'cells' && e.target.checked) {
    const alone = /none|unknown/.test(e.target.value);
    q.querySelectorAll('input').forEach(x => { if (x !== e.target && (alone || /none|unknown/.test(x.value))) { x.checked = false; } });
  }
});
doc.addEventListener('input', e => {
  const q = e.target.closest('.q');
  if (q && q.dataset.kind === 'moment' && e.target.classList.contains('figure')) { q.querySelector('input[value="at"]').checked = true; }
});
id('form-1').addEventListener('submit', e => {
  e.preventDefault();
  if (stages.length === 0) { commit(id('form-1'), 1, () => {
    if (data.locked && typeof DecompressionStream === 'function') { id('unlock').hidden = false; id('word').focus(); return; }
    second('').catch(x => { id('said-1').textContent += ' The second look can’t be shown by this browser (' + x.message + '): ask for it on paper.'; });
  }); }
});
let opened = false;
id('form-word').addEventListener('submit', e => {
  e.preventDefault();
  if (opened || stages.length === 0) { return; }
  opened = true;
  second(id('word').value.toLowerCase().replace(/[^0-9a-z]/g, '').replace(/^(.{4})/, '$1-')).then(() => {
    id('said-word').textContent = '';
    id('unlock').hidden = true;
  }, () => { opened = false; id('said-word').textContent = 'That is not the word of this class.'; });
});
id('form-2').addEventListener('submit', e => {
  e.preventDefault();
  if (stages.length === 1) { commit(id('form-2'), 2, () => id('hand-in').scrollIntoView()); }
});
id('save').addEventListener('click', save);
window.addEventListener('beforeunload', e => { if (unsaved) { e.preventDefault(); } });
doc.documentElement.classList.add('sheet-ready');
}());
