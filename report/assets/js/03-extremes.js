// What is drawn of a column: of the samples that share a pixel the lowest and
// the highest, at their own times, so that a spike of one sample stays visible
// at every zoom. A gap in the record and a value that is not there break the
// line; it is never drawn across.

// bucketsOf cuts the rows of a window into pixels: the first row of each, and
// one past the last. One row beyond each edge lets lines run off the plot.
function bucketsOf(from, to, width) {
  const lo = Math.max(rowBefore(from), 0), hi = Math.min(rowBefore(to) + 2, rows);
  const starts = [];
  if (hi - lo <= 2 * width) {
    for (let i = lo; i <= hi; i++) { starts.push(i); }
    return starts;
  }
  starts.push(lo);
  for (let k = 0; k <= width; k++) {
    const i = rowBefore(from + (to - from) * k / width) + 1;
    if (i > starts[starts.length - 1] && i < hi - 1) { starts.push(i); }
  }
  starts.push(hi - 1, hi);
  return starts;
}

// extremesOf are the drawn samples of a column: pairs of time and figure, null
// where the line breaks. factor turns the figure into the unit shown.
function extremesOf(c, starts, factor) {
  const out = [], n = c.n, none = c.none;
  let last = -1, gap = 0;
  const push = i => {
    if (last >= 0) {
      while (gap < gapRows.length && gapRows[gap] < last) { gap++; }
      let broken = gap < gapRows.length && gapRows[gap] < i;
      for (let k = last + 1; c.holes && !broken && k < i; k++) { broken = n[k] === none; }
      if (broken) { out.push([times[last], null]); }
    }
    const v = n[i] / c.scale * factor, len = out.length;
    // Inside a run of equal values the line through its ends is the same line.
    if (len > 1 && out[len - 1][1] === v && out[len - 2][1] === v) { out[len - 1] = [times[i], v]; } else { out.push([times[i], v]); }
    last = i;
  };
  for (let k = 0; k + 1 < starts.length; k++) {
    let low = -1, high = -1;
    for (let i = starts[k]; i < starts[k + 1]; i++) {
      const x = n[i];
      if (x === none) { continue; }
      if (low < 0 || x < n[low]) { low = i; }
      if (high < 0 || x > n[high]) { high = i; }
    }
    if (low < 0) { continue; }
    push(Math.min(low, high));
    if (low !== high) { push(Math.max(low, high)); }
  }
  return out;
}

// stemsOf are upright strokes from 0, the tallest of each pixel.
function stemsOf(c, starts) {
  const out = [];
  for (let k = 0; k + 1 < starts.length; k++) {
    let high = -1;
    for (let i = starts[k]; i < starts[k + 1]; i++) {
      if (c.n[i] !== c.none && c.n[i] > 0 && (high < 0 || c.n[i] > c.n[high])) { high = i; }
    }
    if (high >= 0) { out.push([times[high], 0], [times[high], c.n[high] / c.scale], [times[high], null]); }
  }
  return out;
}

// withDots marks samples that stand alone between two breaks: no line would show them.
function withDots(points) {
  return points.map((p, i) => {
    const alone = p[1] !== null && (i === 0 || points[i - 1][1] === null) && (i === points.length - 1 || points[i + 1][1] === null);
    return alone ? { value: p, symbol: 'circle', symbolSize: 5 } : p;
  });
}

// rangeOf is the lowest and the highest figure of a whole column.
function rangeOf(c) {
  let lo = Infinity, hi = -Infinity;
  for (let i = 0; i < rows; i++) {
    const x = c.n[i];
    if (x === c.none) { continue; }
    if (x < lo) { lo = x; }
    if (x > hi) { hi = x; }
  }
  return lo <= hi ? [lo / c.scale, hi / c.scale] : null;
}
