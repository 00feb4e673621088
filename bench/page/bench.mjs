// How quick the page is on this machine, in headless Chromium. usage: node bench/page/bench.mjs   (build the page first)
// Medians of several tries; what each line measures stands beside it.
import { cpus } from 'node:os';
import { browse, fill, native, nativeDoor, go, needed, openGroup, serve, settled } from '../../tests/page/kit.mjs';

const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
const ms = (value) => `${value.toFixed(value < 10 ? 1 : 0)} ms`;
const line = (name, value, words) => console.log(`${name.padEnd(30)} ${value.padStart(12)}   ${words}`);

async function firstPaint(server, { warm }) {
  const browser = await browse({ viewport: { width: 360, height: 740 } });
  if (warm) {
    await browser.page.goto(server.url);
    await settled(browser.page);
    await browser.page.getByText('Works without a network.').waitFor();
  }
  await browser.page.goto(server.url);
  await settled(browser.page);
  const found = await browser.page.evaluate(() => ({
    paint: performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? NaN,
    verdict: performance.now(),
  }));
  await browser.close();
  return found;
}

async function dragging(page) {
  await go(page, 'day');
  await page.evaluate(() => performance.clearMeasures());
  const grip = page.locator('.drag-line.cut-out .grip');
  await grip.evaluate((element) => element.scrollIntoView({ block: 'center' })); // clear of the bars
  const box = await grip.boundingBox();
  const [x, y] = [box.x + 30, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 0; i < 90; i++) await page.mouse.move(x, y + 30 * Math.sin(i / 9));
  await page.mouse.up();
  await page.waitForTimeout(300);
  const found = await page.evaluate(() => performance.getEntriesByName('pumpwright day').map((entry) => entry.duration));
  return found.slice(5);
}

async function quickProof(page, name) {
  const began = Date.now();
  await fill(page, 'site', name);
  await page.waitForFunction(() => !document.querySelector('progress') && !document.querySelector('[data-verdict=waits]'), null, { timeout: 120000 });
  return Date.now() - began;
}

/* The same requests by a worker of the page and by the native program, which also starts a process each time. */
async function ratio(page) {
  await openGroup(page, 'site');
  const text = await page.evaluate(() => {
    const post = Worker.prototype.postMessage;
    return new Promise((done) => {
      Worker.prototype.postMessage = function spy(message, ...rest) {
        if (message.request?.includes('"do":"run"')) { Worker.prototype.postMessage = post; done(message.request); }
        return post.call(this, message, ...rest);
      };
      const field = document.querySelector('[data-path="site"]');
      field.value = 'Ratio';
      field.dispatchEvent(new Event('change', { bubbles: true }));
    });
  });
  const { site } = JSON.parse(text);
  const request = { do: 'prove', site, years: 1, sweep: 12, horizon: '3 d' };
  const browserMs = await page.evaluate(async (given) => {
    const loaded = performance.getEntriesByType('resource').map((entry) => entry.name);
    const script = loaded.find((name) => /worker-\w+\.js$/.test(name));
    const worker = new Worker(script);
    worker.postMessage({ wasm: await WebAssembly.compile(await (await fetch('pumpwright.wasm')).arrayBuffer()) });
    const once = () => new Promise((done) => { worker.onmessage = () => done(); worker.postMessage({ id: 1, request: given }); });
    await once();
    const times = [];
    for (let i = 0; i < 3; i++) {
      const began = performance.now();
      await once();
      times.push(performance.now() - began);
    }
    worker.terminate();
    return Math.min(...times);
  }, JSON.stringify(request));
  const nativeOnce = () => {
    const began = performance.now();
    nativeDoor(request);
    return performance.now() - began;
  };
  const nativeMs = Math.min(nativeOnce(), nativeOnce(), nativeOnce());
  return { browserMs, nativeMs };
}

needed();
const server = await serve();
console.log(`${cpus().length} x ${cpus()[0].model}; node ${process.version}; native: ${native}`);
const cold = [];
const warm = [];
for (let i = 0; i < 3; i++) {
  cold.push(await firstPaint(server, { warm: false }));
  warm.push(await firstPaint(server, { warm: true }));
}
line('first paint, first visit', ms(median(cold.map((entry) => entry.paint))), 'navigation to first contentful paint, from a local server');
line('first paint, from store', ms(median(warm.map((entry) => entry.paint))), 'the same from the service worker');
line('first verdict', ms(median(warm.map((entry) => entry.verdict))),
  'navigation to the verdict of a quick check, from the service worker, module compiled on the way');
const browser = await browse();
await browser.page.goto(server.url);
await settled(browser.page);
await dragging(browser.page);
const drags = await dragging(browser.page);
line('dragged setting, median', ms(median(drags)),
  `pointer moved to day drawn: sheet edited, simulated, three charts plotted; ${drags.length} frames`);
line('dragged setting, worst 10 %', ms(median([...drags].sort((a, b) => b - a).slice(0, Math.ceil(drags.length / 5)))), 'the same, slow end');
const proofs = [];
for (let i = 0; i < 3; i++) proofs.push(await quickProof(browser.page, `Bench ${i}`));
line('quick proof', ms(median(proofs)), 'from a changed sheet to the table; 150 ms of it are waiting for rest');
const { browserMs, nativeMs } = await ratio(browser.page);
line('browser against native', `${(browserMs / nativeMs).toFixed(2)} x`,
  `one proof of a year: ${ms(browserMs)} in a worker, ${ms(nativeMs)} natively, one core each`);
await browser.close();
await server.stop();
