// A whole job in the browser: from nothing to a printed proof, undo, what is kept, files, units, the sheet's text.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { begun, browse, fill, go, nativeDoor, needed, openGroup, openItem, root, serve, sheetText, visited } from './kit.mjs';

let server;
before(async () => { needed(); server = await serve(); });
after(() => server.stop());

/* A job of a usual kind of site; what a test wants to see it waits for itself. */
async function fresh(t, options, start = 'nursery') {
  const browser = await browse(options);
  t.after(() => browser.close());
  await browser.page.goto(server.url);
  await begun(browser.page, start);
  return browser;
}

test('a newcomer gets from nothing to a printed proof', async (t) => {
  const { page, wrong } = await fresh(t, { viewport: { width: 360, height: 740 } }, 'bore_tank'); // few starts a day: its full check is short
  assert.equal(await page.locator('.head h1').innerText(), 'Bore filling a header tank');
  await fill(page, 'site', 'Miller, upper tank');
  await openItem(page, 'sources');
  await fill(page, 'sources[0].intake', '40.5');
  assert.equal(await page.locator('[data-path="sources[0].intake"]').inputValue(), '40.5 m');
  await openItem(page, 'tanks');
  await page.locator('#group-tanks').getByRole('button', { name: 'more' }).first().click();
  await go(page, 'fit');
  await page.locator('#fit .figure-card').first().waitFor();
  assert.match(await page.locator('#fit .figure-card').first().innerText(), /Flow\s+[\d.]+ L\/min/);
  await go(page, 'settings');
  await page.getByRole('button', { name: 'Add a sentence' }).click();
  await page.locator('.builder').getByRole('button', { name: 'warn', exact: true }).click();
  await page.locator('.builder').getByRole('button', { name: 'winding above 120 °C' }).click();
  await page.locator('.read-back b').waitFor();
  assert.equal(await page.locator('.read-back b').innerText(), 'warn when winding above 120 degC');
  await page.getByRole('button', { name: 'Add it' }).click();
  assert.match(await page.locator('.sentence').last().innerText(), /warn when winding above\s+120 degC/);
  await go(page, 'what');
  await page.locator('[data-fault="slow leak"]').click();
  await page.locator('#what .verdict').waitFor();
  await go(page, 'proof');
  await page.locator('#proof').getByRole('button', { name: /Full check/ }).click();
  await page.locator('.full-check progress').waitFor();
  await page.locator('#proof .kind.full').waitFor({ timeout: 420000 });
  assert.match(await page.locator('#proof .headline').innerText(), /Caught: \d+ of \d+/);
  assert.match(await page.locator('#proof').innerText(), /10 healthy years/);
  await page.evaluate(() => { window.print = () => { window.printed = true; }; });
  await go(page, 'papers');
  await page.getByRole('button', { name: 'Print', exact: true }).click();
  assert.equal(await page.evaluate(() => window.printed), true);
  await page.emulateMedia({ media: 'print' });
  assert.match(await page.locator('.pw-paper').innerText(), /Miller, upper tank[\s\S]*As left[\s\S]*10 years/);
  for (const furniture of ['.bar', '.head', '.verdict-bar', 'button', 'details']) {
    assert.equal(await page.locator(furniture).filter({ visible: true }).count(), 0, `${furniture} is not printed`);
  }
  assert.deepEqual(wrong, []);
});

test('a job of an earlier version is taken over, and that is told', async (t) => {
  const { page } = await fresh(t);
  await page.getByRole('button', { name: 'Job', exact: true }).click();
  const nursery = await readFile(join(root, 'examples/nursery.yaml'), 'utf8');
  const sheet = nursery.replace(/^settings:/m, 'order:');
  assert.notEqual(sheet, nursery);
  await page.locator('#job input[type=file]').last().setInputFiles({ name: 'old.yaml', mimeType: 'text/plain', buffer: Buffer.from(sheet) });
  await page.locator('.head', { hasText: 'kept by an earlier version' }).waitFor();
  await go(page, 'settings');
  assert.ok(await page.locator('#settings .sentence').count() > 2);
  assert.equal(await sheetText(page), nursery); // not one other character
});

test('a full proof tells its progress, and cancelling ends it at once', async (t) => {
  const { page } = await fresh(t);
  await go(page, 'proof');
  await page.locator('#proof').getByRole('button', { name: /Full check/ }).click();
  await page.waitForFunction(() => document.querySelector('.full-check progress')?.value >= 2, null, { timeout: 60000 });
  const began = Date.now();
  await page.getByRole('button', { name: 'Cancel' }).click();
  await page.locator('.full-check').waitFor({ state: 'detached' });
  assert.ok(Date.now() - began < 1500, 'cancelled within a moment');
  assert.equal(await page.locator('#proof .kind.full').count(), 0);
  await page.locator('#proof').getByRole('button', { name: /Full check/ }).waitFor();
});

/* A figure of a group of "Fit", by its name. */
const figure = (page, group, name) => page.locator(`#fit [data-size="${group}"] dl > div`, { hasText: name }).locator('dd').first().innerText();

test('fit tells vessel, pipes, cable and motor as the core sizes them, and what is missing when it cannot', async (t) => {
  const { page, wrong } = await fresh(t, { viewport: { width: 360, height: 740 } });
  const yaml = createRequire(join(root, 'shell/page/package.json'))('yaml');
  const site = yaml.parse(await sheetText(page));
  const answer = JSON.parse(nativeDoor({ do: 'size', site, units: 'metric', length: '0 s' }));
  const line = (id, part) => answer.lines.find((one) => one.id === id && (!part || one.part === part));
  assert.match(line('needed volume').words, /^[\d.]+ L$/);
  await go(page, 'fit');
  await page.locator('#fit [data-size=vessel] dl').waitFor({ state: 'attached' });
  await go(page, 'site'); // read whole, what is folded too, while it is not shown
  assert.equal(await figure(page, 'vessel', 'Volume needed'), line('needed volume').words);
  assert.equal(await figure(page, 'vessel', 'Drawdown'), line('drawdown', 'vessel').words);
  assert.equal(await figure(page, 'cable', 'Section needed'), `${line('cable section').value} mm²`);
  assert.equal(await figure(page, 'cable', 'Voltage lost, starting'), line('starting drop').words);
  assert.equal(await figure(page, 'motor', 'Starting current'), line('starting current').words);
  assert.equal(await figure(page, 'suction', 'NPSH available'), line('available', 'suction').words);
  assert.equal(await page.locator('#fit .meeting circle.duty').count(), answer.duties.length);
  assert.equal(await page.locator('#fit [data-size=pipes] h4').count(), answer.pipes.length);
  assert.ok((await page.locator('#fit [data-size=weakest]').innerText()).includes(answer.weakest));
  assert.ok((await page.locator('#fit [data-size=vessel]').innerText()).includes(line('needed volume').most.assumption));
  await openItem(page, 'vessels');
  await fill(page, 'vessels[0].precharge', '150 kPa');
  await page.waitForFunction((text) => !document.querySelector('#fit [data-size=vessel]').innerText.includes(text), line('drawdown', 'vessel').words);
  await go(page, 'settings');
  await page.locator('.sentence[data-sentence="1"]').getByRole('button', { name: 'Remove' }).click();
  await go(page, 'fit');
  await page.locator('#fit [data-size=vessel]', { hasText: 'the settings need a cut-in and a higher cut-out' }).waitFor();
  await page.getByRole('button', { name: 'Undo' }).click();
  await fill(page, 'vessels[0].precharge', 'plenty');
  await go(page, 'fit');
  await page.locator('#fit [data-size=refused]').waitFor();
  assert.match(await page.locator('#fit [data-size=refused]').innerText(), /Write it here: Site, Pressure vessels?\./);
  await page.getByRole('button', { name: 'Undo' }).click();
  await page.locator('#fit [data-size=vessel]').waitFor();
  assert.deepEqual(wrong, []);
});

test('dragging the cut-out line changes the settings and the day at once, and is one step back', async (t) => {
  const { page } = await fresh(t);
  await visited(page); // all has been asked and answered before a hand takes hold
  await go(page, 'day');
  const before = await page.locator('#day .figures').innerText();
  const line = page.locator('.drag-line.cut-out .grip');
  await line.scrollIntoViewIfNeeded();
  const box = await line.boundingBox();
  await page.mouse.move(box.x + 30, box.y + box.height / 2);
  await page.mouse.down();
  const fit = () => page.locator('#fit [data-size=vessel] dl').innerText();
  const sized = await fit();
  for (let i = 1; i <= 12; i++) await page.mouse.move(box.x + 30, box.y + box.height / 2 + i * 3);
  await page.waitForTimeout(1200);
  assert.equal(await fit(), sized, 'what fits is not asked while the hand holds on');
  await page.mouse.up();
  await page.waitForFunction((text) => document.querySelector('#fit [data-size=vessel] dl').innerText !== text, sized);
  const sentence = await page.locator('.sentence[data-sentence="1"] .number').innerText();
  assert.ok(Number.parseFloat(sentence) < 360, sentence);
  await page.waitForFunction((text) => document.querySelector('#day .figures').innerText !== text, before);
  await page.getByRole('button', { name: 'Undo' }).click();
  assert.equal(await page.locator('.sentence[data-sentence="1"] .number').innerText(), '400 kPa');
  await page.waitForFunction((text) => document.querySelector('#day .figures').innerText === text, before);
  await page.getByRole('button', { name: 'Redo' }).click();
  assert.equal(await page.locator('.sentence[data-sentence="1"] .number').innerText(), sentence);
});

test('a slider in the hand and the day stay together, there and back', async (t) => {
  const { page, wrong } = await fresh(t);
  for (const place of ['settings', 'day']) await go(page, place);
  const slider = page.locator('#day .setting input[type=range]');
  const sentence = () => page.locator('.sentence[data-sentence="0"] .number').first().innerText();
  const put = (at) => slider.evaluate((element, value) => {
    element.value = value;
    element.dispatchEvent(new Event('input', { bubbles: true }));
  }, at);
  assert.equal(await sentence(), '250 kPa');
  for (const at of [44, 46, 48, 50, 44, 42]) await put(at);
  await page.waitForFunction(() => document.querySelector('.sentence[data-sentence="0"] .number').innerText === '210 kPa');
  for (const at of [44, 50]) await put(at);
  await page.waitForFunction(() => document.querySelector('.sentence[data-sentence="0"] .number').innerText === '250 kPa');
  assert.equal(await slider.inputValue(), '50');
  await put(40);
  await slider.dispatchEvent('change'); // the hand lets go
  await page.getByRole('button', { name: 'Undo' }).click();
  await page.waitForTimeout(600);
  assert.equal(await sentence(), '250 kPa', 'what was in the hand does not come back after undo');
  assert.equal(await slider.inputValue(), '50');
  assert.deepEqual(wrong, []);
});

test('no two things on the card have the same name in the page', async (t) => {
  const { page } = await fresh(t, { viewport: { width: 360, height: 740 } });
  await visited(page);
  const twice = await page.evaluate(() => {
    const ids = [...document.querySelectorAll('[id]')].map((element) => element.id);
    return ids.filter((id, i) => ids.indexOf(id) !== i);
  });
  assert.deepEqual(twice, []);
});

test('the job is kept across a reload, with what undo brings back', async (t) => {
  const { page } = await fresh(t);
  await fill(page, 'site', 'Kept place');
  await go(page, 'what');
  await page.locator('[data-fault="burst"]').click();
  await page.waitForFunction(() => document.querySelector('.head .state').textContent.includes('Kept in this browser'));
  await page.reload();
  await go(page, 'what');
  await page.locator('[data-fault="burst"]').waitFor();
  assert.equal(await page.locator('.head h1').innerText(), 'Kept place');
  assert.equal(await page.locator('[data-fault="burst"]').getAttribute('aria-pressed'), 'true');
  await page.getByRole('button', { name: 'Undo' }).click();
  await page.getByRole('button', { name: 'Undo' }).click();
  assert.equal(await page.locator('.head h1').innerText(), 'Hillside plant nursery');
});

test('a change made while an earlier one is being written is not called kept before it is', async (t) => {
  const { page } = await fresh(t);
  await page.evaluate(() => { // a slow disk: every opening of the shelf takes a second
    const open = IDBFactory.prototype.open;
    IDBFactory.prototype.open = function slow(...asked) {
      const request = open.apply(this, asked);
      Object.defineProperty(request, 'onsuccess', { set(then) {
        request.addEventListener('success', (event) => setTimeout(() => then.call(request, event), 1000));
      } });
      return request;
    };
  });
  await fill(page, 'site', 'Kept place');
  await page.waitForTimeout(500); // the first writing is under way
  await go(page, 'what');
  await page.locator('[data-fault="burst"]').click();
  await page.waitForFunction(() => document.querySelector('.head .state').textContent.includes('Kept in this browser'));
  await page.reload();
  await go(page, 'what');
  await page.locator('[data-fault="burst"]').waitFor();
  assert.equal(await page.locator('[data-fault="burst"]').getAttribute('aria-pressed'), 'true');
});

test('the whole job goes out as one file and comes back, and a file that is none is refused', async (t) => {
  const { page } = await fresh(t);
  await fill(page, 'site', 'Carried # place: 1');
  await go(page, 'what');
  await page.locator('[data-fault="lost air"]').click();
  await page.getByRole('button', { name: 'Job', exact: true }).click();
  const save = page.locator('#job').getByRole('button', { name: 'Save the job as a file' });
  const [download] = await Promise.all([page.waitForEvent('download'), save.click()]);
  assert.equal(download.suggestedFilename(), 'carried-place-1.job.json');
  const path = await download.path();
  const text = await readFile(path, 'utf8');
  const second = await fresh(t);
  await second.page.getByRole('button', { name: 'Job', exact: true }).click();
  await second.page.locator('#job-file').setInputFiles({ name: 'x.txt', mimeType: 'text/plain', buffer: Buffer.from('hello') });
  await second.page.locator('#job [role=alert]', { hasText: 'x.txt is no job: it is a text without a site' }).waitFor();
  await second.page.locator('#job-file').setInputFiles({ name: 'a.job.json', mimeType: 'application/json', buffer: Buffer.from(text) });
  await second.page.waitForFunction(() => document.querySelector('h1').textContent === 'Carried # place: 1');
  await go(second.page, 'what');
  assert.equal(await second.page.locator('[data-fault="lost air"]').getAttribute('aria-pressed'), 'true');
  assert.equal(await sheetText(second.page), JSON.parse(text).sheet);
  await second.page.getByRole('button', { name: 'Jobs', exact: true }).click();
  await second.page.locator('.job').nth(1).waitFor(); // the list is read from the store, then drawn
  assert.equal(await second.page.locator('.job').count(), 2, 'the job that was open is still there');
});

test('units switch everywhere at once, and the sheet keeps what was typed', async (t) => {
  const { page } = await fresh(t);
  const before = await sheetText(page);
  for (const place of ['fit', 'day', 'proof']) await go(page, place);
  await openItem(page, 'vessels');
  assert.equal(await page.locator('[data-path="vessels[0].precharge"]').inputValue(), '230 kPa');
  await page.getByRole('button', { name: 'Job', exact: true }).click();
  await page.locator('#job input[value=us]').check();
  await page.keyboard.press('Escape');
  assert.equal(await page.locator('[data-path="vessels[0].precharge"]').inputValue(), '33.36 psi');
  await page.waitForFunction(() => /gpm/.test(document.querySelector('#fit').innerText) && !document.querySelector('#proof .stale, progress'));
  for (const id of ['fit', 'day', 'proof']) {
    assert.doesNotMatch(await page.locator(`#${id}`).innerText(), /\d (L\/min|L|m)\b/, id);
  }
  assert.match(await page.locator('.beside .section').innerHTML(), /psi/);
  assert.equal(await sheetText(page), before);
  await fill(page, 'vessels[0].precharge', '30');
  assert.match(await sheetText(page), /precharge: 30 psi/);
});

test('the sheet as text and the card change each other without loss', async (t) => {
  const { page } = await fresh(t);
  await fill(page, 'site', 'Two ways');
  const text = await sheetText(page);
  assert.match(text, /^site: Two ways$/m);
  assert.match(text, /# below the bore head/);
  await page.getByRole('button', { name: 'Sheet', exact: true }).click();
  await page.locator('#sheet').fill(`${text.replace('site: Two ways', 'site: By hand')}\n# mine\n`);
  await page.keyboard.press('Escape');
  assert.equal(await page.locator('.head h1').innerText(), 'By hand');
  await page.getByRole('button', { name: 'Sheet', exact: true }).click();
  await page.locator('#sheet').fill('site: A\nsite: B\n');
  assert.match(await page.locator('#sheet-problems').innerText(), /Line 2/);
  await page.keyboard.press('Escape');
  assert.equal(await page.locator('.head h1').innerText(), 'By hand', 'the card keeps what it had');
});

test('what is wrong stands beside its field, and at the word of a sentence', async (t) => {
  const { page } = await fresh(t);
  await openItem(page, 'sources');
  await fill(page, 'sources[0].intake', '5 m');
  await page.locator('#group-sources .problems .error, #group-sources .error').first().waitFor();
  await fill(page, 'sources[0].intake', '38 m');
  await page.locator('#group-sources .error').first().waitFor({ state: 'detached' });
  await go(page, 'settings');
  await page.locator('.sentence[data-sentence="0"]').getByRole('button', { name: 'Edit' }).click();
  await page.locator('.sentence-text').fill('start when presure below 250 kPa');
  await page.keyboard.press('Enter');
  await page.locator('.sentence[data-sentence="0"] mark').waitFor();
  assert.equal(await page.locator('.sentence[data-sentence="0"] mark').innerText(), 'presure');
});

test('another kind is one step, which undo takes back; a number that means two things is asked back', async (t) => {
  const { page } = await fresh(t, { viewport: { width: 390, height: 844 } });
  const before = await sheetText(page);
  await openItem(page, 'sources');
  for (const kind of ['open', 'mains', 'bore']) {
    await page.locator('[data-path="sources[0].kind"]').selectOption(kind);
    await page.locator(`[data-path="sources[0].${kind === 'mains' ? 'pressure' : 'intake'}"]`).waitFor();
    await page.waitForTimeout(700);
    assert.equal(await page.locator('.wrong:not(.odd)').count(), 0, kind);
  }
  for (let i = 0; i < 3; i++) await page.getByRole('button', { name: 'Undo' }).click();
  assert.equal(await sheetText(page), before);
  await openItem(page, 'places', 1);
  await fill(page, 'places[1].name', 'shed');
  await page.locator('#group-places [role=alert]', { hasText: 'called shed already' }).waitFor();
  assert.equal(await sheetText(page), before);
  await openItem(page, 'vessels');
  await fill(page, 'vessels[0].volume', '1,500');
  const asked = page.getByRole('group', { name: 'Two ways to read it. Which one?' });
  assert.deepEqual(await asked.getByRole('button').allInnerTexts(), ['1.5 L', '1500 L']);
  assert.equal(await sheetText(page), before, 'nothing is changed until it is answered');
  await asked.getByRole('button', { name: '1500 L' }).click();
  assert.match(await sheetText(page), /volume: 1500 L/);
  await page.getByRole('button', { name: 'It is a real site now' }).click();
  assert.doesNotMatch(await sheetText(page), /^invented:/m);
  assert.equal(await page.locator('.head .tag').count(), 0);
});

test('what is to be looked at leads to its field, through what is closed, and to its line of the text', async (t) => {
  const { page } = await fresh(t);
  const item = page.locator('#group-vessels details.item').first();
  await openItem(page, 'vessels');
  await fill(page, 'vessels[0].volume', '8 L');
  await page.locator('#group-vessels .problems .warning').first().waitFor();
  await page.locator('#group-vessels details.item > summary').first().click();
  await item.locator('.sign-odd').waitFor();
  assert.equal(await item.locator('.sign-odd').innerText(), 'look at this');
  await page.locator('.wrong.odd summary').click();
  const lead = page.locator('.wrong.odd .lead', { hasText: 'vessels[0].volume' }).first();
  const words = await lead.innerText();
  await lead.click();
  await page.locator('[data-path="vessels[0].volume"]:focus').waitFor();
  assert.ok((await item.locator('.problems .warning').allInnerTexts()).includes(words), 'the same words at the field');
  await page.getByRole('button', { name: 'Sheet', exact: true }).click();
  const text = await page.locator('#sheet').inputValue();
  await page.locator('#sheet').fill(text.replace('people: 3', 'people: -3')); // has no field on the card
  await page.keyboard.press('Escape');
  await page.locator('.wrong:not(.odd) summary').click();
  await page.locator('.wrong:not(.odd) .lead').first().click();
  await page.locator('#sheet:focus').waitFor();
  assert.equal(await page.locator('#sheet').evaluate((area) => area.value.slice(area.selectionStart, area.selectionEnd)), '-3');
});

test('hours of a contact and columns of a measured file are asked on the card', async (t) => {
  const { page } = await fresh(t, {}, 'irrigation');
  await openGroup(page, 'sensors');
  const nth = await page.locator('#group-sensors details.item > summary').allInnerTexts()
    .then((texts) => texts.findIndex((text) => /contact/.test(text)));
  await openItem(page, 'sensors', nth);
  const where = `sensors[${nth}].closed`;
  assert.equal(await page.locator(`[data-path="${where}"]`).inputValue(), '04:30-07:50');
  await fill(page, where, '5-7:50, 22:00 – 24:00');
  assert.equal(await page.locator(`[data-path="${where}"]`).inputValue(), '05:00-07:50, 22:00-24:00');
  assert.match(await sheetText(page), /05:00[\s\S]*07:50[\s\S]*22:00[\s\S]*24:00/);
  assert.equal(await page.locator('.wrong:not(.odd)').count(), 0);
  await fill(page, where, '05:00-25:00');
  await page.locator('#group-sensors details.item .error').first().waitFor();
  await page.getByRole('button', { name: 'Jobs', exact: true }).click();
  await begun(page, 'house');
  await openItem(page, 'demand');
  assert.equal(await page.locator('[data-path="demand[0].trace.time"]').inputValue(), 'Time');
  assert.equal(await page.locator('[data-path="demand[0].trace.flow"]').inputValue(), 'Pulses');
  assert.equal(await page.locator('[data-path="demand[0].trace.step"]').inputValue(), '4 s');
  assert.match(await page.locator('#group-demand pre').innerText(), /Time.*Pulses/);
  await fill(page, 'demand[0].trace.flow', 'column 3');
  assert.match(await sheetText(page), /flow: column 3/);
  await page.waitForFunction(() => document.querySelector('[data-verdict=there]'));
  assert.equal(await page.locator('.wrong:not(.odd)').count(), 0);
});

test('the same page computes by the server that serves it, with the same figures', async (t) => {
  const other = await serve({ door: true });
  t.after(() => other.stop());
  const browser = await browse();
  t.after(() => browser.close());
  const { page } = browser;
  await page.goto(other.url);
  await begun(page);
  for (const place of ['fit', 'day', 'proof']) await go(page, place);
  const before = [await page.locator('#day .figures').innerText(), await page.locator('#fit').innerText()];
  assert.ok(!other.asked.includes('POST /door'));
  await page.getByRole('button', { name: 'Job', exact: true }).click();
  await page.locator('#job input[value=server]').check();
  await page.keyboard.press('Escape');
  await fill(page, 'site', 'By server');
  await page.waitForFunction(() => !document.querySelector('progress') && !document.querySelector('#proof .stale'), null, { timeout: 60000 });
  assert.ok(other.asked.filter((line) => line === 'POST /door').length > 6);
  assert.deepEqual([await page.locator('#day .figures').innerText(), await page.locator('#fit').innerText()], before);
});
