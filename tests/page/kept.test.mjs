// Full checks stay with the job and say for which state of it they hold; they go on in the background. Answers to the six questions stay, too.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { begun, browse, fill, go, needed, openItem, serve } from './kit.mjs';

let server;
before(async () => { needed(); server = await serve(); });
after(() => server.stop());

const waits = { timeout: 300000 };

test('a full check goes on while other places are used and the job is changed, is kept, and says for which state it holds', async (t) => {
  const { page, wrong, close } = await browse({ viewport: { width: 390, height: 844 } });
  t.after(close);
  await page.goto(server.url);
  await begun(page, 'bore_tank'); // few starts a day: its full check is short
  await go(page, 'proof');
  await page.locator('#proof').getByRole('button', { name: /^Full check/ }).click();
  await page.waitForFunction(() => document.querySelector('.full-check progress')?.value >= 1, null, waits);
  await go(page, 'site');
  await openItem(page, 'sources');
  await fill(page, 'sources[0].intake', '41');
  assert.match(await page.locator('.verdict-bar .full-check').innerText(), /Full check … \d+ %/, 'in sight at another place, after a change');
  await page.getByRole('button', { name: 'Jobs', exact: true }).click();
  await page.locator('.jobs .full-check', { hasText: 'Full check of Bore filling a header tank' }).waitFor();
  await page.locator('.job-open').click();
  await page.locator('.full-check').waitFor({ state: 'detached', ...waits });

  await go(page, 'proof');
  await page.locator('#proof .kind.quick').waitFor(waits); // of the job as it is now
  const kept = page.locator('#proof .kept');
  assert.match(await kept.innerText(), /Full checks kept: 1[\s\S]*changed since: [\s\S]*Intake[\s\S]* as it was then\.[\s\S]*Caught: \d+ of/);
  await kept.getByRole('button', { name: /^Look at the full check of/ }).click();
  await page.locator('#proof .stale .kind.full', { hasText: 'holds for the job as it was then' }).waitFor();
  assert.equal(await page.locator('#proof .stale .verdict button').count(), 0, 'nothing of another state can be taken over');

  await page.getByRole('button', { name: /^Undo/ }).click();
  await page.locator('#proof .kind.full', { hasText: 'for the job as it is now' }).waitFor();
  const headline = await page.locator('#proof .headline').innerText();
  await page.locator('.head [role=status]', { hasText: 'Kept in this browser' }).first().waitFor();
  await page.reload();
  await page.locator('#proof .kind.full', { hasText: 'for the job as it is now' }).waitFor();
  assert.equal(await page.locator('#proof .headline').innerText(), headline);
  assert.equal(await page.locator('progress').count(), 0, 'nothing is computed that is known');

  await page.getByRole('button', { name: 'Jobs', exact: true }).click();
  await page.getByRole('button', { name: /^Delete/ }).click();
  await page.locator('.deleted button').click();
  await page.locator('.job-open').click();
  await go(page, 'proof');
  await page.locator('#proof .kind.full', { hasText: 'for the job as it is now' }).waitFor();
  assert.deepEqual(wrong, []);
});

test('the picture of the leaks stands in the stretches of the core, each with its sentence', async (t) => {
  const { page, close } = await browse();
  t.after(close);
  await page.goto(server.url);
  await begun(page, 'nursery');
  await go(page, 'proof');
  await page.locator('#proof .sweep svg').waitFor();
  const told = await page.locator('#proof .sweep g[data-by]').evaluateAll((all) => all.map((one) => {
    const box = one.querySelector('rect');
    const from = Number(box.getAttribute('x'));
    const to = from + Number(box.getAttribute('width'));
    return { by: one.dataset.by, from, to, words: one.textContent, blind: box.classList.contains('blind') };
  }));
  assert.ok(told.length >= 2 && told.some((one) => one.blind) && told.some((one) => !one.blind));
  assert.equal(told[0].from, 12);
  assert.ok(Math.abs(told[told.length - 1].to - 328) < 1e-6);
  told.slice(1).forEach((one, i) => assert.ok(Math.abs(one.from - told[i].to) < 1.5 && one.by !== told[i].by, 'no gap, no overlap'));
  for (const { by, words, blind, from, to } of told) {
    assert.equal(blind, by === 'none');
    if (!blind && to - from >= 14) assert.equal(words, by);
  }
  const bands = await page.locator('#proof .bands li').count();
  assert.equal(told.filter((one) => one.blind).length, bands);
});

test('answers to the six questions stay over a reload and a "back", until the job is begun or they are taken away', async (t) => {
  const { page, close } = await browse({ viewport: { width: 390, height: 844 } });
  t.after(close);
  await page.goto(`${server.url}#new`);
  await page.locator('[data-begin=level]').fill('17');
  await page.keyboard.press('Enter');
  await page.locator('[data-begin=intake]').fill('33');
  await page.keyboard.press('Enter');
  await page.locator('[data-step=pump]').waitFor();
  await page.reload();
  await page.locator('[data-step=pump]').waitFor();
  await page.getByRole('button', { name: 'Back', exact: true }).click();
  await page.locator('[data-step=source]').waitFor();
  assert.deepEqual([await page.locator('[data-begin=level]').inputValue(), await page.locator('[data-begin=intake]').inputValue()], ['17 m', '33 m']);
  await page.getByRole('button', { name: 'Take all answers away' }).click();
  await page.waitForFunction(() => document.querySelector('[data-begin=level]').value !== '17 m');
  await page.reload();
  await page.locator('[data-step=source]').waitFor();
  assert.notEqual(await page.locator('[data-begin=level]').inputValue(), '17 m');
});
