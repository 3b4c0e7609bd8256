// Replay: the cursor walks through the record by itself.
const replay = { on: false, speed: 30, at: 0, calm: window.matchMedia('(prefers-reduced-motion: reduce)') };
const speeds = [1, 5, 10, 30, 60, 120, 300];

function play(on) {
  replay.on = on;
  if (on && (state.cursor === null || state.cursor >= data.last)) { setCursor(state.from); }
  replay.at = performance.now();
  const b = id('play');
  b.setAttribute('aria-pressed', String(on));
  put(b, say(on ? 'replay.pause' : 'replay.play'));
  if (on) { window.requestAnimationFrame(tick); }
}

function tick(now) {
  if (!replay.on) { return; }
  const passed = (now - replay.at) / 1000;
  // With reduced motion the cursor goes once a second instead of gliding.
  if (!replay.calm.matches || passed >= 1) {
    replay.at = now;
    setCursor(state.cursor + passed * replay.speed);
  }
  if (state.cursor >= data.last) { play(false); return; }
  window.requestAnimationFrame(tick);
}

// step goes by rows of the record.
function step(n) {
  const i = state.cursor === null ? rowBefore(state.from) : rowBefore(state.cursor);
  const exact = state.cursor !== null && i >= 0 && times[i] < state.cursor - 1e-9;
  setCursor(times[clamp(n < 0 && exact ? i : i + n, 0, rows - 1)]);
}

function setSpeed(s) {
  replay.speed = s;
  id('speed').value = String(s);
}

function faster(direction) { setSpeed(speeds[clamp(speeds.indexOf(replay.speed) + direction, 0, speeds.length - 1)]); }

function buildReplay() {
  const scrub = id('scrub'), speed = id('speed');
  Object.assign(scrub, { min: data.first, max: data.last, step: 'any', value: data.first });
  scrub.addEventListener('input', () => { setCursor(+scrub.value); });
  scrub.addEventListener('keydown', e => { // a native step of "any" is a hundredth of the record: too coarse
    const n = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 60, PageDown: -60 }[e.key];
    if (n && !e.ctrlKey && !e.metaKey && !e.altKey) { e.preventDefault(); step(n); }
  });
  speeds.forEach(s => speed.append(make('option', { value: String(s) }, say('replay.times', s))));
  setSpeed(30);
  speed.addEventListener('change', () => setSpeed(+speed.value));
}
