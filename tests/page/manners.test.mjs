// Good manners: narrow screens, thumbs, keyboards, screen readers, both lights, less movement.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { axeSource, browse, needed, openItem, serve, settled } from './kit.mjs';

let server;
before(async () => { needed(); server = await serve(); });
after(() => server.stop());

async function fresh(t, options) {
  const browser = await browse(options);
  t.after(() => browser.close());
  await browser.page.goto(server.url);
  await settled(browser.page);
  return browser;
}

/* Everything opened that can be: the page at its fullest. */
async function opened(page) {
  for (const group of ['places', 'sources', 'pumps', 'lines', 'vessels', 'tanks', 'outlets', 'sensors', 'demand']) await openItem(page, group);
  const shut = page.locator('#site details.more:not([open]) > summary');
  while (await shut.count() > 0) await shut.first().click();
  await page.locator('.number').first().click();
  await page.getByRole('button', { name: 'Add a sentence' }).click();
  await page.locator('.builder').getByRole('button', { name: 'no flow', exact: true }).click();
  await page.locator('.read-back b').waitFor();
  await page.locator('[data-fault="slow leak"]').click();
  await page.locator('#what .verdict').waitFor();
}

const PHONES = [{ width: 320, height: 640 }, { width: 360, height: 740 }, { width: 740, height: 360 }];

for (const viewport of PHONES) {
  test(`at ${viewport.width} px nothing hangs over the side, in either language`, async (t) => {
    const { page } = await fresh(t, { viewport, hasTouch: true, isMobile: false });
    await opened(page);
    for (const language of ['en', 'de']) {
      await page.locator('.bar button').last().click();
      await page.locator(`#job input[value=${language}]`).check();
      const dialog = await page.evaluate(() => { const box = document.querySelector('#job'); return [box.scrollWidth, box.clientWidth]; });
      assert.ok(dialog[0] <= dialog[1], `dialog ${dialog}`);
      await page.keyboard.press('Escape');
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(wide <= viewport.width, `${language}: ${wide}`);
      const over = await page.evaluate(() => [...document.querySelectorAll('#card *:not(svg *):not(option):not(.unseen):not(.skip)')]
        .filter((element) => element.getClientRects().length && !element.closest('dialog'))
        .filter((element) => element.getBoundingClientRect().right > innerWidth + 1)
        .map((element) => `${element.tagName}.${element.className} ${element.textContent.slice(0, 30)}`));
      assert.deepEqual(over, [], language);
    }
  });
}

test('everything that is tapped is at least 48 px high and wide enough for a thumb', async (t) => {
  const { page } = await fresh(t, { viewport: { width: 360, height: 740 }, hasTouch: true });
  await opened(page);
  const tapped = 'button, select, summary, input:not([type=checkbox]):not([type=radio]), label.check, [role=slider] .grip';
  const small = await page.evaluate((which) => [...document.querySelectorAll(which)]
    .filter((element) => element.getClientRects().length && !element.classList.contains('unseen'))
    .map((element) => ({ box: element.getBoundingClientRect(), name: `${element.tagName}.${element.className} ${element.textContent.slice(0, 30)}` }))
    .filter(({ box, name }) => box.height < 47.5 || (box.width < 44 && !name.startsWith('INPUT')))
    .map(({ box, name }) => `${name}: ${Math.round(box.width)} x ${Math.round(box.height)}`), tapped);
  assert.deepEqual(small, []);
});

for (const colorScheme of ['light', 'dark']) {
  for (const viewport of [{ width: 360, height: 740 }, { width: 1280, height: 800 }]) {
    test(`axe finds nothing, ${colorScheme}, ${viewport.width} px`, async (t) => {
      const { page } = await fresh(t, { colorScheme, viewport });
      await opened(page);
      const axe = await axeSource();
      const look = async (where) => {
        await page.evaluate(axe); // evaluated by the debugger, so the page's own policy stays strict
        const found = await page.evaluate(async () => {
          const result = await window.axe.run(document, { resultTypes: ['violations'] });
          const where = (violation) => violation.nodes.map((node) => node.target.join(' ')).slice(0, 4).join(' | ');
          return result.violations.map((violation) => `${violation.id}: ${where(violation)}`);
        });
        assert.deepEqual(found, [], where);
      };
      await look('card');
      for (const name of ['Job', 'Sheet', 'Go to']) {
        await page.locator('.bar').getByRole('button', { name, exact: true }).click();
        await look(name);
        await page.keyboard.press('Escape');
      }
    });
  }
  test(`text and main figures keep a contrast of 7 to 1, ${colorScheme}`, async (t) => {
    const { page } = await fresh(t, { colorScheme });
    await opened(page);
    const weak = await page.evaluate(() => {
      const parse = (text) => { const parts = text.match(/[\d.]+/g).map(Number); return { rgb: parts.slice(0, 3), a: parts[3] ?? 1 }; };
      const over = (top, below) => top.rgb.map((value, i) => value * top.a + below[i] * (1 - top.a));
      const linear = (v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4);
      const light = ([r, g, b]) => 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b);
      const ground = (element) => {
        const layers = [];
        for (let at = element; at; at = at.parentElement) layers.push(parse(getComputedStyle(at).backgroundColor));
        return layers.reverse().reduce((below, layer) => over(layer, below), [255, 255, 255]);
      };
      const shown = (element) => element.getClientRects().length && !element.closest(':disabled, dialog, .unseen, .skip, option')
        && [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim());
      return [...document.querySelectorAll('#card *:not(svg *)')].filter(shown).map((element) => {
        const [a, b] = [light(parse(getComputedStyle(element).color).rgb), light(ground(element))];
        const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
        return { ratio, name: `${element.tagName}.${element.className} ${element.textContent.slice(0, 20)}` };
      }).filter(({ ratio }) => ratio < 7).map(({ ratio, name }) => `${name} ${ratio.toFixed(1)}`);
    });
    assert.deepEqual([...new Set(weak)].slice(0, 10), []);
  });
}

test('all of it can be done with the keyboard alone', async (t) => {
  const { page } = await fresh(t);
  await page.keyboard.press('Tab');
  assert.equal(await page.evaluate(() => document.activeElement.className), 'skip');
  const tabTo = async (find, most = 400) => {
    for (let i = 0; i < most; i++) {
      if (await page.evaluate(find)) return;
      await page.keyboard.press('Tab');
    }
    assert.fail(`never reached: ${find}`);
  };
  await tabTo(() => document.activeElement.dataset.path === 'site');
  await page.keyboard.press('Control+A');
  await page.keyboard.type('By keys');
  await page.keyboard.press('Enter');
  assert.equal(await page.locator('h1').innerText(), 'By keys');
  await tabTo(() => document.activeElement.matches('#group-vessels summary'));
  await page.keyboard.press('Enter');
  await tabTo(() => document.activeElement.dataset.path === 'vessels[0].volume');
  await page.keyboard.type('150');
  await page.keyboard.press('Enter');
  assert.equal(await page.locator('[data-path="vessels[0].volume"]').inputValue(), '150 L');
  await tabTo(() => document.activeElement.matches('.drag-line.cut-out'));
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('ArrowDown');
  assert.equal(await page.locator('.drag-line.cut-out').getAttribute('aria-valuenow'), '390');
  assert.equal(await page.locator('.sentence[data-sentence="1"] .number').innerText(), '390 kPa');
  await tabTo(() => document.activeElement.dataset.fault === 'slow leak');
  await page.keyboard.press('Space');
  await page.locator('#what .verdict').waitFor();
  await tabTo(() => document.activeElement.id === 'severity');
  await page.keyboard.press('End');
  assert.match(await page.locator('#what .slider output').innerText(), /^1[0-9.]+ L\/min$/);
  await tabTo(() => document.activeElement.matches('.bar button') && document.activeElement.textContent === 'Undo');
  await page.keyboard.press('Enter');
  await tabTo(() => document.activeElement.matches('.bar button') && document.activeElement.textContent === 'Go to');
  await page.keyboard.press('Enter');
  await tabTo(() => document.activeElement.matches('.go button') && document.activeElement.textContent === 'Protection');
  await page.keyboard.press('Enter');
  assert.equal(await page.evaluate(() => document.activeElement.id), 'proof-title');
});

test('the switch for light and dark wins over the device, and less movement is respected', async (t) => {
  const { page } = await fresh(t, { colorScheme: 'light', reducedMotion: 'reduce' });
  const ground = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
  const light = await ground();
  await page.getByRole('button', { name: 'Job', exact: true }).click();
  await page.locator('#job input[value=dark]').check();
  assert.notEqual(await ground(), light);
  await page.keyboard.press('Escape');
  await page.waitForSelector('.pipe-flow', { state: 'attached', timeout: 2000 }).catch(() => undefined);
  const moving = await page.evaluate(() => document.getAnimations().filter((animation) => animation.playState === 'running').length);
  assert.equal(moving, 0);
});
