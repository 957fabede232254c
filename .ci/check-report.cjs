// Drives a report.html in a headless browser: node check-report.cjs PLAN-FOLDER NPM-FOLDER [pictures]
// Needs playwright-core and axe-core in NPM-FOLDER and Debian's chromium. Times are said, not judged.
const fs = require('node:fs'), path = require('node:path');
const [, , folder, npm, pictures] = process.argv;
const { chromium } = require(path.join(npm, 'node_modules', 'playwright-core'));
const axe = fs.readFileSync(path.join(npm, 'node_modules', 'axe-core', 'axe.min.js'), 'utf8');
const url = 'file://' + path.resolve(folder, 'report.html');
const plan = JSON.parse(fs.readFileSync(path.join(folder, 'plan.geojson'), 'utf8'));
const rips = plan.features.filter(f => f.properties.kind === 'rip-line');
const faults = [];
const expect = (holds, what) => { if (!holds) { faults.push(what); console.log('FAULT  ' + what); } };
const switches = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];

async function opened(browser, width, height, more = {}) {
  const context = await browser.newContext({ viewport: { width, height }, locale: 'en-US', ...more });
  const page = await context.newPage();
  page.on('console', m => expect(m.type() !== 'error' && m.type() !== 'warning', `the console says: ${m.text()}`));
  page.on('pageerror', e => expect(false, `the script fails: ${e.message}`));
  page.on('request', r => expect(r.url() === url || r.url().startsWith('data:'), `the page asks for ${r.url()}`));
  const from = Date.now();
  await page.goto(url);
  await page.waitForFunction(() => typeof stillView !== 'undefined' && stillView !== null);
  return { context, page, took: Date.now() - from };
}

const canvasHash = page => page.evaluate(() => { drawNow(); return canvas.toDataURL(); });

(async () => {
  const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || '/usr/bin/chromium', args: switches });
  const { context, page, took } = await opened(browser, 1400, 900, { permissions: ['geolocation'] });
  console.log(`opens in ${took} ms, draws in ${await page.evaluate(() => { drawNow(); return Math.round(cost); })} ms, ${rips.length} lines, ${Math.round(fs.statSync(path.resolve(folder, 'report.html')).size / 1000)} kB`);

  // Every point of every line of plan.geojson lies on the page's line, and the other way round.
  const off = await page.evaluate(all => {
    let worst = 0;
    for (const [id, points] of all) {
      const line = byId.get(id.toLowerCase()), own = points.map(p => toMap(p[0], p[1]));
      for (const [x, y] of own) worst = Math.max(worst, nearest(line, x, y).distance);
      const flat = Float32Array.from(own.flat()), at = new Float32Array(own.length);
      for (let i = 1; i < own.length; i++) at[i] = at[i - 1] + Math.hypot(own[i][0] - own[i - 1][0], own[i][1] - own[i - 1][1]);
      for (let i = 0; i < line.p.length; i += 2) worst = Math.max(worst, nearest({ p: flat, at }, line.p[i], line.p[i + 1]).distance);
    }
    return worst;
  }, rips.map(f => [f.properties.id, f.geometry.type === 'LineString' ? f.geometry.coordinates : f.geometry.coordinates.flat()]));
  console.log(`lines lie within ${(off * 100).toFixed(1)} cm of plan.geojson's`);
  expect(off > 0 && off <= 0.1, `a line lies ${off} m from the plan's`);

  // Tap a line and read back where it is.
  const target = rips[Math.floor(rips.length / 2)].properties.id;
  await page.fill('#find', target.toLowerCase());
  await page.press('#find', 'Enter');
  expect(await page.evaluate(() => chosen && chosen.id) === target, 'a line is not found by its name');
  expect((await page.textContent('#card h3')).includes(target), 'the card does not name the line');
  const spot = await page.evaluate(() => { canvas.scrollIntoView({ block: 'center' }); view.s = 20; const p = pointAt(chosen, chosen.length * 0.4); view.x = p[0]; view.y = p[1]; letGo(); drawNow(); const b = canvas.getBoundingClientRect(); return [b.left + b.width / 2, b.top + b.height / 2]; });
  await page.mouse.click(...spot);
  expect(await page.evaluate(() => chosen && chosen.id) === target, 'a tap does not take the line under it');
  const said = await page.evaluate(() => [...document.querySelectorAll('#card dd')].map(d => d.textContent).join('|'));
  const [lat, lon] = said.match(/(-?\d+\.\d{6}), (-?\d+\.\d{6})/).slice(1).map(Number);
  const back = await page.evaluate(([a, b]) => nearest(chosen, ...toMap(a, b)).distance, [lon, lat]);
  expect(back <= 0.15, `the card's place lies ${back} m from the line`); // six decimals of a degree are 0.1 m
  await page.fill('#find', 'no such line');
  await page.press('#find', 'Enter');
  expect((await page.textContent('#message')).includes('no such line'), 'an unknown name is not told of');

  // Layers and colourings change the picture.
  await page.evaluate(() => { letGo(); fit(); });
  for (const name of ['relief', 'contours', 'lines', 'numbers', 'avoid', 'land']) {
    const before = await canvasHash(page);
    await page.click(`#layers input[value=${name}]`);
    if (name !== 'avoid' || plan.features.some(f => f.properties.kind === 'avoid')) expect(await canvasHash(page) !== before, `the layer ${name} changes nothing`);
    await page.click(`#layers input[value=${name}]`);
    expect(await canvasHash(page) === before, `the layer ${name} does not come back`);
  }
  const looks = new Set();
  for (const by of ['drift', 'grade', 'order', 'plain']) { await page.selectOption('#colour', by); looks.add(await canvasHash(page)); expect(await page.locator('#legend-list li').count() > 2, `no legend of ${by}`); }
  expect(looks.size === 4, 'two colourings look the same');
  await page.selectOption('#colour', 'drift');

  // Keys, wheel, drag, two fingers.
  await page.focus('#canvas');
  const scale = () => page.evaluate(() => view.s), middle = () => page.evaluate(() => [view.x, view.y]);
  const s0 = await scale(); await page.keyboard.press('+'); expect(await scale() > s0, 'the key + does not zoom');
  const m0 = await middle(); await page.keyboard.press('ArrowLeft'); expect((await middle())[0] < m0[0], 'the arrow does not move');
  await page.keyboard.press('n'); expect(await page.evaluate(() => chosen === lines[0]), 'the key N does not take the first line');
  await page.keyboard.press('Escape'); expect(await page.evaluate(() => chosen === null), 'Esc does not let go');
  await page.keyboard.press('0');
  await page.evaluate(() => canvas.scrollIntoView({ block: 'center' }));
  const box = await page.locator('#canvas').boundingBox(), cx = box.x + box.width / 2, cy = box.y + box.height / 2;
  const s1 = await scale(); await page.mouse.move(cx, cy); await page.mouse.wheel(0, -300); await page.waitForTimeout(100); expect(await scale() > s1, 'the wheel does not zoom');
  const m1 = await middle(); await page.mouse.down(); await page.mouse.move(cx + 90, cy + 40, { steps: 4 }); await page.mouse.up(); expect((await middle())[0] < m1[0], 'dragging does not move the map');
  const frames = await page.evaluate(() => new Promise(done => { const all = []; let last = performance.now(), n = 0; const one = () => { const now = performance.now(); all.push(now - last); last = now; view.x += 3 / view.s; if (n % 10 === 0) view.s *= 1.02; moved(); if (++n < 60) requestAnimationFrame(one); else done(all.sort((a, b) => a - b)[30]); }; requestAnimationFrame(one); }));
  console.log(`moves at ${Math.round(1000 / frames)} frames a second`);
  expect(frames < 50, `the map moves at ${Math.round(1000 / frames)} frames a second`);

  // Measuring, where am I, links.
  await page.evaluate(() => { fit(); drawNow(); });
  await page.click('#measure');
  await page.mouse.click(cx - 100, cy); await page.mouse.click(cx + 100, cy);
  expect(/\d/.test(await page.textContent('#message')), 'measuring says nothing');
  const wide = await page.evaluate(() => Math.hypot(measured[0].x - measured[1].x, measured[0].y - measured[1].y) * view.s / ratio);
  expect(Math.abs(wide - 200) < 40, `200 dots measure as ${wide}`);
  await page.click('#measure');
  const first = rips[0].geometry.coordinates.flat(rips[0].geometry.type === 'LineString' ? 0 : 1)[0];
  await context.setGeolocation({ longitude: first[0], latitude: first[1], accuracy: 4 });
  await page.click('#where');
  const located = await page.waitForFunction(() => me !== null, null, { timeout: 5000 }).then(() => true, () => false);
  if (located) expect(/R\d/.test(await page.textContent('#message')), 'the nearest line is not told'); else console.log('the browser gives no position to a file: not tried');
  const link = page.locator('#findings a.place').first();
  if (await link.count()) { await link.click(); expect(await page.evaluate(() => ring !== null && chosen !== null), 'a finding does not lead to its place'); }

  // Units, language, numbers.
  const answer = () => page.evaluate(() => document.getElementById('answer').innerText);
  expect(/\bac\b/.test(await answer()) && !/\bha\b/.test(await answer()), 'an American reader is not shown acres');
  const said4 = await page.evaluate(() => [quantity(470, 'm', 0), quantity(22.4, 'kn', 1), quantity(22.39, 'kn', 0), quantity(0.83, 'mps', 2)].join('|').replace(/\u00a0/g, ' '));
  expect(said4 === '1,542 ft|5,036 lbf|5,030 lbf|2.7 ft/s', `quantities in US units read ${said4}`);
  await page.selectOption('#units', 'metric'); expect(/\bha\b/.test(await answer()) && !/\bac\b/.test(await answer()), 'metric units do not show');
  await page.selectOption('#language', 'es'); expect((await answer()).includes('La respuesta') && !(await answer()).includes('The answer'), 'Spanish does not show');
  expect(/\d,\d/.test(await answer()), 'Spanish numbers have no comma');
  await page.selectOption('#language', 'en');

  // Paper: the still map, then as before.
  const paper = await page.evaluate(() => { const w = canvas.width; dispatchEvent(new Event('beforeprint')); const p = canvas.width; dispatchEvent(new Event('afterprint')); return [w, p, canvas.width]; });
  expect(paper[1] === 2000 && paper[0] === paper[2], `the map on paper is ${paper} dots wide`);
  for (const format of ['A4', 'Letter']) { const pdf = await page.pdf({ format, path: pictures ? `${pictures}-${format}.pdf` : undefined, printBackground: true }); console.log(`${format}: ${Math.round(pdf.length / 1000)} kB`); expect(pdf.length > 100_000, `the ${format} print is empty`); }

  await page.evaluate(axe);
  // The rule of contrast takes minutes for a table of thousands of rows, all alike.
  const few = await page.evaluate(() => lines.length < 2000);
  for (const [tongue, open] of [['en', false], ['en', few], ['es', few]]) {
    await page.selectOption('#language', tongue);
    await page.evaluate(open => { document.getElementById('lines').open = open; }, open);
    const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ['violations'] }));
    for (const v of found.violations) { const text = `axe (${tongue}): ${v.impact} ${v.id}: ${v.help} (${v.nodes[0].target})`; if (['serious', 'critical'].includes(v.impact)) expect(false, text); else console.log(text); }
  }
  await context.close();

  for (const [w, h] of [[320, 640], [390, 844], [768, 1024]]) {
    const small = await opened(browser, w, h, { hasTouch: true, isMobile: w < 700 });
    const wider = await small.page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect(wider <= 0, `the page is ${wider} dots too wide at ${w}`);
    if (w === 390) {
      await small.page.locator('#canvas').scrollIntoViewIfNeeded();
      const b = await small.page.locator('#canvas').boundingBox(), x = b.x + b.width / 2, y = Math.min(b.y + b.height / 2, 700), hand = await small.context.newCDPSession(small.page);
      const before = await small.page.evaluate(() => view.s);
      const touch = (type, gap) => hand.send('Input.dispatchTouchEvent', { type, touchPoints: gap ? [{ x: x - gap, y, id: 1 }, { x: x + gap, y, id: 2 }] : [] });
      await touch('touchStart', 30); for (const g of [45, 60, 80]) await touch('touchMove', g); await touch('touchEnd', 0);
      expect(await small.page.evaluate(() => view.s) > before * 1.5, 'two fingers do not zoom');
    }
    await small.context.close();
  }
  await browser.close();
  console.log(faults.length ? `${faults.length} faults` : 'the report holds');
  process.exit(faults.length ? 1 : 0);
})().catch(e => { console.log(e); process.exit(1); });
