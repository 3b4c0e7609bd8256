// All samples of the log, unpacked from the text that the page carries. See
// pack.go for the coding.
const columns = {};
let rows = 0;
let times = null; // seconds, one per row
let gapRows = []; // rows after which a gap lies

function bytesOf(base64) {
  if (Uint8Array.fromBase64) { return Uint8Array.fromBase64(base64); }
  const s = atob(base64), b = new Uint8Array(s.length);
  for (let i = 0; i < s.length; i++) { b[i] = s.charCodeAt(i); }
  return b;
}

// inflate uses what the browser has built in; it works from a file.
async function inflate(base64) {
  const stream = new Blob([bytesOf(base64)]).stream().pipeThrough(new DecompressionStream('deflate-raw'));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

async function unpack() {
  const text = id('samples').textContent.trim();
  let at = 0;
  const packed = data.columns.map(c => { at += c.length; return inflate(text.slice(at - c.length, at)); });
  const ready = await Promise.all(packed);
  rows = data.rows;
  data.columns.forEach((c, k) => { columns[c.id] = decode(ready[k], c); });
  const t = columns.time;
  times = new Float64Array(rows);
  for (let i = 0; i < rows; i++) { times[i] = t.n[i] / t.scale; }
  gapRows = [];
  const gap = columns.gap;
  if (gap) { for (let i = 0; i < rows; i++) { if (gap.n[i] === 1) { gapRows.push(i); } } }
}

// decode turns bytes into integers; value() turns an integer into a figure.
function decode(b, c) {
  const n = c.wide ? new Float64Array(rows) : new Int32Array(rows);
  const none = c.wide ? -Number.MAX_SAFE_INTEGER : -2147483648;
  const base = c.like >= 0 ? columns[data.columns[c.like].id] : null;
  let p = 0, before = 0, step = 0, holes = false;
  for (let i = 0; i < rows; i++) {
    if (base && base.n[i] !== base.none) { before = base.n[i]; }
    let x = b[p++];
    if (x >= 128) {
      x -= 128;
      for (let m = 128; ; m *= 128) {
        const y = b[p++];
        if (y < 128) { x += y * m; break; }
        x += (y - 128) * m;
      }
    }
    if (x === 0) { n[i] = none; holes = true; continue; }
    x--;
    const r = x % 2 === 1 ? -(x + 1) / 2 : x / 2;
    if (base) { n[i] = before + r; } else if (c.order === 0) { n[i] = r; } else if (c.order === 1) { before += r; n[i] = before; } else {
      const v = before + step + r;
      step = v - before;
      before = v;
      n[i] = v;
    }
  }
  return { n, none, holes, scale: Math.pow(10, c.decimals), decimals: c.decimals };
}

// value is a column's figure in a row; NaN where nothing was recorded.
function value(name, i) {
  const c = columns[name];
  return !c || i < 0 || c.n[i] === c.none ? NaN : c.n[i] / c.scale;
}

// rowBefore is the last row at or before t, -1 for none.
function rowBefore(t) {
  let lo = 0, hi = rows;
  while (lo < hi) {
    const mid = (lo + hi) >> 1;
    if (times[mid] <= t) { lo = mid + 1; } else { hi = mid; }
  }
  return lo - 1;
}

// rowNear is the row nearest to t; -1 in a gap of the record.
function rowNear(t) {
  if (t === null) { return -1; }
  const a = rowBefore(t);
  if (a < 0) { return times[0] - t <= data.step ? 0 : -1; }
  const inGap = columns.gap && columns.gap.n[a] === 1;
  const b = a + 1 < rows && times[a + 1] - t < t - times[a] ? a + 1 : a;
  return inGap && Math.abs(times[b] - t) > data.step ? -1 : b;
}
