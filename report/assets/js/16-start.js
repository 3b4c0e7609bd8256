// Start: unpack the drawing library and the samples, then draw. The library is
// run as a script of its own, known to the page's policy by its digest.

async function library() {
  const text = new TextDecoder().decode(await inflate(id('echarts-packed').textContent.trim()));
  doc.head.append(make('script', { textContent: text }));
  if (!window.echarts) { throw new Error('the drawing library did not start'); }
}

// firstMoment is where the talk begins: the first finding, in order of consequence.
function firstMoment() {
  const f = data.findings.find(x => x.from !== null);
  return f ? f.from : data.first;
}

async function begin() {
  if (typeof DecompressionStream === 'undefined') { throw new Error('no DecompressionStream'); }
  await Promise.all([library(), unpack()]);
  if (!recall()) { state.cursor = firstMoment(); }
  data.charts.forEach(start);
  buildMoment();
  buildReplay();
  redraw();
  between();
  doc.documentElement.classList.add('ready');
  performance.mark('interactive');
  if (/^#t=/.test(location.hash)) { study.scrollIntoView(); }
  doc.querySelectorAll('details.asdata[open]').forEach(fillTable);
}

let regions = 0;
// reachable lets keys scroll what is wider than its place, and names it.
function reachable() {
  doc.querySelectorAll('.scroll').forEach(e => {
    if (e.scrollWidth <= e.clientWidth || e.hasAttribute('tabindex')) { return; }
    const s = e.closest('section, aside'), h = s && s.querySelector('h2, h3');
    e.tabIndex = 0;
    e.setAttribute('role', 'region');
    e.setAttribute('aria-label', say('scroll', h ? h.textContent : '', ++regions));
  });
}
doc.addEventListener('toggle', () => window.requestAnimationFrame(reachable), true);

let pending = 0;
window.addEventListener('resize', () => {
  window.clearTimeout(pending);
  pending = window.setTimeout(() => { reachable(); if (times && !printing) { resize(); } }, 80);
});
dark.addEventListener('change', () => { if (times) { redraw(); } });
window.addEventListener('hashchange', () => { if (times && recall()) { slide(); between(); study.scrollIntoView(); } });
window.addEventListener('beforeprint', () => { openForPrint(); printing = true; if (times) { resize(); } });
window.addEventListener('afterprint', () => { closeAfterPrint(); printing = false; doc.documentElement.classList.remove('summary'); if (times) { resize(); } });

doc.documentElement.classList.add('js');
foldAway();
reachable();
if (location.hash.length > 1 && !/^#t=/.test(location.hash)) { const e = reveal(location.hash.slice(1)); if (e) { e.scrollIntoView(); } }
buildRemarks();
begin().catch(e => {
  id('trouble').hidden = false;
  put(id('trouble'), say('trouble', e.message));
  doc.documentElement.classList.add('failed');
});
