// The plan as the map needs it: courses decoded, lines cut into stretches of one colour, places to and from longitude and latitude.

const DATA = JSON.parse(document.getElementById('map-data').textContent);
const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_';
const VALUE = new Map([...LETTERS].map((c, i) => [c, i]));
const STATION = 2.5; // metres between the stations that stretches of one drift are counted in
const [LIMIT, LEVEL, SPACING] = DATA.limits;

// Whole numbers: five bits a letter, lowest first, 32 where more follow; odd ones are negative.
function numbers(text) {
  const all = [];
  let n = 0, times = 1;
  for (const c of text) {
    const v = VALUE.get(c);
    n += (v & 31) * times;
    if (v & 32) { times *= 32; } else { all.push(n % 2 ? -(n + 1) / 2 : n / 2); n = 0; times = 1; }
  }
  return all;
}

// x, y, x, y… in metres from the map's origin, with its box and the distance along at every point.
function course(text) {
  const steps = numbers(text), p = new Float32Array(steps.length), at = new Float32Array(steps.length / 2);
  let x = 0, y = 0, length = 0;
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < steps.length; i += 2) {
    x += steps[i]; y += steps[i + 1];
    p[i] = x * DATA.step; p[i + 1] = y * DATA.step;
    if (i > 0) length += Math.hypot(p[i] - p[i - 2], p[i + 1] - p[i - 1]);
    at[i / 2] = length;
    grow(box, p[i], p[i + 1]);
  }
  return { p, at, box, length };
}

function grow(box, x, y) {
  box[0] = Math.min(box[0], x); box[1] = Math.min(box[1], y); box[2] = Math.max(box[2], x); box[3] = Math.max(box[3], y);
}

// The part of a course between two distances along it.
function part(c, from, to) {
  const points = [...pointAt(c, from)];
  for (let i = 0; i < c.at.length; i++) {
    if (c.at[i] > from && c.at[i] < to) points.push(c.p[2 * i], c.p[2 * i + 1]);
  }
  points.push(...pointAt(c, to));
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < points.length; i += 2) grow(box, points[i], points[i + 1]);
  return { p: Float32Array.from(points), box };
}

function pointAt(c, distance) {
  let low = 1, high = c.at.length - 1;
  while (low < high) { const mid = (low + high) >> 1; if (c.at[mid] < distance) low = mid + 1; else high = mid; }
  const t = Math.max(0, Math.min(1, (distance - c.at[low - 1]) / (c.at[low] - c.at[low - 1] || 1)));
  return [c.p[2 * low - 2] + t * (c.p[2 * low] - c.p[2 * low - 2]), c.p[2 * low - 1] + t * (c.p[2 * low + 1] - c.p[2 * low - 1])];
}

// The nearest place of a course to a point: how far it is, and how far along.
function nearest(c, x, y) {
  let best = Infinity, along = 0;
  for (let i = 1; i < c.at.length; i++) {
    const ax = c.p[2 * i - 2], ay = c.p[2 * i - 1], dx = c.p[2 * i] - ax, dy = c.p[2 * i + 1] - ay, square = dx * dx + dy * dy;
    const t = square > 0 ? Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / square)) : 0;
    const d = Math.hypot(x - ax - t * dx, y - ay - t * dy);
    if (d < best) { best = d; along = c.at[i - 1] + t * (c.at[i] - c.at[i - 1]); }
  }
  return { distance: best, along };
}

const lines = DATA.lines.map((l, i) => {
  const c = course(l.p);
  let grade = 0;
  const grades = numbers(l.g).map(step => (grade += step) / 10);
  return { ...c, id: l.id, order: i, grades, drift: numbers(l.d), m: l.m, guide: l.guide, offset: l.off };
});
const byId = new Map(lines.map(l => [l.id.toLowerCase(), l]));
const waterElement = document.getElementById('water-data');
const WATER = waterElement ? JSON.parse(waterElement.textContent) : null;
const findings = DATA.findings.map(([harm, x, y, line, kind]) => ({ harm, x, y, line, kind }));

// Colours differ in lightness as well as in hue, and every class has a width or a dash of its own.
const STYLE = {
  drift: [
    { colour: '#6d7479', width: 0.9, text: () => say('l.level', quantity(LEVEL, 'pct', 2)) },
    { colour: '#00645f', width: 1.5, arrow: true, text: () => say('l.ridge') },
    { colour: '#c4186c', width: 2.8, arrow: true, text: () => say('l.valley') },
  ],
  grade: [
    { colour: '#6d7479', width: 0.8 }, { colour: '#3d86b4', width: 1.2 }, { colour: '#1f5d99', width: 1.7 }, { colour: '#0a2a5e', width: 2.2 },
    { colour: '#c4186c', width: 3.2, dash: [7, 3] },
  ],
  order: ['#0b1f4d', '#274b7d', '#3f77a0', '#4f8073', '#857424', '#a8620f'].map((colour, i) => ({ colour, width: 1.2 + (i % 2) * 0.6 })),
  water: ['#6d7479', '#3d86b4', '#1f5d99', '#0a2a5e'].map((colour, i) => ({ colour, width: 0.8 + i * 0.7 })),
  plain: [{ colour: '#1d242b', width: 1.1, text: () => say('l.line') }],
};
const GRADES = [0, LEVEL, Math.max(LEVEL, LIMIT / 2), Math.max(LEVEL, LIMIT * 0.75), LIMIT];
const MOST_WATER = WATER ? Math.max(1e-9, ...lines.map(soaked)) : 1;

function soaked(line) {
  const w = WATER && WATER[line.id];
  return w ? w[0] / Math.max(line.length, 1) : 0;
}

// Stretches of one class along a line: [from, to, class, whether water runs in driving direction].
function stretches(line, mode) {
  if (mode === 'drift') {
    const all = [];
    let at = 0;
    for (let i = 0; i < line.drift.length; i += 2) {
      const to = i + 2 >= line.drift.length ? line.length : Math.min(line.length, at + line.drift[i + 1] * STATION);
      if (to > at) all.push([at, to, (line.drift[i] + 1) >> 1, line.drift[i] % 2 === 1]);
      at = to;
    }
    return all;
  }
  if (mode === 'grade') {
    const all = [], step = line.length / line.grades.length;
    line.grades.forEach((g, i) => {
      let c = 0;
      while (c < 4 && Math.abs(g) > GRADES[c + 1] + (c === 3 ? 0.05 : 0)) c++;
      const last = all[all.length - 1];
      if (last && last[2] === c) last[1] = (i + 1) * step; else all.push([i * step, (i + 1) * step, c, g < 0]);
    });
    return all;
  }
  const c = mode === 'order' ? Math.floor(line.order * 6 / lines.length) : mode === 'water' ? Math.min(3, Math.floor(4 * soaked(line) / MOST_WATER)) : 0;
  return [[0, line.length, c, true]];
}

const runsByMode = new Map();
// For each class of a colouring the parts of lines that are drawn in it.
function runs(mode) {
  if (!runsByMode.has(mode)) {
    const classes = STYLE[mode].map(() => []);
    for (const line of lines) {
      for (const [from, to, c, forward] of stretches(line, mode)) {
        const run = from === 0 && to === line.length ? { p: line.p, box: line.box } : part(line, from, to);
        classes[c].push({ ...run, forward });
      }
    }
    runsByMode.set(mode, classes);
  }
  return runsByMode.get(mode);
}

const areas = list => list.map(([closed, text]) => ({ kind: closed, ...course(text) }));
const land = {
  boundary: areas(DATA.boundary), steep: areas(DATA.steep), outlets: areas(DATA.outlets), headland: areas(DATA.headland),
  avoid: DATA.avoid.map(a => ({ name: a.name, shape: areas(a.shape), clear: areas(a.clear) })),
  contours: DATA.contours.map(([height, heavy, text]) => ({ height, heavy, ...course(text) })),
  valleys: DATA.valleys.map(([, main, text]) => ({ main, ...course(text) })),
  ridges: DATA.ridges.map(([, main, text]) => ({ main, ...course(text) })),
  keylines: DATA.keylines.map(([, , text]) => course(text)),
};

function polynomial(terms, a, b) {
  return terms[0] + terms[1] * a + terms[2] * b + terms[3] * a * a + terms[4] * a * b + terms[5] * b * b;
}

// Degrees to metres from the map's origin, and back.
function toMap(lon, lat) {
  const turn = lon - DATA.place.middle[0], a = 1000 * (turn - 360 * Math.round(turn / 360)), b = 1000 * (lat - DATA.place.middle[1]);
  return [polynomial(DATA.place.east, a, b), polynomial(DATA.place.north, a, b)];
}

function toDegrees(x, y) {
  const a = x / DATA.place.scale[0], b = y / DATA.place.scale[0];
  return [DATA.place.middle[0] + polynomial(DATA.place.lon, a, b) / 1000, DATA.place.middle[1] + polynomial(DATA.place.lat, a, b) / 1000];
}
