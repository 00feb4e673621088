// What the tests of the page share: a browser, a plain file server for build/page, the native program for comparison.
import { spawnSync } from 'node:child_process';
import { createServer } from 'node:http';
import { createRequire } from 'node:module';
import { existsSync } from 'node:fs';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, extname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
export const root = resolve(here, '../..');
const packages = createRequire(join(root, 'shell/page/package.json'));
const { chromium } = packages('playwright-core');

export const built = process.env.PAGE_BUILD ?? join(root, 'build');
export const native = process.env.PUMPWRIGHT ?? join(root, 'build/pumpwright');
export const axeSource = () => readFile(packages.resolve('axe-core/axe.min.js'), 'utf8');

const FLAGS = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
  '--disable-component-update', '--disable-sync'];
const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium';
const TYPES = { '.html': 'text/html', '.js': 'text/javascript', '.css': 'text/css', '.wasm': 'application/wasm', '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.webmanifest': 'application/manifest+json' };

// The header that a strict server would send; the page has to work under it.
export const POLICY = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' blob: data:; "
  + "connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/** Serve build/page; with door: true also POST /door, answered by the native program. */
export async function serve({ door = false } = {}) {
  const asked = [];
  const server = createServer(async (request, response) => {
    const path = new URL(request.url, 'http://x').pathname;
    asked.push(`${request.method} ${path}`);
    if (door && request.method === 'POST' && path === '/door') {
      const parts = [];
      for await (const part of request) parts.push(part);
      const done = spawnSync(native, ['door'], { input: Buffer.concat(parts), maxBuffer: 1 << 28 });
      response.writeHead(200, { 'Content-Type': 'application/json' }).end(done.stdout);
      return;
    }
    try {
      const name = path === '/' ? '/index.html' : path;
      const body = await readFile(join(built, 'page', name));
      response.writeHead(200, { 'Content-Type': TYPES[extname(name)] ?? 'text/plain', 'Content-Security-Policy': POLICY,
        'Cache-Control': 'no-cache' }).end(body);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise((done) => server.listen(0, '127.0.0.1', done));
  const stop = () => new Promise((done) => { server.closeAllConnections(); server.close(done); });
  return { url: `http://localhost:${server.address().port}/`, asked, stop };
}

/* One browser for all that need no profile on disk; it ends when nobody has used it for a moment. */
let shared;
let users = 0;
let idle;

async function enter(options) {
  clearTimeout(idle);
  users++;
  shared ??= chromium.launch({ executablePath: CHROMIUM, args: FLAGS });
  return (await shared).newContext(options);
}

function leave() {
  users--;
  if (users > 0) return;
  clearTimeout(idle);
  idle = setTimeout(() => { const ends = shared; shared = undefined; void ends?.then((browser) => browser.close()); }, 1500);
}

export const newProfile = () => mkdtemp(join(tmpdir(), 'page-test-'));

/** A page that knows nothing of any other; with a profile (newProfile) in a browser of its own, which keeps there what the page keeps. */
export async function browse(options = {}) {
  const { profile, more = [] } = options; // more: flags of a browser of its own
  const how = { viewport: { width: 1280, height: 800 }, acceptDownloads: true, ...options };
  const own = { executablePath: CHROMIUM, args: [...FLAGS, ...more], ...how };
  const context = profile ? await chromium.launchPersistentContext(profile, own) : await enter(how);
  const page = context.pages()[0] ?? await context.newPage();
  const wrong = [];
  page.on('pageerror', (error) => wrong.push(String(error)));
  page.on('console', (message) => { if (message.type() === 'error') wrong.push(message.text()); });
  const close = async ({ keep = false } = {}) => {
    await context.close();
    if (!profile) leave();
    else if (!keep) await rm(profile, { recursive: true, force: true });
  };
  return { page, context, profile, wrong, close };
}

/** Wait until the core has answered: the day, and the verdict of a quick check. */
export async function settled(page) {
  await page.waitForSelector('.jobs, .bar', { timeout: 30000 });
  if (await page.locator('.jobs').count() > 0) await page.locator('[data-start="nursery"]').click(); // a first visit: a job is begun
  await page.waitForSelector('[data-verdict=there]', { timeout: 90000 });
}

/** A new job from one of the usual kinds of site, by the list of jobs. */
export async function newJob(page, start) {
  await page.getByRole('button', { name: 'Jobs', exact: true }).click();
  await page.locator(`[data-start="${start}"]`).click();
  await page.locator('.bar').waitFor();
  await settled(page);
}

/** Go to a place of the job, and wait until it has what it shows first. */
export async function go(page, place) {
  await page.locator(`.bar [data-place="${place}"]`).click();
  await page.locator(`#${place}`).waitFor();
  const first = { fit: '#fit [data-size]', day: '#day .figures', proof: '#proof .headline' }[place];
  if (first) await page.locator(first).first().waitFor({ timeout: 60000 });
}

export const PLACES = ['fit', 'settings', 'day', 'what', 'proof', 'advice', 'log', 'papers', 'site'];

/** A job from one of the usual kinds of site, open; nothing is waited for that is not seen. */
export async function begun(page, start = 'nursery') {
  await page.locator(`[data-start="${start}"]`).click();
  await page.locator('#site').waitFor();
}

/** Every place once: what was visited stays in the page, shown or not. */
export async function visited(page) {
  await settled(page);
  for (const place of PLACES) await go(page, place);
}

/** A group of the site sheet, opened; without a name the site as a whole. */
export async function openGroup(page, group) {
  if (!await page.locator('#site').isVisible()) await go(page, 'site');
  const box = page.locator(`#group-${group}`);
  if (await box.getAttribute('open') === null) await box.locator('> summary').click();
  await box.locator('[data-path], details.item, .add').first().waitFor();
}

const groupOf = (where) => /^([a-z]+)[[.]/.exec(where)?.[1] ?? 'site';

/** Fill a field of the site sheet by its place in the sheet. */
export async function fill(page, where, value) {
  await openGroup(page, groupOf(where));
  const field = page.locator(`[data-path="${where}"]`);
  await field.fill(value);
  await field.press('Enter');
  await field.blur();
}

/** An item of a group, opened (or closed again). */
export async function openItem(page, group, nth = 0) {
  await openGroup(page, group);
  const item = page.locator(`#group-${group} details.item`).nth(nth);
  if (await item.getAttribute('open') === null) await item.locator('> summary').click();
}

/** The sheet's text, through the dialog where everybody sees it. */
export async function sheetText(page) {
  await page.getByRole('button', { name: 'Sheet', exact: true }).click();
  const text = await page.locator('#sheet').inputValue();
  await page.keyboard.press('Escape');
  return text;
}

export function nativeDoor(request) {
  const done = spawnSync(native, ['door'], { input: JSON.stringify(request), maxBuffer: 1 << 28, encoding: 'utf8' });
  return done.stdout.replace(/\n$/, ''); // the command line ends its output with a line break; the answer has none
}

/** Two texts are the same; when not, only the place of the first difference is told. */
export function sameText(mine, theirs, what) {
  if (mine === theirs) return;
  let at = 0;
  while (mine[at] === theirs[at]) at++;
  throw new Error(`${what}: differs at ${at}: "${mine.slice(at - 30, at + 50)}" and "${theirs.slice(at - 30, at + 50)}"`);
}

/** A module of the page by itself, for tests without a browser. */
export async function pageModule(name, define = {}) {
  const esbuild = packages('esbuild');
  const starts = { name: 'starts', setup(build) {
    build.onResolve({ filter: /^starts:files$/ }, () => ({ path: 'files', namespace: 'starts' }));
    build.onLoad({ filter: /.*/, namespace: 'starts' }, () => ({ contents: 'export const files = { starts: [], measured: {}, names: [] }' }));
  } };
  const { toldPlugin } = await import(join(root, 'shell/page/told.mjs'));
  const told = toldPlugin((request) => JSON.parse(nativeDoor(request)));
  const done = await esbuild.build({ entryPoints: [join(root, 'shell/page/src', name)], bundle: true, write: false,
    format: 'esm', platform: 'neutral', define, mainFields: ['module', 'main'], absWorkingDir: join(root, 'shell/page'), plugins: [starts, told] });
  return import(`data:text/javascript;base64,${Buffer.from(done.outputFiles[0].text).toString('base64')}`);
}

export function needed() {
  const lacks = [];
  if (!existsSync(join(built, 'page/index.html'))) lacks.push(`${built}/page (npm run build)`);
  if (!existsSync(native)) lacks.push(`${native} (make build)`);
  if (!existsSync(CHROMIUM)) lacks.push(CHROMIUM);
  if (lacks.length) throw new Error(`missing: ${lacks.join(', ')}`);
}
