// The list of jobs: a record each, nothing overwritten, links and files that hold a job, states with a name.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { after, before, test } from 'node:test';
import { browse, fill, go, needed, serve, settled, sheetText } from './kit.mjs';

let server;
before(async () => { needed(); server = await serve(); });
after(() => server.stop());

async function fresh(t, options) {
  const browser = await browse({ viewport: { width: 390, height: 844 }, ...options });
  t.after(() => browser.close());
  await browser.page.goto(server.url);
  await browser.page.locator('.jobs').waitFor();
  return browser;
}

const toList = (page) => page.getByRole('button', { name: 'Jobs', exact: true }).click();
const kept = (page) => page.waitForFunction(() => document.querySelector('.head .state').textContent.includes('Kept in this browser'));

test('jobs are begun, found, renamed, duplicated, deleted and had back', async (t) => {
  const { page, wrong } = await fresh(t);
  for (const start of ['nursery', 'dam_garden', 'house']) {
    await page.locator(`[data-start="${start}"]`).click();
    await page.locator('.bar').waitFor();
    await toList(page);
    await page.locator('.job').first().waitFor();
  }
  assert.deepEqual(await page.locator('.job').evaluateAll((rows) => rows.map((row) => row.dataset.job)),
    ['House on a bore', 'Dam below the house', 'Hillside plant nursery']);
  await page.getByRole('button', { name: 'Rename House on a bore' }).click();
  await page.locator('.job form input').fill('Miller');
  await page.keyboard.press('Enter');
  await page.locator('[data-job="Miller"]').waitFor();
  await page.getByRole('button', { name: 'Duplicate Miller' }).click();
  await page.locator('[data-job="Miller (copy)"]').waitFor();
  await page.locator('#find-job').fill('plant nursery');
  assert.equal(await page.locator('.job').count(), 1);
  await page.locator('#find-job').fill('');
  await page.getByRole('button', { name: 'Delete Miller', exact: true }).click();
  await page.locator('.deleted').waitFor();
  await page.locator('[data-job="Miller"]').waitFor({ state: 'detached' });
  await page.getByRole('button', { name: 'Undo the deletion' }).click();
  await page.locator('[data-job="Miller"] .job-open').click();
  await page.locator('.bar').waitFor();
  assert.equal(await page.locator('.head h1').innerText(), 'Miller');
  await page.goBack();
  await page.locator('.jobs').waitFor();
  assert.deepEqual(wrong, []);
});

test('the list tells the verdict as it was when the job was left', async (t) => {
  const { page } = await fresh(t);
  await settled(page);
  await page.waitForTimeout(600);
  await toList(page);
  assert.match(await page.locator('[data-job="Hillside plant nursery"] .left').innerText(), /^in order, never seen: \d+ of \d+ faults$/);
});

test('two tabs on the same job never overwrite each other: both states are kept, and it is told', async (t) => {
  const { page, context } = await fresh(t);
  await page.locator('[data-start="nursery"]').click();
  await fill(page, 'note', 'first');
  await kept(page);
  const second = await context.newPage();
  await second.goto(page.url());
  await fill(second, 'note', 'by the second tab');
  await kept(second);
  await page.locator('.elsewhere', { hasText: 'changed in another tab' }).waitFor();
  await fill(page, 'note', 'by the first tab');
  await page.locator('.elsewhere', { hasText: 'Both are kept' }).waitFor();
  await toList(page);
  const notes = {};
  for (const name of ['Hillside plant nursery', 'Hillside plant nursery (copy)']) {
    await page.locator(`[data-job="${name}"] .job-open`).click();
    await page.locator('.bar').waitFor();
    notes[name] = /^note: (.*)$/m.exec(await sheetText(page))[1];
    await toList(page);
  }
  assert.deepEqual(notes, { 'Hillside plant nursery': 'by the second tab', 'Hillside plant nursery (copy)': 'by the first tab' });
});

test('a job goes by link and by code to another browser, units and fault with it', async (t) => {
  const { page } = await fresh(t);
  await page.locator('[data-start="dam_garden"]').click();
  await fill(page, 'site', 'Carried');
  await page.getByRole('button', { name: 'Job', exact: true }).click();
  await page.locator('#job input[value=us]').check();
  await page.getByRole('button', { name: 'Share it as a link or a code' }).click();
  const link = await page.locator('#share-link').inputValue();
  assert.match(link, /#job=[\w-]+$/);
  assert.ok(await page.locator('.qr').isVisible());
  await page.keyboard.press('Escape');
  const sheet = await sheetText(page);
  const other = await browse();
  t.after(() => other.close());
  await other.page.goto(link);
  await other.page.locator('.bar').waitFor();
  assert.equal(await other.page.locator('.head h1').innerText(), 'Carried');
  assert.equal(await sheetText(other.page), sheet);
  await other.page.getByRole('button', { name: 'Job', exact: true }).click();
  assert.ok(await other.page.locator('#job input[value=us]').isChecked());
  await other.page.goto('about:blank');
  await other.page.goto(link.slice(0, -40));
  await other.page.locator('[role=alert]', { hasText: 'cut short' }).waitFor();
});

test('all jobs go out as one file and come back beside those that are there', async (t) => {
  const { page } = await fresh(t);
  for (const start of ['nursery', 'house']) {
    await page.locator(`[data-start="${start}"]`).click();
    await page.locator('.bar').waitFor();
    await toList(page);
    await page.locator('.job').first().waitFor();
  }
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save all jobs as a file' }).click()]);
  const buffer = await readFile(await download.path());
  await page.locator('#job-file').setInputFiles({ name: 'jobs.json', mimeType: 'application/json', buffer });
  await page.waitForFunction(() => document.querySelectorAll('.job').length === 4);
  await page.locator('#job-file').setInputFiles({ name: 'plan.pdf', mimeType: 'application/pdf', buffer: Buffer.from('%PDF-1.7 ...') });
  await page.locator('[role=alert]', { hasText: 'plan.pdf is no job: it is a PDF document' }).waitFor();
  await page.locator('#job-file').setInputFiles({ name: 'flow.csv', mimeType: 'text/csv', buffer: Buffer.from('time;flow\n0;1\n1;2\n') });
  await page.locator('[role=alert]', { hasText: 'a table of values' }).waitFor();
});

test('a state with a name is had back, and undo takes that back, too', async (t) => {
  const { page } = await fresh(t);
  await page.locator('[data-start="nursery"]').click();
  await page.getByRole('button', { name: 'Job', exact: true }).click();
  await page.locator('.history input').fill('before the visit');
  await page.keyboard.press('Enter');
  await page.keyboard.press('Escape');
  await fill(page, 'site', 'After');
  await page.getByRole('button', { name: 'Job', exact: true }).click();
  await page.getByRole('button', { name: 'Go back to: before the visit' }).click();
  await page.keyboard.press('Escape');
  assert.equal(await page.locator('.head h1').innerText(), 'Hillside plant nursery');
  await page.getByRole('button', { name: 'Undo' }).click();
  assert.equal(await page.locator('.head h1').innerText(), 'After');
});

test('photos are shrunk, kept with the job, carried in its file, and stand on the paper; one that was taken away is had back', async (t) => {
  const { page } = await fresh(t);
  await page.locator('[data-start="nursery"]').click();
  await go(page, 'papers');
  const big = await page.evaluate(() => { // larger than is kept
    const canvas = Object.assign(document.createElement('canvas'), { width: 2600, height: 1300 });
    canvas.getContext('2d').fillRect(100, 100, 900, 900);
    return canvas.toDataURL('image/png').split(',')[1];
  });
  await page.locator('#photo-file').setInputFiles([{ name: 'shed.png', mimeType: 'image/png', buffer: Buffer.from(big, 'base64') },
    { name: 'note.txt', mimeType: 'image/png', buffer: Buffer.from('no picture') }]);
  await page.locator('.photos [role=alert]', { hasText: 'note.txt' }).waitFor();
  const size = () => page.locator('.photo img').evaluate(async (image) => {
    await image.decode();
    return [image.naturalWidth, image.naturalHeight, image.src.slice(0, 23)];
  });
  assert.deepEqual(await size(), [1280, 640, 'data:image/jpeg;base64,']);
  await page.locator('.photo input[type=text]').fill('Pump shed');
  await page.locator('.photo input[type=text]').blur();
  await page.locator('.pw-photo figcaption', { hasText: 'Pump shed' }).waitFor();
  await page.getByRole('button', { name: 'Take photo 1 away' }).click();
  await page.locator('.pw-photo').waitFor({ state: 'detached' });
  await page.getByRole('button', { name: 'Put it back' }).click();
  await kept(page);
  await page.reload();
  await page.locator('.photo').waitFor();
  assert.deepEqual(await size(), [1280, 640, 'data:image/jpeg;base64,']);
  await page.locator('.photo input[type=checkbox]').uncheck();
  await page.locator('.pw-photo').waitFor({ state: 'detached' });
  const save = page.locator('#papers').getByRole('button', { name: 'Save the job as a file' });
  const [download] = await Promise.all([page.waitForEvent('download'), save.click()]);
  const buffer = await readFile(await download.path());
  const other = await fresh(t);
  await other.page.locator('#job-file').setInputFiles({ name: 'a.job.json', mimeType: 'application/json', buffer });
  await go(other.page, 'papers');
  assert.equal(await other.page.locator('.photo input[type=text]').inputValue(), 'Pump shed');
});

test('a blank sheet is begun, and what is missing is told', async (t) => {
  const { page } = await fresh(t);
  await page.getByRole('button', { name: 'A blank sheet' }).click();
  await page.locator('.wrong:not(.odd)').waitFor();
  assert.equal(await page.locator('.head h1').innerText(), 'New site');
  assert.equal(await page.locator('.head .tag').count(), 0, 'nothing is invented in it');
});

test('the job of the first version, which kept only one, becomes a job of the list', async (t) => {
  const { page } = await fresh(t);
  await page.evaluate(async () => {
    await new Promise((done) => { indexedDB.deleteDatabase('pumpwright').onsuccess = done; });
    await new Promise((done) => {
      const opening = indexedDB.open('pumpwright', 1);
      const job = { sheet: 'site: Of old\nplaces: []\n', trouble: null, files: {} };
      const old = { job, past: [], future: [], units: 'bar', light: 'auto', language: 'en', way: 'worker' };
      opening.onupgradeneeded = () => opening.result.createObjectStore('jobs').put(old, 'now');
      opening.onsuccess = () => { opening.result.close(); done(); };
    });
  });
  await page.reload();
  await page.locator('[data-job="Of old"] .job-open').click();
  await go(page, 'settings');
  assert.equal(await page.locator('.head h1').innerText(), 'Of old');
});
