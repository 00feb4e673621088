// A job begun by six questions: taps and typed values counted, what is assumed stays marked until it is replaced, every combination is a sheet
// that the core takes.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { browse, fill, go, nativeDoor, needed, openItem, pageModule, root, serve, sheetText } from './kit.mjs';

let server;
let browser;
before(async () => {
  needed();
  server = await serve();
  browser = await browse({ viewport: { width: 390, height: 844 } });
});
after(async () => { await browser.close(); await server.stop(); });

const NAMES = { site: 'New', bore: 'bore', open: 'dam', mains: 'mains', outlet: 'pump outlet', vessel: 'vessel', tank: 'tank',
  pump: 'pump', rise: 'rising main',
  line: 'line', house: 'house', garden: 'garden', stock: 'troughs', pressure: 'pressure', level: 'level', at: 'outlets' };

test('whatever is chosen, with nothing typed, the sheet is one that the core takes, and its healthy day has water and no lock out', async () => {
  const { EMPTY, sheetOf, SUPPLIES } = await pageModule('sheet/begin.ts');
  const { readSheet } = await pageModule('sheet/plain.ts');
  const { assumedIn, asReal } = await pageModule('sheet/assumed.ts');
  let count = 0;
  for (const source of ['bore', 'open', 'mains']) {
    for (const store of ['vessel', 'tank']) {
      for (const uses of [['house'], ['garden'], ['stock'], ['house', 'garden', 'stock']]) {
        const supply = Object.keys(SUPPLIES)[count % 4];
        const text = sheetOf({ ...EMPTY, source, store, uses, supply }, NAMES);
        const sheet = readSheet(text);
        const what = `${source}, ${store}, ${uses}, ${supply}`;
        assert.deepEqual(sheet.problems, [], what);
        assert.ok(assumedIn(sheet).length > 10 && sheet.site.invented === true, what);
        const checked = JSON.parse(nativeDoor({ do: 'check', site: sheet.site, text: false }));
        assert.ok(checked.ok, `${what}: ${checked.problems?.[0]?.words}`);
        const day = JSON.parse(nativeDoor({ do: 'run', site: sheet.site, length: '1 d', text: false, entries: 0 }));
        assert.equal(day.locks, 0, what);
        assert.ok(day.totals.delivered_m3 > 0.1 && day.totals.missing_m3 < 0.02 * day.totals.delivered_m3, what);
        const real = readSheet(asReal(sheet));
        assert.deepEqual([assumedIn(real), real.site.invented], [[], undefined], what);
        count++;
      }
    }
  }
  assert.equal(count, 24);
});

test('an assumed value loses its mark when it is replaced or confirmed, and the last one takes "invented" with it', async () => {
  const { readSheet } = await pageModule('sheet/plain.ts');
  const { withValue } = await pageModule('sheet/edit.ts');
  const { assumedIn, settled, withoutMark } = await pageModule('sheet/assumed.ts');
  const text = 'site: A\ninvented: yes\nvessels:\n  - name: v\n    volume: 100 L # assumed\n    precharge: 180 kPa  # assumed\n';
  const sheet = readSheet(text);
  assert.deepEqual(assumedIn(sheet), [['vessels', 0, 'volume'], ['vessels', 0, 'precharge']]);
  const one = settled(withValue(sheet, ['vessels', 0, 'volume'], '60 L'), sheet);
  assert.equal(one, text.replace('100 L # assumed', '60 L'));
  assert.equal(withoutMark(readSheet(one), ['vessels', 0, 'precharge']),
    'site: A\nvessels:\n  - name: v\n    volume: 60 L\n    precharge: 180 kPa\n');
});

test('from nothing to a first verdict: 7 taps, 6 typed values', async () => {
  const { page, wrong } = browser;
  let taps = 0;
  let typed = 0;
  const tap = async (target) => { await target.click(); taps++; };
  const type = async (field, text) => { // the field has the focus already: by a tap, or because Enter went on to it
    await page.waitForFunction((id) => document.activeElement?.dataset.begin === id, field);
    await page.keyboard.type(text);
    await page.keyboard.press('Enter');
    typed++;
  };
  const next = page.locator('.begin-foot .strong');
  await page.goto(server.url);
  await tap(page.getByRole('button', { name: 'By six questions' }));
  await tap(page.locator('[data-begin=level]'));
  await type('level', '12');
  await type('intake', '35');
  await page.locator('[data-step=pump]').waitFor();
  await tap(page.locator('[data-begin=head0]'));
  for (const [row, head] of ['78', '66', '30'].entries()) await type(`head${row}`, head);
  await page.locator('[data-step=store]').waitFor();
  await tap(next);
  await page.locator('[data-step=pipes]').waitFor();
  await tap(page.locator('[data-begin=lineLength]'));
  await type('lineLength', '60');
  await page.locator('[data-step=use]').waitFor();
  await tap(next);
  await page.locator('[data-step=supply]').waitFor();
  await tap(next);
  await page.locator('[data-verdict=there]').waitFor({ timeout: 90000 });
  assert.match(await page.locator('.verdict-line b').innerText(), /^The healthy site is (not )?in order$/);
  assert.deepEqual([taps, typed], [7, 6]); // the aim: at most 12 and 6
  assert.ok(taps <= 12 && typed <= 6);
  const text = await sheetText(page);
  for (const own of ['standing water level: 12 m', 'intake: 35 m', 'head: 66 m', 'length: 60 m']) assert.match(text, new RegExp(`${own}$`, 'm'));
  assert.match(text, /volume: 100 L # assumed$/m);
  assert.deepEqual(wrong, []);
});

test('what was assumed is listed, leads to its field, and stands on the paper as assumed until it is replaced', async () => {
  const { page } = browser;
  const count = async () => Number(/\d+/.exec(await page.locator('.taken summary').innerText())[0]);
  const before = await count();
  await go(page, 'papers');
  const taken = page.locator('.pw-paper', { hasText: 'Volume, whole vessel = 100 L' });
  await taken.waitFor({ timeout: 90000 });
  assert.match(await taken.innerText(), /Invented[\s\S]*Assumed, not measured here[\s\S]*Volume, whole vessel = 100 L/);
  await openItem(page, 'vessels');
  await fill(page, 'vessels[0].volume', '80');
  assert.equal(await count(), before - 1);
  await page.locator('#group-vessels').getByRole('button', { name: 'It is so: Precharge' }).click();
  assert.equal(await count(), before - 2);
  await page.locator('.taken summary').click();
  await page.locator('.taken .lead', { hasText: 'Motor power' }).click();
  await page.locator('[data-path="pumps[0].motor.power"]:focus').waitFor();
  await page.getByRole('button', { name: 'All of it is so: a real site' }).click();
  await page.locator('.taken').waitFor({ state: 'detached' });
  assert.doesNotMatch(await sheetText(page), /assumed|invented/);
  await page.getByRole('button', { name: 'Undo' }).click();
  await page.locator('.head [role=status]', { hasText: /^Undone: / }).waitFor();
  assert.equal(await count(), before - 2);
});

test('a pump of a catalogue, as YAML or as a table; a file that is none is refused; what the core refuses keeps the verdict back', async () => {
  const { page } = browser;
  await page.goto('about:blank');
  await page.goto(`${server.url}#new`);
  await page.locator('[data-step=source]').waitFor();
  await page.locator('[data-begin=intake]').fill('4');
  await page.locator('[data-begin=intake]').press('Enter'); // above the water at rest
  await page.locator('[data-step=pump]').waitFor();
  const file = (name, text) => page.locator('#begin-catalogue').setInputFiles({ name, mimeType: 'text/plain', buffer: Buffer.from(text) });
  await file('list.yaml', 'site: none\n');
  await page.locator('[role=alert]', { hasText: 'list.yaml holds no list of pumps' }).waitFor();
  await file('pumps.yaml', await readFile(join(root, 'examples/catalogue.yaml'), 'utf8'));
  await page.locator('#begin-pump').selectOption('Brook 3');
  await page.locator('.begin-row').first().waitFor({ state: 'detached' });
  await page.locator('#begin-pump').selectOption('Heron 4');
  await file('other.yaml', 'site: none\n');
  await page.locator('[role=alert]', { hasText: 'other.yaml holds no list of pumps' }).waitFor();
  assert.equal(await page.locator('#begin-pump').inputValue(), 'Heron 4'); // nothing was changed
  await file('pumps.csv', 'name,flow (L/min),head (m),efficiency (%),motor power (kW)\nHeron 4,0,86,0,1.5\nHeron 4,40,74,52\nHeron 4,85,24,30\n');
  await page.locator('#begin-pump option', { hasText: /^Brook 3$/ }).waitFor({ state: 'detached' }); // the list is the new file's
  assert.equal(await page.locator('#begin-pump').inputValue(), 'Heron 4'); // and so is the pump, which both files have
  for (let i = 0; i < 4; i++) await page.locator('.begin-foot .strong').click();
  await page.locator('.begin-foot .strong', { hasText: 'Show the verdict' }).click();
  await page.locator('.wrong .lead').first().click();
  await page.locator('[data-step=source] .error').first().waitFor();
  await page.locator('[data-begin=intake]').fill('30');
  await page.locator('[data-begin=intake]').blur();
  await page.locator('[data-step=source] .error').first().waitFor({ state: 'detached' });
  for (let i = 0; i < 5; i++) await page.locator('.begin-foot .strong').click();
  await page.locator('.begin-foot .strong', { hasText: 'Show the verdict' }).click();
  await page.locator('.bar').waitFor();
  assert.match(await sheetText(page), /name: Heron 4\n[\s\S]*head: 74 m\n\s+efficiency: 52 %/);
});
