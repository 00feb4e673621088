#!/usr/bin/env node
// Pictures of every place of the page, to be looked at: four sizes, light and dark, English and German.
// usage: node screens.mjs [--out FOLDER] [--start NAME] [--only WORD] [--sizes 390x844,1280x800] [--full]
// Without --full a picture shows what a person sees at once; with it, the whole place from top to bottom.
import { mkdir } from 'node:fs/promises';
import { existsSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

const here = dirname(fileURLToPath(import.meta.url));
const option = (name, otherwise) => {
  const at = process.argv.indexOf(name);
  return at < 0 ? otherwise : process.argv[at + 1];
};
const out = resolve(option('--out', join(here, '../../build/screens')));
const sizes = option('--sizes', '360x740,390x844,820x1180,1280x800').split(',').map((size) => size.split('x').map(Number));
const only = option('--only', '');
const start = option('--start', 'nursery');
const fullPage = process.argv.includes('--full');
const built = join(here, '../../build/pumpwright.html');
if (!existsSync(built)) throw new Error(`missing: ${built} (make page)`);

async function shoot(browser, [width, height], colorScheme, language) {
  const page = await browser.newPage({ viewport: { width, height }, colorScheme, locale: language === 'de' ? 'de-DE' : 'en-GB' });
  await page.goto(pathToFileURL(built).href);
  const name = (what) => join(out, `${what}-${width}-${colorScheme}-${language}.png`);
  const take = async (what) => { if (!only || what.includes(only)) await page.screenshot({ path: name(what), fullPage }); };
  await begin(page, take);
  if (only.startsWith('begin')) return page.close();
  await page.waitForSelector('[data-verdict=there]', { timeout: 120000 });
  const places = await page.locator('.bar [data-place]').evaluateAll((buttons) => buttons.map((button) => button.dataset.place));
  for (const place of places) {
    if (only && !place.includes(only)) continue;
    await page.locator(`.bar [data-place=${place}]`).click();
    if (place === 'what') {
      await page.locator('[data-fault]').first().click();
      await page.locator('#what .verdict').waitFor();
    }
    await page.waitForTimeout(900);
    await take(place);
  }
  if (width < 1000 && (!only || only === 'verdict')) {
    await page.evaluate(() => scrollTo(0, 0));
    await page.locator('button.verdict-line').click();
    await page.screenshot({ path: name('verdict') });
  }
  await page.close();
}

/* From the first screen to a job. */
async function begin(page, take) {
  await page.waitForSelector('.jobs, .bar', { timeout: 30000 });
  if (await page.locator('.jobs').count() === 0) return;
  await take('jobs');
  if (!only || only.startsWith('begin')) await questions(page, take);
  if (!only.startsWith('begin')) await page.locator(`[data-start="${start}"]`).click();
}

/* The six questions as they stand when nobody has answered any. */
async function questions(page, take) {
  await page.locator('.new-ways .strong').click();
  for (let step = 1; step <= 6; step++) {
    await page.waitForTimeout(700);
    await take(`begin-${step}`);
    if (step < 6) await page.locator('.begin-foot .strong').click();
  }
  await page.goBack();
  await page.locator('.jobs').waitFor();
}

await mkdir(out, { recursive: true });
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox', '--disable-gpu'] });
const lights = option('--light', 'light,dark').split(',');
const languages = option('--language', 'en,de').split(',');
const kinds = sizes.flatMap((size) => lights.flatMap((light) => languages.map((language) => [size, light, language])));
for (const kind of kinds) await shoot(browser, ...kind);
await browser.close();
console.log(out);
