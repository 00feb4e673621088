// Advice and a log: asked in the browser, the same as by the native program; and charts that enlarge, tell values and stand as a table.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { after, before, test } from 'node:test';
import { browse, go, native, needed, nativeDoor, serve, sheetText } from './kit.mjs';

// Invented, and small, so that an advice is quick.
const SITE = `site: Farmhouse
invented: yes
places:
  - {name: dam, level: 0 m}
  - {name: house, level: 8 m}
sources:
  - {name: dam, at: dam, kind: open, standing water level: 0.5 m, intake: 2 m}
pumps:
  - name: pump
    from: dam
    to: house
    curve:
      - {flow: 0 L/min, head: 52 m, efficiency: 0 %}
      - {flow: 30 L/min, head: 45 m, efficiency: 45 %}
      - {flow: 60 L/min, head: 24 m, efficiency: 38 %}
    motor: {power: 0.75 kW, phases: 1, voltage: 230 V}
vessels:
  - {name: vessel, at: house, volume: 60 L, precharge: 180 kPa}
outlets:
  - {name: taps, at: house, needs: 100 kPa}
sensors:
  - {name: pressure, kind: pressure, at: house, from: 0 kPa, to: 1000 kPa}
demand:
  - {outlet: taps, flow: 12 L/min, for: 20 min, at: "07:00", every: 6 h, until: "21:00"}
settings:
  - start when pressure below 200 kPa
  - stop when pressure above 350 kPa
  - lock out when running for 60 min
`;

let server;
before(async () => { needed(); server = await serve(); });
after(() => server.stop());

async function opened(t, options) {
  const browser = await browse({ viewport: { width: 390, height: 844 }, ...options });
  t.after(() => browser.close());
  await browser.page.goto(server.url);
  await browser.page.locator('#job-file').setInputFiles({ name: 'farm.yaml', mimeType: 'text/plain', buffer: Buffer.from(SITE) });
  await browser.page.locator('[data-job="Farmhouse"] .job-open, .bar').first().waitFor();
  if (await browser.page.locator('.bar').count() === 0) await browser.page.locator('[data-job="Farmhouse"] .job-open').click();
  await browser.page.locator('[data-verdict=there]').waitFor({ timeout: 60000 });
  return browser;
}

test('advice is looked for, a point of the trade-off is chosen, taken, and undone in one step', async (t) => {
  const { page, wrong } = await opened(t);
  await go(page, 'advice');
  await page.locator('#advice summary').first().click();
  await page.getByLabel('Healthy years to try').selectOption('1');
  await page.getByRole('button', { name: 'Look for settings' }).click();
  await page.locator('[data-advice=there]').waitFor({ timeout: 120000 });
  const before = await sheetText(page);
  const listed = await page.locator('.to-type b').allInnerTexts();
  const points = page.locator('.points input');
  assert.ok(await points.count() >= 2, 'the advised list and a point of the trade-off');
  await points.nth(1).check();
  const chosen = await page.locator('.to-type .words b').allInnerTexts();
  const stepped = page.locator('.tools').getByRole('button', { name: /^Undo/ });
  assert.ok(await stepped.isDisabled());
  await page.locator('.trade svg').click({ position: { x: 60, y: 20 } });
  await points.first().check();
  assert.deepEqual(await page.locator('.to-type .words b').allInnerTexts(), listed);
  await points.nth(1).check();
  await page.getByRole('button', { name: 'Take these settings' }).click();
  await page.locator('#advice .stale').waitFor();
  const settings = (await sheetText(page)).split('settings:')[1];
  for (const words of chosen) assert.ok(settings.includes(words), words);
  assert.ok(listed.length > 3 && chosen.length >= 3);
  await stepped.click();
  assert.equal(await sheetText(page), before);
  assert.deepEqual(wrong, []);
});

test('a search for advice can be stopped', async (t) => {
  const { page } = await opened(t);
  await go(page, 'advice');
  await page.locator('#advice summary').first().click();
  await page.getByLabel('Healthy years to try').selectOption('100');
  await page.getByRole('button', { name: 'Look for settings' }).click();
  await page.locator('[data-advice=runs]').getByRole('button', { name: 'Cancel' }).click();
  await page.getByRole('button', { name: 'Look for settings' }).waitFor();
  assert.equal(await page.locator('[data-advice=there]').count(), 0);
});

/* A meter read each hour; from the third day on a tap runs for ever. */
function meter(days) {
  let total = 0;
  const rows = ['Zeit;Zählerstand [m3]'];
  for (let hour = 0; hour < 24 * days; hour++) {
    total += (hour % 24 === 7 || hour % 24 === 19 ? 0.09 : hour % 24 > 7 && hour % 24 < 20 && hour % 3 === 0 ? 0.02 : 0) + (hour >= 96 ? 0.03 : 0);
    const day = String(1 + Math.floor(hour / 24)).padStart(2, '0');
    rows.push(`${day}.03.2024 ${String(hour % 24).padStart(2, '0')}:00:00;${total.toFixed(3).replace('.', ',')}`);
  }
  return `${rows.join('\n')}\n`;
}

/* What the command line says of the same file. */
function nativeLog(csv) {
  const folder = mkdtempSync(join(tmpdir(), 'places-'));
  writeFileSync(join(folder, 'site.yaml'), SITE);
  writeFileSync(join(folder, 'log.csv'), csv);
  const done = spawnSync(native, ['diagnose', join(folder, 'site.yaml'), join(folder, 'log.csv'), '--json', '--quiet'],
    { encoding: 'utf8', maxBuffer: 1 << 28 });
  rmSync(folder, { recursive: true });
  return JSON.parse(done.stdout);
}

test('a packed log is read, drawn, and judged; a column can be taken for something else', async (t) => {
  const { page, wrong } = await opened(t);
  await go(page, 'log');
  await page.locator('#log input[type=file]').setInputFiles({ name: 'meter.csv.gz', mimeType: 'application/gzip', buffer: gzipSync(meter(14)) });
  const column = page.locator('[data-column="Zählerstand [m3]"]');
  await column.waitFor({ timeout: 30000 });
  assert.equal(await column.locator('select').first().inputValue(), 'volume');
  await page.locator('[data-log=verdict] .headline').waitFor({ timeout: 60000 });
  const theirs = nativeLog(meter(14));
  assert.ok((await page.locator('[data-log=verdict] .headline').innerText()).includes(theirs.hypotheses[0].words), theirs.hypotheses[0].words);
  assert.ok(theirs.log.standing.length > 0, 'the flow that never ends');
  await page.locator('[data-log=drawn] .key.shade').waitFor();
  assert.ok(await page.locator('.next-tests li').count() + await page.getByText('No test that is known here').count() > 0);
  await column.locator('select').first().selectOption('level');
  await page.locator('[data-log=drawn] .chart-title', { hasText: 'Level' }).waitFor({ timeout: 30000 });
  assert.deepEqual(wrong, []);
});

test('typed readings say the same as the native program', async (t) => {
  const { page } = await opened(t);
  await go(page, 'log');
  await page.locator('[data-log=readings] > summary').click();
  for (const [key, value] of [['starts', '40'], ['ran', '21 min'], ['over', '9 h']]) await page.locator(`[data-reading=${key}]`).fill(value);
  await page.getByRole('button', { name: 'What does it speak for?' }).click();
  const said = await page.locator('[data-log=verdict] .headline').innerText({ timeout: 60000 });
  const { parse } = await import('../../shell/page/node_modules/yaml/dist/index.js').then((module) => module.default ?? module);
  const theirs = JSON.parse(nativeDoor({ do: 'diagnose', site: parse(SITE),
    readings: [{ what: 'quiet counters', starts: 40, ran: '21 min', over: '9 h' }] }));
  assert.ok(said.includes(theirs.hypotheses[0].words), `${said} and ${theirs.hypotheses[0].words}`);
});

test('a chart is enlarged by keys, buttons and the wheel, tells the value, and stands as a table', async (t) => {
  const { page } = await opened(t);
  await go(page, 'day');
  const chart = page.locator('#day .chart').first();
  const box = page.locator('#day [data-table]');
  await box.locator('summary').click();
  const rows = () => box.locator('tbody th').allInnerTexts();
  const reach = async () => { const all = await rows(); return [all[0], all.at(-1)]; };
  assert.deepEqual(await reach().then(([first]) => first), '00:00');
  await chart.focus();
  await page.keyboard.press('+');
  await page.waitForFunction(() => document.querySelector('#day [data-table] tbody th').textContent !== '00:00');
  const once = await reach();
  await page.keyboard.press('PageDown');
  await page.waitForFunction((first) => document.querySelector('#day [data-table] tbody th').textContent !== first, once[0]);
  await page.keyboard.press('0');
  await page.waitForFunction(() => document.querySelector('#day [data-table] tbody th').textContent === '00:00');
  await page.locator('#day .zoom').getByRole('button', { name: 'Enlarge' }).click();
  await page.locator('#day .zoom').getByRole('button', { name: 'All of it' }).click();
  await chart.hover();
  await chart.focus();
  await page.mouse.wheel(0, -300);
  await page.waitForFunction(() => document.querySelector('#day [data-table] tbody th').textContent !== '00:00');
  const read = page.locator('#day .chart-read').first();
  const was = await read.innerText();
  await page.keyboard.press('ArrowRight');
  await page.waitForFunction((text) => document.querySelector('#day .chart-read').innerText !== text, was);
  assert.match(await read.innerText(), /^\d\d:\d\d\s+Pressure\s+\d/);
});
