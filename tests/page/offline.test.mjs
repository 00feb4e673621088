// Without a network: after the server has gone, after the browser was closed, and from a file on a stick.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { before, test } from 'node:test';
import { browse, built, fill, go, needed, newProfile, serve, settled } from './kit.mjs';

before(needed);

test('the page works when the server has gone, and after the browser was closed', async (t) => {
  const server = await serve();
  const first = await browse({ profile: await newProfile() });
  await first.page.goto(server.url);
  await settled(first.page);
  await first.page.getByText('Works without a network.').waitFor();
  await fill(first.page, 'site', 'Far out');
  await first.page.waitForFunction(() => document.querySelector('.head .state').textContent.includes('Kept'));
  await server.stop();
  await first.page.reload();
  await settled(first.page);
  assert.equal(await first.page.locator('.head h1').innerText(), 'Far out');
  await first.close({ keep: true });
  const second = await browse({ profile: first.profile });
  t.after(() => second.close());
  await second.page.goto(server.url);
  await second.page.locator('[data-job="Far out"] .job-open').click();
  await settled(second.page);
  assert.equal(await second.page.locator('.head h1').innerText(), 'Far out');
  await go(second.page, 'what');
  await second.page.locator('[data-fault="slow leak"]').click();
  await second.page.locator('#what .verdict').waitFor();
});

test('nothing is ever asked of another server, and nothing is refused by the strict policy', async (t) => {
  const server = await serve();
  const browser = await browse();
  t.after(async () => { await browser.close(); await server.stop(); });
  const asked = [];
  browser.context.on('request', (request) => asked.push(request.url()));
  await browser.page.goto(server.url);
  await settled(browser.page);
  await go(browser.page, 'what');
  await browser.page.locator('[data-fault="burst"]').click();
  await browser.page.locator('#what .verdict').waitFor();
  assert.ok(asked.length >= 6);
  for (const url of asked) assert.ok(url.startsWith(server.url), url);
  assert.deepEqual(browser.wrong, []);
  assert.equal(await browser.page.locator('script:not([src])').count(), 0);
});

test('the one file works from a stick: day, fault, proof', async (t) => {
  const browser = await browse();
  t.after(() => browser.close());
  const asked = [];
  browser.context.on('request', (request) => asked.push(request.url()));
  await browser.page.goto(pathToFileURL(join(built, 'pumpwright.html')).href);
  await settled(browser.page);
  await go(browser.page, 'day');
  assert.equal(await browser.page.locator('#day .figures dd').first().innerText(), '33', 'starts of the nursery, as natively');
  await go(browser.page, 'what');
  await browser.page.locator('[data-fault="slow leak"]').click();
  await browser.page.locator('#what .verdict').waitFor();
  for (const url of asked) assert.match(url, /^(file|blob|data):/);
  assert.deepEqual(browser.wrong, []);
});
