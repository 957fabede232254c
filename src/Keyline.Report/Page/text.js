// Language and units. Every number on the page stands there in metric units and is shown in the reader's.

const PHRASES = JSON.parse(document.getElementById('phrases').textContent);
// For each kind: metric and US, each [what is put behind, the same in Spanish, factor, more decimals].
const UNITS = PHRASES.units;
const root = document.documentElement;
const formats = new Map();
const listeners = [];

let language = root.lang === 'es' || (navigator.language || 'en').toLowerCase().startsWith('es') ? 'es' : 'en';
let system = root.dataset.units === 'us' || /-(us|lr|mm)$/i.test(navigator.language || '') ? 1 : 0;

// The reader's own locale where it speaks the language shown, so that numbers look as they do at home.
function locale(lang) {
  return (navigator.languages || []).find(l => l.toLowerCase().startsWith(lang)) || lang;
}

function number(value, decimals, lang) {
  const key = lang + decimals;
  if (!formats.has(key)) {
    formats.set(key, new Intl.NumberFormat(locale(lang), { minimumFractionDigits: decimals, maximumFractionDigits: decimals }));
  }
  return formats.get(key).format(value);
}

// A value of a kind in the reader's units.
function quantity(value, kind, decimals, lang = language, asked = false) {
  if (value === null || !isFinite(value)) return '–';
  const [en, es, factor, more] = UNITS[kind][system];
  // Far more units than in metric, as gallons for cubic metres: rounded, so that no digit is made up. Feet stay whole.
  const fewer = Math.max(0, -1 - decimals - more), tens = 10 ** fewer, shown = value * factor;
  // What was asked for in whole units is exact.
  const digits = asked && Math.abs(shown - Math.round(shown)) < 0.01 ? 0 : Math.max(0, decimals + more);
  return number(fewer ? Math.round(shown / tens) * tens : shown, digits, lang) + (lang === 'es' ? es : en).replace(' ', '\u00a0');
}

// Decimals in metric units that a length needs to be told without rounding in those shown.
function plain(metres) {
  const [, , factor, more] = UNITS.m[system], shown = metres * factor;
  const wanted = Math.abs(shown - Math.round(shown)) < 0.01 ? 0 : Math.abs(10 * shown - Math.round(10 * shown)) < 0.1 ? 1 : 2;
  return wanted && wanted - more;
}

// A phrase, with what stands in its places.
function say(key, ...values) {
  return PHRASES[key][language === 'es' ? 1 : 0].replace(/\{(\d)\}/g, (_, i) => values[i]);
}

function showText() {
  root.lang = language;
  root.dataset.units = system ? 'us' : 'metric';
  for (const e of document.querySelectorAll('.q')) {
    e.textContent = quantity(+e.dataset.v, e.dataset.k, +e.dataset.d, e.closest('[lang]').getAttribute('lang').slice(0, 2), !!e.dataset.w);
  }
  for (const e of document.querySelectorAll('[data-t]')) e.textContent = say(e.dataset.t);
  for (const e of document.querySelectorAll('[data-label]')) e.setAttribute('aria-label', say(e.dataset.label));
  for (const f of listeners) f();
}

function choose(id, value, set) {
  const select = document.getElementById(id);
  select.value = value;
  select.addEventListener('change', () => { set(select.value); showText(); });
}

choose('language', language, v => { language = v; });
choose('units', system ? 'us' : 'metric', v => { system = v === 'us' ? 1 : 0; });
document.getElementById('print').addEventListener('click', () => window.print());
