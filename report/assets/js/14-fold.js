// Long reference parts (checks, rules, definitions) begin folded: what is folded
// is taken out of the document until it is opened, linked to, or printed, so that
// the page stays light. Without scripts they stand open.
const folded = new Map();

function foldAway() {
  doc.querySelectorAll('details.fold').forEach(d => {
    const f = doc.createDocumentFragment();
    Array.from(d.childNodes).forEach(n => { if (n.nodeName !== 'SUMMARY') { f.append(n); } });
    d.open = false;
    folded.set(d, f);
  });
}

function bringBack(d) {
  const f = folded.get(d);
  if (!f) { return; }
  folded.delete(d);
  d.append(f);
  if (imperial) { textToFeet(true); }
  reachable();
}

// foldOf is the folded part that holds the element with this id.
function foldOf(name) {
  for (const [d, f] of folded) { if (f.getElementById(name)) { return d; } }
  return null;
}

function has(name) { return id(name) !== null || foldOf(name) !== null; }

// reveal brings the target of a link into the document and opens what holds it.
function reveal(name) {
  const d = foldOf(name);
  if (d) { bringBack(d); }
  const e = id(name);
  for (let p = e && e.parentElement; p; p = p.parentElement) { if (p.nodeName === 'DETAILS') { p.open = true; } }
  return e;
}

doc.addEventListener('toggle', e => { if (e.target.open) { bringBack(e.target); } }, true);
doc.addEventListener('click', e => {
  const a = e.target.closest ? e.target.closest('a[href^="#"]') : null;
  if (a) { reveal(decodeURIComponent(a.getAttribute('href').slice(1))); }
}, true);

// Paper shows all of it.
let openedForPrint = [];
function openForPrint() {
  openedForPrint = Array.from(doc.querySelectorAll('details.fold:not([open])'));
  openedForPrint.forEach(d => { bringBack(d); d.open = true; });
}
function closeAfterPrint() { openedForPrint.forEach(d => { d.open = false; }); openedForPrint = []; }
