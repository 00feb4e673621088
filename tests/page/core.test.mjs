// The core in the page's worker gives the same bytes as the native program, for every request that the page makes.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { after, before, test } from 'node:test';
import { join } from 'node:path';
import { browse, go, native, nativeDoor, needed, newJob, openGroup, pageModule, root, sameText, serve, settled, visited } from './kit.mjs';

let server;
let browser;
before(async () => {
  needed();
  server = await serve();
  browser = await browse();
  await browser.page.goto(server.url);
  await visited(browser.page);
});
after(async () => { await browser.close(); await server.stop(); });

/* Ask a worker of the page's own kind, as the page does. */
function workerAnswer(request, module = 'pumpwright.wasm') {
  return browser.page.evaluate(async ([text, file]) => {
    const loaded = performance.getEntriesByType('resource').map((entry) => entry.name);
    const script = loaded.find((name) => /worker-\w+\.js$/.test(name));
    const worker = new Worker(script);
    worker.postMessage({ wasm: await WebAssembly.compile(await (await fetch(file)).arrayBuffer()) });
    const answer = await new Promise((done) => {
      worker.onmessage = (event) => done(event.data.answer);
      worker.postMessage({ id: 1, request: text });
    });
    worker.terminate();
    return answer;
  }, [JSON.stringify(request), module]);
}

async function site() {
  await go(browser.page, 'day');
  await openGroup(browser.page, 'site');
  return browser.page.evaluate(async () => {
    const seen = [];
    const post = Worker.prototype.postMessage;
    Worker.prototype.postMessage = function spy(message, ...rest) {
      if (message.request) seen.push(message.request);
      return post.call(this, message, ...rest);
    };
    document.querySelector('#day input[type=range]').dispatchEvent(new Event('input', { bubbles: true }));
    const number = document.querySelector('[data-path="site"]');
    number.value = `${number.value} `;
    const radio = [...document.querySelectorAll('.tools button')].at(-1);
    radio.click();
    await new Promise((done) => setTimeout(done, 100));
    document.querySelector('input[value=bar]').click();
    for (let i = 0; i < 150 && !seen.some((text) => text.startsWith('{"do":"faults"')); i++) await new Promise((done) => setTimeout(done, 100));
    document.querySelector('input[value=metric]').click();
    document.querySelector('dialog[open]').close();
    Worker.prototype.postMessage = post;
    return seen.map((text) => JSON.parse(text));
  });
}

test('every request that the page itself makes gets the native answer, byte for byte', async () => {
  const made = await site();
  const kinds = new Set(made.map((request) => request.do));
  for (const kind of ['run', 'check', 'duty', 'settings', 'faults']) assert.ok(kinds.has(kind), `the page asked: ${[...kinds]}`);
  for (const request of made) sameText(await workerAnswer(request), nativeDoor(request), request.do);
});

test('the first module gives the native bytes for what the page asks of it, and a first verdict fetches no other', async () => {
  const { isFirst } = await pageModule('core/split.ts', { __FIRST__: '["check","duty","run","prove","size","settings","parameters","faults"]' });
  const asked = (await site()).filter((request) => isFirst(JSON.stringify(request)));
  const kinds = new Set(asked.map((request) => request.do));
  for (const kind of ['check', 'duty', 'settings', 'parameters', 'faults', 'run']) assert.ok(kinds.has(kind), kind);
  const one = asked.find((request) => request.do === 'check').site;
  const more = [{ do: 'size', site: one, length: '0 s', text: false, language: 'en' },
    { do: 'prove', site: one, years: 1, sweep: 3, horizon: '6 h', margins: false, propose: false, text: false, language: 'en' },
    { do: 'check', site: { ...one, pumps: [{ name: 'x', speeed: 3 }] }, text: false, language: 'en' }];
  for (const request of [...asked, ...more]) {
    assert.ok(isFirst(JSON.stringify(request)), request.do);
    sameText(await workerAnswer(request, 'pumpwright-first.wasm'), nativeDoor(request), request.do);
  }
  for (const other of [{ do: 'check', language: 'de', text: false }, { do: 'check', language: 'en' }, { do: 'advise', language: 'en', text: false },
    { do: 'prove', language: 'en', text: false, html: true }]) assert.equal(isFirst(JSON.stringify(other)), false, JSON.stringify(other));
  const fresh = await browse();
  await fresh.page.goto(server.url);
  await settled(fresh.page);
  const loaded = await fresh.page.evaluate(() => performance.getEntriesByType('resource').map((entry) => new URL(entry.name).pathname));
  await fresh.close();
  assert.ok(loaded.includes('/pumpwright-first.wasm') && !loaded.includes('/pumpwright.wasm'), loaded.join());
});

test('faults, refusals and odd requests too', async () => {
  const { site: sheet } = (await site()).find((request) => request.site);
  const requests = [
    { do: 'run', site: sheet, length: '2 d', samples: '5 min', text: false, faults: [{ what: 'slow leak', severity: '3 L/min', onset: '10 h' }] },
    { do: 'run', site: sheet, length: '1 d', units: 'us' },
    { do: 'size', site: sheet, length: '0 s' }, { do: 'size', site: { ...sheet, settings: [] }, length: '0 s' },
    { do: 'prove', site: sheet, years: 0, sweep: 6, horizon: '12 h', part: [1, 3] },
    { do: 'prove', site: { ...sheet, pumps: [] } }, { do: 'about' }, { do: 'units', units: 'us' }, { do: 'nothing' },
  ];
  for (const request of requests) sameText(await workerAnswer(request), nativeDoor(request), JSON.stringify(request).slice(0, 60));
});

test('a proof in parts on several workers is the native proof in one piece', async () => {
  const { site: sheet } = (await site()).find((request) => request.site);
  const request = { do: 'prove', site: sheet, years: 1, sweep: 5, horizon: '1 d', html: true, propose: false }; // what to type: parity.demo
  const outcomes = [];
  for (let part = 4; part >= 0; part--) {
    const answer = JSON.parse(await workerAnswer({ ...request, part: [part, 5] }));
    outcomes.push(...answer.outcomes);
  }
  sameText(await workerAnswer({ ...request, outcomes }), nativeDoor(request), 'assembled proof');
});

test('a measured flow from a CSV file is read as the program reads it', async () => {
  const { page } = browser;
  await newJob(page, 'house');
  await page.waitForFunction(() => document.querySelector('h1').textContent === 'House on a bore');
  const asked = (await site()).find((request) => request.do === 'run');
  const text = execFileSync(native, ['run', join(root, 'examples/house.yaml'), '--json'], { encoding: 'utf8', maxBuffer: 1 << 28 });
  const told = JSON.parse(text);
  const mine = JSON.parse(await workerAnswer({ ...asked, samples: null, entries: null, pressures: null, units: null }));
  assert.ok(asked.site.demand[0].times.length > 1000);
  assert.deepEqual(mine.totals, told.totals);
  assert.deepEqual(mine.entries, told.entries);
});
