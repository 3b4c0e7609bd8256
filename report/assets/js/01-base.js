// Everything that the page's script shares: the data that the page carries, its
// words, and how figures are written. The script fetches nothing and writes no
// markup: text enters the page by textContent alone.
const doc = document;
const data = JSON.parse(doc.getElementById('chart-data').textContent);
const study = doc.getElementById('study');
const minus = '\u2212';
const unknownMark = '\u2013';

function id(name) { return doc.getElementById(name); }
function clamp(x, lo, hi) { return Math.min(Math.max(x, lo), hi); }

// say is a text of the catalogue with {0}, {1} ... filled in.
function say(key, ...args) {
  const text = data.text['page.' + key];
  if (text === undefined) { return key; }
  return text.replace(/\{(\d)\}/g, (all, k) => args[+k] === undefined ? all : String(args[+k]));
}

// make builds an element; properties are set as properties, data-* and aria-* as
// attributes, children are elements or plain text.
function make(tag, props, ...children) {
  const e = doc.createElement(tag);
  Object.entries(props || {}).forEach(([k, v]) => {
    if (/^(data|aria)-|^(role|scope|for)$/.test(k)) { e.setAttribute(k, v); } else { e[k] = v; }
  });
  e.append(...children);
  return e;
}

// put writes a text where it differs: the panel is rewritten at every frame.
function put(e, text) { if (e.textContent !== text) { e.textContent = text; } }

// --- units ---------------------------------------------------------------
// Depth is shown in metres or feet. Pressures of gas stay in bar, since every
// limit is stated in it.
const feetPerMetre = 1 / 0.3048;
let imperial = false;

function shown(v, unit) { return unit === 'm' && imperial ? v * feetPerMetre : v; }
function unitName(unit) { return unit === 'm' && imperial ? 'ft' : unit; }

// figure writes a value with its unit; a value that is not there as such.
function figure(v, unit, decimals) {
  if (v === null || Number.isNaN(v)) { return unknownMark; }
  const n = plainFixed(shown(v, unit), unit === 'm' && imperial ? 0 : decimals);
  return unit ? n + ' ' + unitName(unit) : n;
}

function plainFixed(v, decimals) {
  const s = v.toFixed(decimals);
  return (/^-[0.]*$/.test(s) ? s.slice(1) : s).replace('-', minus);
}

function signed(v, unit, decimals) {
  const s = figure(v, unit, decimals);
  return v > 0 && /[1-9]/.test(s) ? '+' + s : s;
}

// --- moments -------------------------------------------------------------
function two(n) { return (n < 10 ? '0' : '') + n; }

// clock is h:mm:ss since the first row.
function clock(t) {
  const s = Math.floor(Math.abs(t - data.first) + 1e-6);
  return (t < data.first - 1e-6 ? minus : '') + Math.floor(s / 3600) + ':' + two(Math.floor(s / 60) % 60) + ':' + two(s % 60);
}

function plain(t) { return String(Math.round(t * 1000) / 1000); }

function lasting(s) {
  if (s < 100) { return plain(Math.round(s * 10) / 10) + ' s'; }
  const m = Math.floor(s / 60), h = Math.floor(m / 60);
  return h ? h + ' h ' + m % 60 + ' min' : m + ' min ' + Math.round(s % 60) + ' s';
}

// cellWords is "cell 1" or "cells 1, 2 and 3".
function cellWords(numbers) {
  if (numbers.length === 1) { return say('cell', numbers[0]); }
  return say('cells', numbers.slice(0, -1).join(', '), numbers[numbers.length - 1]);
}
