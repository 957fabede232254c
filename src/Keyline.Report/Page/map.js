// The map under the reader's hand: moving, tapping, finding, measuring, and where the reader stands.

const canvas = document.getElementById('canvas');
const pen = canvas.getContext('2d');
const card = document.getElementById('card');
const message = document.getElementById('message');
const colour = document.getElementById('colour');
const findBox = document.getElementById('find');
const boxes = [...document.querySelectorAll('#layers input')];
const view = { x: 0, y: 0, s: 1, w: 300, h: 300 };
const still = document.createElement('canvas');
const LEAST = 0.05, MOST = 60, TAP = 7, REACH = 16;
let stillView = null, cost = 0, asked = false, settle = 0, ratio = 1, sharp = false, framed = 0;
let chosen = null, chosenAt = 0, ring = null, measuring = false, measured = [], me = null, watch = null, printing = false;

const shown = () => Object.fromEntries(boxes.map(b => [b.value, b.checked]));

function fit() {
  const [x0, y0, x1, y1] = DATA.field;
  view.x = (x0 + x1) / 2; view.y = (y0 + y1) / 2;
  view.s = Math.min(view.w / (x1 - x0), view.h / (y1 - y0)) * 0.94;
}

function marks(c, v) {
  if (chosen) {
    strokeAll(c, v, [chosen], '#fff', 8 * ratio); strokeAll(c, v, [chosen], INK, 5.5 * ratio); strokeAll(c, v, [chosen], KEY, 3 * ratio);
    const n = chosen.p.length, [x, y] = at(v, chosen.p[0], chosen.p[1]), [ex, ey] = at(v, chosen.p[n - 2], chosen.p[n - 1]), [fx, fy] = at(v, chosen.p[n - 4], chosen.p[n - 3]);
    dot(c, x, y, 5, '#fff'); arrow(c, ex, ey, Math.atan2(ey - fy, ex - fx), 9 * ratio, INK);
    const [hx, hy] = at(v, ...pointAt(chosen, chosenAt));
    dot(c, hx, hy, 4.5, KEY);
    c.textAlign = 'center'; c.textBaseline = 'bottom'; letters(c, chosen.id, x, y - 8 * ratio, 14 * ratio, INK, true);
  }
  if (ring) { const [x, y] = at(v, ...ring); c.strokeStyle = '#fff'; c.lineWidth = 6 * ratio; circle(c, x, y, 15 * ratio); c.stroke(); c.strokeStyle = INK; c.lineWidth = 3 * ratio; circle(c, x, y, 15 * ratio); c.stroke(); }
  if (measured.length) {
    c.strokeStyle = INK; c.lineWidth = 2.5 * ratio; c.setLineDash([6 * ratio, 4 * ratio]); c.beginPath();
    measured.forEach((m, i) => { const [x, y] = at(v, m.x, m.y); if (i) c.lineTo(x, y); else c.moveTo(x, y); });
    c.stroke(); c.setLineDash([]);
    for (const m of measured) dot(c, ...at(v, m.x, m.y), 5, '#fff');
  }
  if (me) {
    const [x, y] = at(v, me.x, me.y);
    c.fillStyle = 'rgba(18,92,176,.18)'; circle(c, x, y, Math.max(6, me.good * v.s)); c.fill();
    dot(c, x, y, 7, VALLEY);
  }
}

function circle(c, x, y, r) { c.beginPath(); c.arc(x, y, r, 0, 7); }
function dot(c, x, y, r, fill) { circle(c, x, y, r * ratio); c.fillStyle = fill; c.fill(); c.strokeStyle = INK; c.lineWidth = 2 * ratio; c.stroke(); }

function drawNow() {
  const from = performance.now();
  drawMap(pen, view, shown(), colour.value, marks, ratio);
  cost = performance.now() - from;
  stillView = { ...view };
  still.width = canvas.width; still.height = canvas.height;
  still.getContext('2d').drawImage(canvas, 0, 0);
}

// While the map moves and a drawing takes long, the last one is shifted; the sharp one follows when the hand rests.
function moved() {
  if (printing) return;
  clearTimeout(settle);
  if (!asked) { asked = true; requestAnimationFrame(frame); }
}

// A drawing's cost shows here only in part; the browser's own share lies between this frame and the one before.
function frame(now) {
  asked = false;
  if (sharp && now - framed < 200) cost = Math.max(cost, (now - framed) / 3);
  framed = now;
  sharp = cost < 10 || !stillView || stillView.w !== view.w;
  if (sharp) { drawNow(); return; }
  const k = view.s / stillView.s;
  pen.fillStyle = '#f4f2ec'; pen.fillRect(0, 0, view.w, view.h);
  pen.drawImage(still, (stillView.x - view.x) * view.s + view.w / 2 - k * view.w / 2, (view.y - stillView.y) * view.s + view.h / 2 - k * view.h / 2, view.w * k, view.h * k);
  settle = setTimeout(drawNow, 120);
}

function size() {
  if (printing) return;
  ratio = Math.min(2, window.devicePixelRatio || 1);
  const box = canvas.getBoundingClientRect(), first = !stillView, w = Math.round(box.width * ratio), h = Math.round(box.height * ratio);
  if (!w || !h || (w === canvas.width && h === canvas.height && !first)) return;
  view.s *= w / view.w;
  canvas.width = view.w = w; canvas.height = view.h = h;
  if (first) fit();
  drawNow();
}

function zoom(factor, px = view.w / 2, py = view.h / 2) {
  const s = Math.max(LEAST, Math.min(MOST * ratio, view.s * factor)), k = 1 / view.s - 1 / s;
  view.x += (px - view.w / 2) * k; view.y -= (py - view.h / 2) * k; view.s = s;
  moved();
}

// --- hands -------------------------------------------------------------------------------------------------------

const hands = new Map();
let travelled = 0;

function place(e) {
  const box = canvas.getBoundingClientRect();
  return [(e.clientX - box.left) * ratio, (e.clientY - box.top) * ratio];
}

canvas.addEventListener('pointerdown', e => {
  canvas.setPointerCapture(e.pointerId);
  hands.set(e.pointerId, place(e));
  if (hands.size === 1) travelled = 0;
});
canvas.addEventListener('pointermove', e => {
  const before = hands.get(e.pointerId);
  if (!before) return;
  const now = place(e), all = [...hands.values()];
  if (all.length === 1) {
    travelled += Math.hypot(now[0] - before[0], now[1] - before[1]);
    view.x -= (now[0] - before[0]) / view.s; view.y += (now[1] - before[1]) / view.s;
    moved();
  } else if (all.length === 2) {
    const other = all.find(h => h !== before), was = Math.hypot(before[0] - other[0], before[1] - other[1]), is = Math.hypot(now[0] - other[0], now[1] - other[1]);
    travelled += 99;
    view.x -= (now[0] - before[0]) / 2 / view.s; view.y += (now[1] - before[1]) / 2 / view.s;
    if (was > 0) zoom(is / was, (now[0] + other[0]) / 2, (now[1] + other[1]) / 2);
  }
  hands.set(e.pointerId, now);
});
for (const end of ['pointerup', 'pointercancel']) {
  canvas.addEventListener(end, e => {
    const at = hands.get(e.pointerId);
    hands.delete(e.pointerId);
    if (at && end === 'pointerup' && hands.size === 0 && travelled < TAP * ratio) tap(...at);
  });
}
canvas.addEventListener('wheel', e => { e.preventDefault(); zoom(Math.exp(-Math.max(-250, Math.min(250, e.deltaY * (e.deltaMode ? 30 : 1))) * 0.0022), ...place(e)); }, { passive: false });
canvas.addEventListener('dblclick', e => { e.preventDefault(); zoom(2, ...place(e)); });
canvas.addEventListener('keydown', e => {
  if (e.ctrlKey || e.metaKey || e.altKey) return;
  const step = 60 * ratio / view.s;
  const keys = {
    ArrowLeft: () => { view.x -= step; }, ArrowRight: () => { view.x += step; }, ArrowUp: () => { view.y += step; }, ArrowDown: () => { view.y -= step; },
    '+': () => zoom(1.4), '=': () => zoom(1.4), '-': () => zoom(1 / 1.4), 0: fit, n: () => next(1), N: () => next(1), p: () => next(-1), P: () => next(-1), Escape: letGo, Enter: () => tap(view.w / 2, view.h / 2),
  };
  if (!keys[e.key]) return;
  e.preventDefault();
  keys[e.key]();
  moved();
});

// --- lines ------------------------------------------------------------------------------------------------------

// The line nearest to a place of the map, within so many metres.
function lineAt(x, y, within) {
  let best = null;
  for (const l of lines) {
    if (x < l.box[0] - within || x > l.box[2] + within || y < l.box[1] - within || y > l.box[3] + within) continue;
    const n = nearest(l, x, y);
    if (n.distance <= within && (!best || n.distance < best.distance)) best = { line: l, ...n };
  }
  return best;
}

function tap(px, py) {
  const x = view.x + (px - view.w / 2) / view.s, y = view.y - (py - view.h / 2) / view.s, hit = lineAt(x, y, REACH * ratio / view.s);
  ring = null;
  if (measuring) {
    if (measured.length > 1) measured = [];
    const [sx, sy] = hit ? pointAt(hit.line, hit.along) : [x, y];
    measured.push({ x: sx, y: sy, hit });
    showMeasure();
  } else if (hit) {
    select(hit.line, hit.along);
  } else {
    letGo();
  }
  moved();
}

function select(line, along = line.length / 2) {
  chosen = line; chosenAt = along;
  findBox.value = line.id;
  showCard();
}

function letGo() { chosen = null; ring = null; measured = []; showCard(); moved(); }

function next(step) {
  if (!lines.length) return;
  const i = chosen ? (chosen.order + step + lines.length) % lines.length : 0;
  select(lines[i]); show(lines[i].box, false);
}

// Brings a box into view, closer only if asked.
function show(box, closer) {
  const [x0, y0, x1, y1] = box;
  view.x = (x0 + x1) / 2; view.y = (y0 + y1) / 2;
  const s = 0.75 * Math.min(view.w / Math.max(x1 - x0, 20), view.h / Math.max(y1 - y0, 20));
  view.s = closer ? Math.min(s, 8 * ratio) : Math.min(view.s, Math.max(s, LEAST));
  moved();
}

function element(tag, text, attributes = {}) {
  const e = document.createElement(tag);
  if (text !== undefined) e.textContent = text;
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
  return e;
}

function showCard() {
  card.replaceChildren();
  if (!chosen) { card.append(element('p', say('card.none'))); return; }
  const l = chosen, [length, max, mean, within, ridge, , radius, left, right, clear, side, fall, sure] = l.m, list = element('dl');
  const row = (name, value) => { if (value !== '–') list.append(element('dt', say(name)), element('dd', value)); };
  const g = l.grades[Math.min(l.grades.length - 1, Math.floor(chosenAt / l.length * l.grades.length))], [lon, lat] = toDegrees(...pointAt(l, chosenAt));
  card.append(element('h3', say('card.line', l.id)));
  row('card.here', say('card.heretext', quantity(chosenAt, 'm', 0), quantity(l.length - chosenAt, 'm', 0), `${quantity(Math.abs(g), 'pct', 1)}, ${say(g > 0 ? 'card.rises' : 'card.falls')}`));
  row('card.place', `${number(lat, 6, 'en')}, ${number(lon, 6, 'en')}`);
  row('card.order', say('card.of', number(l.order + 1, 0, language), number(lines.length, 0, language)));
  row('card.length', quantity(length, 'm', 0));
  row('card.max', quantity(max, 'pct', 2)); row('card.mean', quantity(mean, 'pct', 2)); row('card.within', quantity(within, 'pct', 0));
  row('card.ridge', quantity(ridge, 'pct', 0)); row('card.sure', quantity(sure, 'pct', 0));
  row('card.left', quantity(left, 'm', 2)); row('card.right', quantity(right, 'm', 2));
  row('card.radius', quantity(radius, 'm', 1)); row('card.clear', quantity(clear, 'm', 1)); row('card.side', quantity(side, 'deg', 1)); row('card.fall', quantity(fall, 'm', 0));
  if (WATER && WATER[l.id]) { row('card.water', quantity(WATER[l.id][0], 'm3', 1)); row('card.spill', quantity(WATER[l.id][1], 'm3', 1)); }
  const found = findings.filter(f => f.line === l.id);
  if (found.length) row('card.findings', [...new Set(found.map(f => say('f.' + f.kind)))].join('; '));
  card.append(list);
  const button = element('button', say('card.close'), { type: 'button' });
  button.addEventListener('click', () => { letGo(); canvas.focus(); });
  card.append(button);
}

function find() {
  const name = findBox.value.trim().toLowerCase(), digits = name.replace(/^r/, '');
  const line = byId.get(name) || (/^\d+$/.test(digits) ? lines[+digits - 1] : null);
  message.textContent = line || !name ? '' : say('notfound', findBox.value.trim());
  if (line) { select(line); show(line.box, true); }
}

function showMeasure() {
  const [a, b] = measured;
  if (!a) { message.textContent = say('m.start'); return; }
  if (!b) { message.textContent = say('m.next'); return; }
  const said = [say('m.straight', quantity(Math.hypot(a.x - b.x, a.y - b.y), 'm', 1))];
  const on = a.hit || b.hit;
  if (on) {
    const n = nearest(on.line, ...(a.hit ? [b.x, b.y] : [a.x, a.y]));
    said.push(say('m.along', on.line.id, quantity(Math.abs(n.along - on.along), 'm', 1), quantity(n.distance, 'm', 1)));
  }
  message.textContent = said.join(' ');
}

// --- where am I -------------------------------------------------------------------------------------------------

function showMe() {
  if (!me) return;
  const near = lineAt(me.x, me.y, 200), [x0, y0, x1, y1] = DATA.field;
  const off = Math.hypot(Math.max(x0 - me.x, 0, me.x - x1), Math.max(y0 - me.y, 0, me.y - y1));
  message.textContent = near ? say('w.here', quantity(near.distance, 'm', 1), near.line.id, quantity(me.good, 'm', 0)) : say('w.far', quantity(off, off > 2000 ? 'km' : 'm', off > 2000 ? 1 : 0));
}

function located(position) {
  const [x, y] = toMap(position.coords.longitude, position.coords.latitude), first = !me;
  me = { x, y, good: position.coords.accuracy };
  if (first && lineAt(x, y, 200)) { view.x = x; view.y = y; }
  showMe(); moved();
}

const whereButton = document.getElementById('where');
whereButton.addEventListener('click', () => {
  if (watch !== null) { navigator.geolocation.clearWatch(watch); watch = null; me = null; message.textContent = ''; whereButton.setAttribute('aria-pressed', 'false'); moved(); return; }
  const refused = why => { message.textContent = say('w.no', why); watch = null; whereButton.setAttribute('aria-pressed', 'false'); };
  if (!navigator.geolocation) { refused('–'); return; }
  message.textContent = say('w.ask');
  whereButton.setAttribute('aria-pressed', 'true');
  watch = navigator.geolocation.watchPosition(located, e => refused(e.message), { enableHighAccuracy: true, maximumAge: 2000 });
});

// --- controls, legend, links ------------------------------------------------------------------------------------

const measureButton = document.getElementById('measure');
measureButton.addEventListener('click', () => {
  measuring = !measuring; measured = [];
  measureButton.setAttribute('aria-pressed', String(measuring));
  if (measuring) showMeasure(); else message.textContent = '';
  moved();
});
document.getElementById('in').addEventListener('click', () => zoom(1.6));
document.getElementById('out').addEventListener('click', () => zoom(1 / 1.6));
document.getElementById('fit').addEventListener('click', () => { fit(); moved(); });
document.getElementById('finder').addEventListener('submit', e => { e.preventDefault(); find(); });
colour.addEventListener('change', () => { showLegend(); drawNow(); });
boxes.forEach(b => b.addEventListener('change', () => { showLegend(); drawNow(); }));
document.addEventListener('click', e => {
  const link = e.target.closest('a.place');
  if (!link) return;
  e.preventDefault();
  const line = byId.get((link.dataset.line || '').toLowerCase());
  if (link.dataset.x) {
    const x = +link.dataset.x, y = +link.dataset.y;
    if (line) select(line, nearest(line, x, y).along);
    view.x = x; view.y = y; view.s = Math.max(view.s, 2.5 * ratio);
    ring = [x, y];
  } else if (line) {
    select(line); show(line.box, true);
  }
  document.getElementById('map').scrollIntoView();
  canvas.focus({ preventScroll: true });
  moved();
});
window.addEventListener('hashchange', () => { if (location.hash === '#lines') document.getElementById('lines').open = true; });

// A sample of a line or a symbol, as small as a letter.
function sample(draw) {
  const c = document.createElement('canvas'), k = 2;
  c.width = 44 * k; c.height = 18 * k; c.className = 'sample'; c.setAttribute('aria-hidden', 'true');
  const p = c.getContext('2d');
  p.scale(k, k); p.lineCap = 'round';
  draw(p);
  return c;
}

const stroke = (colour, width, dash = []) => p => { p.strokeStyle = colour; p.lineWidth = width; p.setLineDash(dash); p.beginPath(); p.moveTo(3, 9); p.lineTo(41, 9); p.stroke(); p.setLineDash([]); };

function gradeText(i) {
  return i === 4 ? say('l.over', quantity(LIMIT, 'pct', 1)) : say('l.upto', quantity(GRADES[i], 'pct', 2), quantity(GRADES[i + 1], 'pct', 2));
}

function showLegend() {
  const list = document.getElementById('legend-list'), on = shown(), mode = colour.value;
  list.replaceChildren();
  const add = (draw, text) => { const item = element('li'); item.append(sample(draw), element('span', text)); list.append(item); };
  if (on.lines) {
    STYLE[mode].forEach((s, i) => {
      if (!runs(mode)[i].length) return;
      const per = Math.ceil(lines.length / 6);
      const text = s.text ? s.text() : mode === 'grade' ? gradeText(i)
        : mode === 'order' ? say('l.lines', runsOrder(i)[0], runsOrder(i)[1])
        : `${say('l.water', quantity((i + 1) / 4 * MOST_WATER, 'm3', 3))} (${i + 1}/4)`;
      add(p => { stroke(s.colour, s.width * 1.4, s.dash)(p); if (s.arrow) arrow(p, 24, 9, 0, 5, s.colour); }, text);
    });
  }
  if (on.keys) {
    if (land.keylines.length) add(p => { stroke(INK, 5)(p); stroke(KEY, 3)(p); }, say('l.keyline'));
    if (DATA.keypoints.some(k => k[1])) add(p => drawKeypoint(p, 22, 9, 1, 1), say('l.keypoint'));
    if (DATA.keypoints.some(k => !k[1])) add(p => drawKeypoint(p, 22, 9, 0, 1), say('l.weak'));
  }
  if (on.land) { add(stroke(VALLEY, 2.6), say('l.valleyline')); add(stroke(RIDGE, 2, [10, 4, 2, 4]), say('l.ridgeline')); }
  add(stroke(INK, 2.2), say('l.boundary'));
  const tile = t => p => { p.fillStyle = p.createPattern(t, 'repeat'); p.fillRect(3, 2, 38, 14); p.strokeStyle = INK; p.lineWidth = 1; p.strokeRect(3, 2, 38, 14); };
  if (on.avoid && land.avoid.length) add(tile(AVOID_HATCH), say('l.avoid'));
  if (on.avoid && land.steep.length) add(tile(STEEP_HATCH), say('l.steep'));
  if (DATA.gate) add(p => { p.fillStyle = INK; p.fillRect(17, 4, 10, 10); p.fillStyle = '#fff'; p.fillRect(20, 7, 4, 4); }, say('l.gate'));
  if (on.contours) add(stroke(CONTOUR, 1.2), say('l.contour', quantity(DATA.interval, 'm', plain(DATA.interval))));
  if (on.findings && findings.length) add(p => { p.fillStyle = '#ffd9a8'; p.strokeStyle = INK; p.beginPath(); p.moveTo(22, 3); p.lineTo(29, 15); p.lineTo(15, 15); p.closePath(); p.fill(); p.stroke(); }, say('l.finding'));
}

function runsOrder(i) {
  const mine = lines.filter(l => Math.floor(l.order * 6 / lines.length) === i);
  return [mine[0].id, mine[mine.length - 1].id];
}

function showTable() {
  const place = document.getElementById('line-table');
  place.replaceChildren();
  if (!document.getElementById('lines').open) return;
  const table = element('table', undefined, { class: 'lines' }), head = element('tr'), body = element('tbody');
  for (const name of ['t.line', 'card.length', 'card.max', 'card.ridge', 'card.left', 'card.right']) head.append(element('th', say(name), { scope: 'col' }));
  for (const l of lines) {
    const row = element('tr'), name = element('th', undefined, { scope: 'row' }), mid = pointAt(l, l.length / 2);
    name.append(element('a', l.id, { class: 'place', href: '#map', 'data-x': mid[0], 'data-y': mid[1], 'data-line': l.id }));
    row.append(name);
    for (const [v, kind, d] of [[l.m[0], 'm', 0], [l.m[1], 'pct', 1], [l.m[4], 'pct', 0], [l.m[7], 'm', 2], [l.m[8], 'm', 2]]) row.append(element('td', quantity(v, kind, d)));
    body.append(row);
  }
  const top = element('thead'); top.append(head); table.append(top, body); place.append(table);
}
document.getElementById('lines').addEventListener('toggle', showTable);

// On paper the map is a still picture of the whole field with every layer, and no profile is folded away.
let unfolded = [];
function toPaper() {
  if (printing) return;
  printing = true;
  unfolded = [...document.querySelectorAll('#valleys details:not([open])')];
  for (const d of unfolded) d.open = true;
  const [x0, y0, x1, y1] = DATA.field, width = 2000, height = Math.round(width * Math.max(0.45, Math.min(1.1, (y1 - y0) / (x1 - x0))));
  const kept = { ...view };
  canvas.width = width; canvas.height = height;
  const v = { x: (x0 + x1) / 2, y: (y0 + y1) / 2, s: 0.95 * Math.min(width / (x1 - x0), height / (y1 - y0)), w: width, h: height };
  drawMap(pen, v, Object.fromEntries(boxes.map(b => [b.value, true])), colour.value, null, 1.6);
  Object.assign(view, kept);
}

function fromPaper() {
  if (!printing) return;
  printing = false;
  for (const d of unfolded) d.open = false;
  canvas.width = view.w; canvas.height = view.h;
  drawNow();
}
window.addEventListener('beforeprint', toPaper);
window.addEventListener('afterprint', fromPaper);

if (!WATER) colour.querySelector('[value=water]').remove();
document.getElementById('names').append(...lines.map(l => element('option', undefined, { value: l.id })));
listeners.push(showCard, showLegend, showTable, showMe, () => { if (measuring) showMeasure(); if (stillView) drawNow(); });
root.classList.add('live');
showText();
size();
new ResizeObserver(size).observe(canvas);
if (relief && !relief.complete) relief.addEventListener('load', drawNow);
