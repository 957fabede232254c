// Draws the plan on a canvas, for the screen and for paper alike.

const INK = '#1d242b', QUIET = '#4d565e', CONTOUR = '#8c745a', VALLEY = '#125cb0', RIDGE = '#9c4e00', KEY = '#f2c114', AVOID = '#4a3f52', STEEP = '#8a4b1f';
const relief = document.getElementById('relief');

// Traces a course, leaving out points that fall on the same dot.
function trace(c, v, p, closed) {
  let x = (p[0] - v.x) * v.s + v.w / 2, y = (v.y - p[1]) * v.s + v.h / 2;
  c.moveTo(x, y);
  for (let i = 2; i < p.length; i += 2) {
    const px = (p[i] - v.x) * v.s + v.w / 2, py = (v.y - p[i + 1]) * v.s + v.h / 2;
    if (i + 2 < p.length && Math.abs(px - x) + Math.abs(py - y) < 1.2) continue;
    c.lineTo(px, py); x = px; y = py;
  }
  if (closed) c.closePath();
}

function seen(v, box) {
  const w = v.w / v.s / 2, h = v.h / v.s / 2;
  return box[2] >= v.x - w && box[0] <= v.x + w && box[3] >= v.y - h && box[1] <= v.y + h;
}

function strokeAll(c, v, courses, colour, width, dash = []) {
  c.strokeStyle = colour; c.lineWidth = width; c.setLineDash(dash);
  c.beginPath();
  for (const one of courses) if (seen(v, one.box)) trace(c, v, one.p, one.kind === 1);
  c.stroke();
  c.setLineDash([]);
}

function at(v, x, y) { return [(x - v.x) * v.s + v.w / 2, (v.y - y) * v.s + v.h / 2]; }

function hatch(colour, up) {
  const tile = document.createElement('canvas');
  tile.width = tile.height = 8;
  const c = tile.getContext('2d');
  c.strokeStyle = colour; c.lineWidth = 1.1;
  c.beginPath();
  for (const o of [-8, 0, 8]) { c.moveTo(o, up ? 8 : 0); c.lineTo(o + 8, up ? 0 : 8); }
  c.stroke();
  return tile;
}
const AVOID_HATCH = hatch(AVOID, true), STEEP_HATCH = hatch(STEEP, false);

function fillAreas(c, v, courses, tile, edge) {
  c.beginPath();
  for (const one of courses) if (one.kind === 1) trace(c, v, one.p, true);
  c.fillStyle = c.createPattern(tile, 'repeat');
  c.fill('evenodd');
  c.strokeStyle = edge; c.lineWidth = 1.2; c.stroke();
}

// Letters with a light rim, so that they can be read over lines.
function letters(c, text, x, y, size, colour = INK, bold = false) {
  c.font = `${bold ? '600 ' : ''}${size}px system-ui, sans-serif`;
  c.lineJoin = 'round'; c.strokeStyle = 'rgba(255,255,255,.92)'; c.lineWidth = 3;
  c.strokeText(text, x, y);
  c.fillStyle = colour; c.fillText(text, x, y);
}

// Keeps letters from lying on each other.
function room() {
  const taken = new Set();
  return (x, y, w, h) => {
    const cells = [];
    for (let i = Math.floor((x - w / 2) / 12); i <= (x + w / 2) / 12; i++) for (let j = Math.floor((y - h / 2) / 12); j <= (y + h / 2) / 12; j++) cells.push(i + ',' + j);
    if (cells.some(k => taken.has(k))) return false;
    cells.forEach(k => taken.add(k));
    return true;
  };
}

function arrow(c, x, y, angle, size, colour) {
  c.save(); c.translate(x, y); c.rotate(angle);
  c.beginPath(); c.moveTo(size, 0); c.lineTo(-size * 0.7, size * 0.7); c.lineTo(-size * 0.7, -size * 0.7); c.closePath();
  c.fillStyle = colour; c.fill(); c.restore();
}

function drawRips(c, v, mode, scale) {
  const near = v.s * SPACING / scale, thin = Math.max(0.42, Math.min(1.5, near / 5)) * scale;
  c.lineCap = 'round'; c.lineJoin = 'round';
  runs(mode).forEach((all, i) => {
    const style = STYLE[mode][i];
    strokeAll(c, v, all, style.colour, style.width * thin, style.dash && near > 5 ? style.dash.map(d => d * scale) : []);
    if (style.arrow && near > 7) {
      for (const run of all) {
        if (!seen(v, run.box)) continue;
        const m = 2 * ((run.p.length / 2) >> 1), [ax, ay] = at(v, run.p[m - 2], run.p[m - 1]), [bx, by] = at(v, run.p[m], run.p[m + 1]);
        if ((run.box[2] - run.box[0] + run.box[3] - run.box[1]) * v.s < 26 * scale) continue;
        arrow(c, (ax + bx) / 2, (ay + by) / 2, Math.atan2(by - ay, bx - ax) + (run.forward ? 0 : Math.PI), 4.2 * scale, style.colour);
      }
    }
  });
}

function drawNumbers(c, v, scale, free) {
  const gap = v.s * SPACING / scale, step = gap > 9 ? 1 : gap > 4 ? 5 : gap > 2 ? 10 : 25;
  c.textAlign = 'center'; c.textBaseline = 'middle';
  for (let i = 0; i < lines.length; i++) {
    if (i % step && i !== lines.length - 1) continue;
    const l = lines[i];
    if (!seen(v, l.box)) continue;
    const [x, y] = at(v, l.p[0], l.p[1]), text = l.id;
    if (x < 0 || y < 0 || x > v.w || y > v.h || !free(x, y, 8 * text.length * scale, 13 * scale)) continue;
    letters(c, text, x, y, 11 * scale);
  }
}

function drawFindings(c, v, scale) {
  for (const f of findings) {
    if (f.harm === 2 && v.s * SPACING < 5 * scale) continue;
    const [x, y] = at(v, f.x, f.y), r = (f.harm === 2 ? 3 : 5.5) * scale;
    if (x < -9 || y < -9 || x > v.w + 9 || y > v.h + 9) continue;
    c.beginPath();
    if (f.harm === 0) c.rect(x - r, y - r, 2 * r, 2 * r);
    else if (f.harm === 1) { c.moveTo(x, y - r); c.lineTo(x + r, y + r * 0.8); c.lineTo(x - r, y + r * 0.8); c.closePath(); }
    else c.arc(x, y, r, 0, 7);
    c.fillStyle = f.harm === 2 ? '#fff' : '#ffd9a8'; c.fill();
    c.strokeStyle = INK; c.lineWidth = 1.4 * scale; c.stroke();
  }
}

function drawKeypoint(c, x, y, clear, scale) {
  const r = 7 * scale;
  c.beginPath(); c.moveTo(x, y - r); c.lineTo(x + r, y); c.lineTo(x, y + r); c.lineTo(x - r, y); c.closePath();
  c.fillStyle = clear ? KEY : '#fff'; c.fill();
  c.strokeStyle = INK; c.lineWidth = 1.6 * scale; c.stroke();
}

function drawScale(c, v, scale) {
  const feet = system === 1, unit = feet ? 0.3048 : 1, most = 130 * scale / v.s / unit, power = 10 ** Math.floor(Math.log10(most));
  const length = power * (most / power >= 5 ? 5 : most / power >= 2 ? 2 : 1), px = length * unit * v.s, x = 14 * scale, y = v.h - 16 * scale;
  c.lineCap = 'butt'; c.setLineDash([]);
  for (const [colour, width] of [['rgba(255,255,255,.9)', 5], [INK, 2]]) {
    c.strokeStyle = colour; c.lineWidth = width * scale;
    c.beginPath(); c.moveTo(x, y - 6 * scale); c.lineTo(x, y); c.lineTo(x + px, y); c.lineTo(x + px, y - 6 * scale); c.stroke();
  }
  c.textAlign = 'left'; c.textBaseline = 'alphabetic';
  letters(c, quantity(length * unit, 'm', 1).replace(/[.,]0(?=\D)/, ''), x + 5 * scale, y - 5 * scale, 12 * scale);
  const nx = v.w - 20 * scale, ny = 26 * scale;
  c.beginPath(); c.moveTo(nx, ny - 14 * scale); c.lineTo(nx + 6 * scale, ny + 4 * scale); c.lineTo(nx, ny); c.lineTo(nx - 6 * scale, ny + 4 * scale); c.closePath();
  c.fillStyle = INK; c.strokeStyle = '#fff'; c.lineWidth = 1.5 * scale; c.stroke(); c.fill();
  c.textAlign = 'center'; letters(c, say('north'), nx, ny + 17 * scale, 12 * scale, INK, true);
}

// The whole map. v is the view: x, y its middle in metres, s dots a metre, w and h its size; scale makes strokes and letters larger for paper.
function drawMap(c, v, show, mode, marks, scale = 1) {
  c.fillStyle = '#f4f2ec'; c.fillRect(0, 0, v.w, v.h);
  if (show.relief && relief && relief.complete && relief.naturalWidth) {
    const [x0, y0, x1, y1] = relief.dataset.box.split(' ').map(Number), [left, top] = at(v, x0, y1);
    c.imageSmoothingEnabled = true;
    c.drawImage(relief, left, top, (x1 - x0) * v.s, (y1 - y0) * v.s);
  }
  if (show.contours) {
    strokeAll(c, v, land.contours.filter(l => !l.heavy), 'rgba(140,116,90,.55)', 0.7 * scale);
    strokeAll(c, v, land.contours.filter(l => l.heavy), 'rgba(140,116,90,.9)', 1.3 * scale);
  }
  if (show.avoid) {
    strokeAll(c, v, land.headland, 'rgba(77,86,94,.6)', 0.8 * scale, [4 * scale, 3 * scale]);
    fillAreas(c, v, land.steep, STEEP_HATCH, STEEP);
    for (const a of land.avoid) {
      fillAreas(c, v, a.clear, AVOID_HATCH, AVOID);
      strokeAll(c, v, a.shape, AVOID, 1.8 * scale);
    }
  }
  if (show.land) {
    strokeAll(c, v, land.valleys.filter(l => l.main), VALLEY, 2.6 * scale);
    strokeAll(c, v, land.valleys.filter(l => !l.main), VALLEY, 1.3 * scale);
    strokeAll(c, v, land.ridges, RIDGE, 2 * scale, [10 * scale, 4 * scale, 2 * scale, 4 * scale]);
  }
  if (show.keys) {
    strokeAll(c, v, land.keylines, INK, 4.4 * scale);
    strokeAll(c, v, land.keylines, KEY, 2.6 * scale);
  }
  if (show.lines) drawRips(c, v, mode, scale);
  strokeAll(c, v, land.boundary, '#fff', 4.2 * scale);
  strokeAll(c, v, land.boundary, INK, 2.2 * scale);
  const free = room();
  if (show.contours) {
    c.textAlign = 'center'; c.textBaseline = 'middle';
    for (const l of land.contours) {
      if (!l.heavy || !seen(v, l.box) || l.length * v.s < 120 * scale) continue;
      const [x, y] = at(v, ...pointAt(l, l.length / 2));
      if (free(x, y, 60 * scale, 14 * scale)) letters(c, quantity(l.height, 'm', Math.min(1, plain(DATA.interval))), x, y, 10.5 * scale, '#6b5238');
    }
  }
  if (show.avoid) {
    c.textAlign = 'center'; c.textBaseline = 'middle';
    for (const a of land.avoid) {
      const one = a.shape[0];
      if (!one || !a.name || !seen(v, one.box)) continue;
      const [x, y] = at(v, (one.box[0] + one.box[2]) / 2, (one.box[1] + one.box[3]) / 2);
      if (free(x, y, 7 * a.name.length * scale, 14 * scale)) letters(c, a.name, x, y, 11.5 * scale, AVOID, true);
    }
  }
  if (DATA.gate) { const [x, y] = at(v, ...DATA.gate); c.fillStyle = INK; c.fillRect(x - 5 * scale, y - 5 * scale, 10 * scale, 10 * scale); c.fillStyle = '#fff'; c.fillRect(x - 2 * scale, y - 2 * scale, 4 * scale, 4 * scale); }
  if (show.keys) for (const [, clear, x, y] of DATA.keypoints) drawKeypoint(c, ...at(v, x, y), clear, scale);
  if (show.numbers && show.lines) drawNumbers(c, v, scale, free);
  if (show.findings) drawFindings(c, v, scale);
  if (marks) marks(c, v);
  drawScale(c, v, scale);
}
