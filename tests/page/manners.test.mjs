// Good manners: narrow screens, thumbs, keyboards, screen readers, both lights, less movement.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { axeSource, begun, browse, go, needed, openGroup, openItem, PLACES, serve, visited } from './kit.mjs';

let server;
before(async () => { needed(); server = await serve(); });
after(async () => { await wide?.close(); await server.stop(); });

async function fresh(t, options) {
  const browser = await browse(options);
  t.after(() => browser.close());
  await browser.page.goto(server.url);
  await begun(browser.page);
  return browser;
}

/* Everything opened that can be: the page at its fullest. */
async function opened(page) {
  await go(page, 'settings');
  await page.locator('.number').first().click();
  await page.getByRole('button', { name: 'Add a sentence' }).click();
  await page.locator('.builder').getByRole('button', { name: 'no flow', exact: true }).click();
  await page.locator('.read-back b').waitFor();
  await go(page, 'what');
  await page.locator('[data-fault="slow leak"]').click();
  await page.locator('#what .verdict').waitFor();
  for (const group of ['site', 'supply', 'limits', 'design']) await openGroup(page, group);
  for (const group of ['places', 'sources', 'pumps', 'lines', 'vessels', 'tanks', 'outlets', 'sensors', 'demand']) await openItem(page, group);
  await page.evaluate(async () => { // all that can be opened, also what only comes with the opening of something else
    for (let shut; (shut = [...document.querySelectorAll('#card details:not([open])')]).length > 0;) {
      for (const part of shut) part.open = true;
      await new Promise((done) => setTimeout(done, 50));
    }
  });
}

async function everywhere(page, look) {
  for (const place of PLACES) {
    await go(page, place);
    await look(place);
  }
}

/* One page for all that only looks at it, opened once: other sizes, lights and languages are set on it. */
let wide;
async function full() {
  if (!wide) {
    wide = await browse({ viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: false, colorScheme: 'light' });
    await wide.page.goto(server.url);
    await visited(wide.page);
    await opened(wide.page);
  }
  return wide.page;
}

async function speak(page, language) {
  await page.getByRole('button', { name: /^(Job|Auftrag)$/ }).click();
  await page.locator(`#job input[value=${language}]`).check();
  const dialog = await page.evaluate(() => { const box = document.querySelector('#job'); return [box.scrollWidth, box.clientWidth]; });
  assert.ok(dialog[0] <= dialog[1], `dialog ${dialog}`);
  await page.keyboard.press('Escape');
}

const PHONES = [{ width: 320, height: 640 }, { width: 360, height: 740 }, { width: 740, height: 360 }];

test('on phones, held either way, nothing hangs over the side, in either language', async () => {
  const page = await full();
  for (const language of ['de', 'en']) {
    await speak(page, language);
    await everywhere(page, async (place) => {
      for (const viewport of PHONES) {
        await page.setViewportSize(viewport);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        assert.ok(wide <= viewport.width, `${language}, ${place}, ${viewport.width} px: ${wide}`);
        const over = await page.evaluate(() => [...document.querySelectorAll('#card *:not(svg *):not(option):not(.unseen):not(.skip)')]
          .filter((element) => element.getClientRects().length && !element.closest('dialog'))
          .filter((element) => element.getBoundingClientRect().right > innerWidth + 1)
          .map((element) => `${element.tagName}.${element.className} ${element.textContent.slice(0, 30)}`));
        assert.deepEqual(over, [], `${language}, ${place}, ${viewport.width} px`);
      }
    });
  }
});

test('everything that is tapped is at least 48 px high and wide enough for a thumb', async () => {
  const page = await full();
  await page.setViewportSize({ width: 360, height: 740 });
  const tapped = 'button, select, summary, input:not([type=checkbox]):not([type=radio]), label.check, [role=slider] .grip';
  await everywhere(page, async (place) => {
    const small = await page.evaluate((which) => [...document.querySelectorAll(which)]
      .filter((element) => element.getClientRects().length && !element.classList.contains('unseen'))
      .map((element) => ({ box: element.getBoundingClientRect(),
        name: `${element.tagName}.${element.className} ${element.textContent.slice(0, 30)}` }))
      .filter(({ box, name }) => box.height < 47.5 || (box.width < 44 && !name.startsWith('INPUT')))
      .map(({ box, name }) => `${name}: ${Math.round(box.width)} x ${Math.round(box.height)}`), tapped);
    assert.deepEqual(small, [], place);
  });
});

/* Text whose contrast with its ground is under 7 to 1. */
function weakTexts(page) {
  return page.evaluate(() => {
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
}

/* All rules, or those that the light can break; the rest is the same in both lights. */
async function axeFinds(page, only) {
  if (!await page.evaluate(() => 'axe' in window)) await page.evaluate(await axeSource()); // by the debugger, so the page's own policy stays strict
  return page.evaluate(async (rules) => {
    const result = await window.axe.run(document, { resultTypes: ['violations'], ...(rules && { runOnly: rules }) });
    const where = (violation) => violation.nodes.map((node) => node.target.join(' ')).slice(0, 4).join(' | ');
    return result.violations.map((violation) => `${violation.id}: ${where(violation)}`);
  }, only);
}

for (const viewport of [{ width: 360, height: 740 }, { width: 1280, height: 800 }]) {
  test(`axe finds nothing, and text keeps a contrast of 7 to 1, in both lights, ${viewport.width} px`, async () => {
    const page = await full();
    await speak(page, 'en'); // whatever a test before this one left
    await page.setViewportSize(viewport);
    const look = async (where) => {
      for (const colorScheme of ['dark', 'light']) {
        await page.emulateMedia({ colorScheme });
        assert.deepEqual(await axeFinds(page, colorScheme === 'dark' ? ['color-contrast'] : undefined), [], `${where}, ${colorScheme}`);
        assert.deepEqual([...new Set(await weakTexts(page))].slice(0, 10), [], `${where}, ${colorScheme}`);
      }
    };
    await everywhere(page, look);
    for (const name of ['Job', 'Sheet']) {
      await page.locator('.tools').getByRole('button', { name, exact: true }).click();
      await look(name);
      await page.keyboard.press('Escape');
    }
  });
}

test('the questions that begin a job: nothing hangs over, everything can be tapped, axe finds nothing, in both lights', async (t) => {
  const { page, close } = await browse({ viewport: { width: 320, height: 640 }, locale: 'de-DE' });
  t.after(close);
  await page.goto(`${server.url}#new`);
  for (const step of ['source', 'pump', 'store', 'pipes', 'use', 'supply']) {
    await page.locator(`[data-step=${step}]`).waitFor();
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= 320, step);
    const small = await page.evaluate(() => [...document.querySelectorAll('.begin button, .begin select, .begin input:not(.unseen), .begin summary')]
      .filter((element) => element.getClientRects().length && element.getBoundingClientRect().height < 47.5)
      .map((element) => element.outerHTML.slice(0, 80)));
    assert.deepEqual(small, [], step);
    for (const colorScheme of ['dark', 'light']) {
      await page.emulateMedia({ colorScheme });
      assert.deepEqual(await axeFinds(page, colorScheme === 'dark' ? ['color-contrast'] : undefined), [], `${step}, ${colorScheme}`);
      assert.deepEqual(await weakTexts(page), [], `${step}, ${colorScheme}`);
    }
    if (step !== 'supply') await page.locator('.begin-foot .strong').click();
  }
});

test('all of it can be done with the keyboard alone, and no place is further than 15 stops', async (t) => {
  const { page } = await fresh(t, { viewport: { width: 390, height: 844 } });
  await visited(page);
  await page.evaluate(() => document.activeElement.blur());
  const tabTo = async (find, most = 150) => {
    for (let i = 0; i < most; i++) {
      if (await page.evaluate(find)) return i;
      await page.keyboard.press('Tab');
    }
    assert.fail(`never reached: ${find}`);
  };
  const back = () => page.evaluate(() => { document.querySelector('.skip').focus(); });
  const toPlace = async (name) => {
    await back();
    const stops = await tabTo(new Function(`return document.activeElement.dataset.place === '${name}'`));
    assert.ok(stops + 1 <= 15, `${name}: ${stops}`);
    await page.keyboard.press('Enter');
    await page.waitForFunction((id) => document.activeElement.id === id, `${name}-title`);
  };
  await toPlace('site');
  await tabTo(() => document.activeElement.matches('#group-site > summary'));
  await page.keyboard.press('Enter');
  await tabTo(() => document.activeElement.dataset.path === 'site');
  await page.keyboard.press('Control+A');
  await page.keyboard.type('By keys');
  await page.keyboard.press('Enter');
  assert.equal(await page.locator('.head h1').innerText(), 'By keys');
  await tabTo(() => document.activeElement.matches('#group-vessels > summary'));
  await page.keyboard.press('Enter');
  await tabTo(() => document.activeElement.dataset.path === 'vessels[0].volume');
  await page.keyboard.type('150');
  await page.keyboard.press('Enter');
  assert.equal(await page.locator('[data-path="vessels[0].volume"]').inputValue(), '150 L');
  await toPlace('day');
  await tabTo(() => document.activeElement.matches('.drag-line.cut-out'));
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('ArrowDown');
  assert.equal(await page.locator('.drag-line.cut-out').getAttribute('aria-valuenow'), '390');
  assert.equal(await page.locator('.sentence[data-sentence="1"] .number').textContent(), '390 kPa');
  await toPlace('what');
  await tabTo(() => document.activeElement.dataset.fault === 'slow leak');
  await page.keyboard.press('Space');
  await page.locator('#what .verdict').waitFor();
  await tabTo(() => document.activeElement.id === 'severity');
  await page.keyboard.press('End');
  assert.match(await page.locator('#what .slider output').innerText(), /^1[0-9.]+ L\/min$/);
  await back();
  await tabTo(() => document.activeElement.matches('.tool') && document.activeElement.textContent === 'Undo');
  await page.keyboard.press('Enter');
  await toPlace('proof');
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
