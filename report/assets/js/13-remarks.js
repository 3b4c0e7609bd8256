// Remarks that two people add at moments. They live in this page until they are
// saved: into a copy of the page, or as a small file of their own. Reading is
// strict, and what is not understood is refused as a whole; nothing that a file
// of remarks holds can become more than text.
const remarksFormat = 'afterloop-remarks/1';
const most = { remarks: 500, who: 60, text: 2000, bytes: 2000000 };
let remarks = [];
let unsaved = false;

class Refused extends Error {}

// readRemarks returns the remarks of a file, or throws Refused with the reason.
function readRemarks(text) {
  let file;
  if (text.length > most.bytes) { throw new Refused(say('remarks.too-long')); }
  try { file = JSON.parse(text); } catch (e) { throw new Refused(say('remarks.not-json')); }
  if (!isObject(file, ['format', 'log_sha256', 'remarks'])) { throw new Refused(say('remarks.not-remarks')); }
  if (file.format !== remarksFormat) { throw new Refused(say('remarks.version', String(file.format).slice(0, 60))); }
  if (file.log_sha256 !== data.sha256) { throw new Refused(say('remarks.other-log')); }
  if (!Array.isArray(file.remarks) || file.remarks.length > most.remarks) { throw new Refused(say('remarks.too-many', most.remarks)); }
  return file.remarks.map((r, i) => {
    const good = isObject(r, ['at_s', 'who', 'text']) && typeof r.at_s === 'number' && r.at_s >= data.first && r.at_s <= data.last &&
      typeof r.who === 'string' && r.who.length <= most.who && typeof r.text === 'string' && r.text.length > 0 && r.text.length <= most.text;
    if (!good) { throw new Refused(say('remarks.bad', i + 1)); }
    return { at_s: r.at_s, who: clean(r.who), text: clean(r.text) };
  });
}

// isObject holds for an object with exactly these keys.
function isObject(x, keys) {
  return x !== null && typeof x === 'object' && !Array.isArray(x) && Object.keys(x).length === keys.length && keys.every(k => Object.prototype.hasOwnProperty.call(x, k));
}

// clean takes control characters and those that turn the direction of text.
function clean(s) { return s.replace(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]/g, ' '); }

function writeRemarks() { return JSON.stringify({ format: remarksFormat, log_sha256: data.sha256, remarks }, null, 1) + '\n'; }

function addRemark() {
  const who = clean(id('remark-who').value).slice(0, most.who), text = clean(id('remark-text').value).trim().slice(0, most.text);
  if (!text) { tell(say('remarks.empty')); return; }
  if (remarks.length >= most.remarks) { tell(say('remarks.too-many', most.remarks)); return; }
  const at = state.cursor === null ? state.from : state.cursor;
  remarks.push({ at_s: Math.round(at * 1000) / 1000, who, text });
  id('remark-text').value = '';
  changed(say('remarks.added', clock(at)));
}

function changed(message) {
  remarks.sort((a, b) => a.at_s - b.at_s);
  unsaved = true;
  listRemarks();
  tell(message);
}

function tell(message) { put(id('remark-status'), message); }

function listRemarks() {
  const items = remarks.map(r => {
    const go = make('button', { type: 'button' }, clock(r.at_s)), drop = make('button', { type: 'button' }, say('remarks.drop'));
    drop.setAttribute('aria-label', say('remarks.drop-at', clock(r.at_s)));
    go.addEventListener('click', () => { setCursor(r.at_s); });
    drop.addEventListener('click', () => { remarks = remarks.filter(x => x !== r); changed(say('remarks.dropped')); id('remark-text').focus(); });
    return make('li', {}, go, ' ', make('b', {}, r.who), r.who ? ': ' : '', make('bdi', { className: 'logtext' }, r.text), ' ', drop);
  });
  id('remark-list').replaceChildren(...items);
  panel.remarkText = null;
}

// momentRemarks shows the remarks that were made near the cursor.
function momentRemarks(t) {
  const near = t === null ? [] : remarks.filter(r => Math.abs(r.at_s - t) <= Math.max(data.step, 15));
  const text = near.map(r => clock(r.at_s) + ' ' + (r.who ? r.who + ': ' : '') + r.text).join('\n');
  if (panel.remarkText === text) { return; }
  panel.remarkText = text;
  id('moment-remarks').replaceChildren(...near.map(r => make('p', {}, make('b', {}, clock(r.at_s) + ' ' + r.who), ' ', make('bdi', {}, r.text))));
}

async function loadRemarks(file) {
  try {
    if (file.size > most.bytes) { throw new Refused(say('remarks.too-long')); }
    const read = readRemarks(await file.text());
    const known = new Set(remarks.map(r => JSON.stringify(r)));
    remarks = remarks.concat(read.filter(r => !known.has(JSON.stringify(r)))).slice(0, most.remarks);
    changed(say('remarks.loaded', read.length));
  } catch (e) { tell(e instanceof Refused ? e.message : say('remarks.unreadable')); }
}

// pageText is the page as it came, before this script changed anything.
const pageText = '<!DOCTYPE html>\n' + doc.documentElement.outerHTML;

// savePage writes a copy of the page with the remarks inside. Every < is
// escaped, so that no remark can end the element that holds it.
function savePage() {
  const open = '<script type="application/json" id="remarks">', from = pageText.indexOf(open) + open.length, to = pageText.indexOf('</' + 'script>', from);
  const inside = writeRemarks().replace(/</g, '\\u003c');
  saveFile('debrief-with-remarks.html', new Blob([pageText.slice(0, from) + inside + pageText.slice(to)], { type: 'text/html' }));
  unsaved = false;
  tell(say('remarks.saved-page'));
}

function buildRemarks() {
  const inside = id('remarks').textContent.trim();
  if (inside) {
    try { remarks = readRemarks(inside); tell(say('remarks.in-page', remarks.length)); } catch (e) { tell(say('remarks.page-unreadable', e instanceof Refused ? e.message : '')); }
  }
  listRemarks();
  id('remark-add').addEventListener('click', addRemark);
  id('remark-page').addEventListener('click', savePage);
  id('remark-file').addEventListener('click', () => { saveFile('remarks.json', new Blob([writeRemarks()], { type: 'application/json' })); unsaved = false; tell(say('remarks.saved-file')); });
  id('remark-load').addEventListener('change', e => { if (e.target.files[0]) { loadRemarks(e.target.files[0]); e.target.value = ''; } });
  window.addEventListener('beforeunload', e => { if (unsaved) { e.preventDefault(); } });
}
