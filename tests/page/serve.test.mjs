// The page through the program itself, `pumpwright serve`: its own headers, computing there, too much at once, and gone.
import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { request } from 'node:http';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { before, test } from 'node:test';
import { browse, built, fill, native, needed, openGroup, settled, visited } from './kit.mjs';

before(needed);

/** The program as a server, on a port of its own. */
async function serveItself(t) {
  const child = spawn(native, ['serve', '--port', '0', '--page', join(built, 'page')], { stdio: ['ignore', 'pipe', 'pipe'] });
  const ended = once(child, 'exit');
  const stop = async () => { child.kill('SIGKILL'); await ended; };
  t.after(stop);
  const address = await new Promise((found, fail) => {
    for (const out of [child.stdout, child.stderr]) {
      createInterface({ input: out }).on('line', (line) => {
        const url = /http:\/\/[\w.:[\]]+/.exec(line)?.[0];
        if (url) found(url);
      });
    }
    child.on('exit', (code) => fail(new Error(`ended: ${code}`)));
  });
  return { url: `${address.replace(/\/$/, '')}/`, stop };
}

async function byServer(page) {
  await page.getByRole('button', { name: 'Job', exact: true }).click();
  await page.locator('#job input[value=server]').check();
  await page.keyboard.press('Escape');
}

const done = (page) => page.waitForFunction(() => (
  document.querySelector('#proof .headline') && !document.querySelector('progress, #proof .stale')), null, { timeout: 90000 });

test('the program serves the page, stored for days without it, and computes for it with the same figures', async (t) => {
  const server = await serveItself(t);
  const { page, wrong, close } = await browse();
  t.after(close);
  await page.goto(server.url);
  await visited(page);
  await page.getByText('Works without a network.').waitFor();
  const figures = () => page.locator('#day .figures').innerText();
  const here = [await figures(), await page.locator('#fit').innerText()];
  const asked = [];
  page.on('request', (made) => asked.push(`${made.method()} ${new URL(made.url()).pathname}`));
  await byServer(page);
  await fill(page, 'site', 'By the program');
  await page.waitForTimeout(500);
  await done(page);
  assert.ok(asked.filter((line) => line === 'POST /door').length > 6, asked.join());
  assert.deepEqual([await figures(), await page.locator('#fit').innerText()], here);
  assert.deepEqual(wrong, []);
  await server.stop();
  await fill(page, 'site', 'Gone');
  await page.locator('.wrong', { hasText: 'does not answer' }).waitFor();
  await page.getByRole('button', { name: 'Compute in this browser instead' }).click();
  await page.locator('.wrong').waitFor({ state: 'detached' });
  await done(page);
  await page.reload();
  await settled(page);
  assert.equal(await page.locator('.head h1').innerText(), 'Gone');
});

/* A proof of minutes, sent to the server by somebody else; ends when it is hung up. */
function burden(url, site) {
  const body = JSON.stringify({ do: 'prove', site, years: 1000, sweep: 0, horizon: '1 h' });
  const sent = request(`${url}door`, { method: 'POST', agent: false, headers: { 'Content-Type': 'application/json' } });
  const answered = new Promise((told) => {
    sent.on('response', (response) => { response.resume(); told(response.statusCode); });
    sent.on('error', () => told(0));
  });
  sent.end(body);
  return { answered, hangUp: () => sent.destroy() };
}

test('a server with too much to do is asked again when it says, in words, and then answers', async (t) => {
  const server = await serveItself(t);
  const { page, close } = await browse();
  t.after(close);
  const seen = [];
  page.on('response', (response) => {
    if (response.url().endsWith('/door')) seen.push([response.status(), response.headers()['retry-after']]);
  });
  await page.goto(server.url);
  await visited(page);
  await openGroup(page, 'site');
  const site = await page.evaluate(() => new Promise((found) => {
    const post = Worker.prototype.postMessage;
    Worker.prototype.postMessage = function spy(message, ...rest) {
      if (message.request) { Worker.prototype.postMessage = post; found(JSON.parse(message.request).site); }
      return post.call(this, message, ...rest);
    };
    const field = document.querySelector('[data-path="site"]');
    field.value = 'Busy';
    field.dispatchEvent(new Event('change', { bubbles: true }));
  }));
  await done(page);
  const burdens = Array.from({ length: 80 }, () => burden(server.url, site));
  assert.equal(await Promise.race(burdens.map((one) => one.answered)), 503, 'the server is full');
  await byServer(page);
  await page.locator('.wrong', { hasText: 'too much to do' }).waitFor();
  burdens.forEach((one) => one.hangUp());
  await page.locator('.wrong').waitFor({ state: 'detached', timeout: 60000 });
  await done(page);
  const refused = seen.filter(([status]) => status === 503);
  assert.ok(refused.length > 0);
  for (const [, after] of refused) assert.match(after, /^\d+$/);
  assert.ok(seen.some(([status]) => status === 200));
});
