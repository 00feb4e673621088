// A short way in Firefox, by WebDriver BiDi (W3C), which playwright-core speaks to Debian's own build: verdict, day, and the table of the day.
import assert from 'node:assert/strict';
import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { test } from 'node:test';
import { go, needed, root, serve, settled } from './kit.mjs';

const FIREFOX = process.env.FIREFOX ?? '/usr/bin/firefox-esr';
const { _bidiFirefox: firefox } = createRequire(join(root, 'shell/page/package.json'))('playwright-core');

test('the page computes in Firefox what it computes in Chromium', async (t) => {
  needed();
  if (!existsSync(FIREFOX)) throw new Error(`missing: ${FIREFOX} (Debian package firefox-esr)`);
  const server = await serve();
  t.after(() => server.stop());
  const browser = await firefox.launch({ executablePath: FIREFOX, headless: true });
  t.after(() => browser.close());
  const page = await browser.newPage({ viewport: { width: 390, height: 844 } });
  await page.goto(server.url);
  await settled(page);
  assert.notEqual(await page.locator('.verdict-line b').first().innerText(), '');
  await go(page, 'day');
  assert.equal(await page.locator('#day .figures dd').first().innerText(), '33', 'starts of the nursery, as natively');
  await page.locator('#day [data-table] summary').click();
  await page.locator('#day [data-table] tbody tr').nth(20).waitFor();
});
