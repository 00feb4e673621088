// The sheet as text and as fields: nothing is lost either way, and quantities mean what they mean to the core.
import assert from 'node:assert/strict';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { spawnSync } from 'node:child_process';
import { test } from 'node:test';
import { native, nativeDoor, pageModule, root } from './kit.mjs';

const { readSheet, valueAt } = await pageModule('sheet/plain.ts');
const { withItem, withMoved, withName, withValue } = await pageModule('sheet/edit.ts');
const quantity = await pageModule('sheet/quantity.ts');
const settings = await pageModule('sheet/settings.ts');

async function sheets() {
  const found = [];
  for (const folder of ['examples', 'shell/page/starts']) {
    for (const name of await readdir(join(root, folder))) {
      const path = join(root, folder, name);
      const text = name.endsWith('.yaml') ? await readFile(path, 'utf8') : '';
      if (/^site\s*:/m.test(text)) found.push({ path, text });
    }
  }
  return found;
}

test('every sheet that the page begins with is good, invented, and healthy for a day', async () => {
  const all = await sheets();
  assert.ok(all.length >= 5);
  for (const { path, text } of all) {
    assert.equal(readSheet(text).site.invented, true, path);
    const done = spawnSync(native, ['run', path, '--json'], { encoding: 'utf8', maxBuffer: 1 << 28 });
    const run = JSON.parse(done.stdout);
    assert.ok(run.ok, path);
    assert.equal(run.locks, 0, `${path} locks out on a healthy day`);
    assert.equal(run.warnings.length, 0, `${path}: ${run.warnings[0]?.words}`);
  }
});

test('a changed value moves no other character', async () => {
  for (const { text } of await sheets()) {
    const sheet = readSheet(text);
    const now = withValue(sheet, ['settings', 0], 'start when pressure below 111 kPa');
    const before = sheet.site.settings[0];
    assert.equal(now, text.replace(before, 'start when pressure below 111 kPa'));
    assert.equal(withValue(readSheet(now), ['settings', 0], before), text, 'and back again');
  }
});

test('what is added and taken away again leaves all comments and values', async () => {
  for (const { path, text } of await sheets()) {
    const sheet = readSheet(text);
    const added = withItem(sheet, ['settings'], 'warn when stopped for 24 h');
    const site = readSheet(added).site;
    assert.equal(site.settings.at(-1), 'warn when stopped for 24 h');
    const back = readSheet(withValue(readSheet(added), ['settings', site.settings.length - 1], undefined));
    assert.deepEqual(back.site, sheet.site, path);
    const comments = (of) => [...of.matchAll(/#\s*(.*)$/gm)].map((match) => match[1].trim());
    assert.deepEqual(comments(back.text), comments(text), path);
  }
});

test('new keys, new lists, moved items, names with what refers to them', () => {
  const sheet = readSheet('site: A\nplaces:\n  - {name: shed, level: 0 m}   # here\n'
    + 'vessels:\n  - {name: v, at: shed, volume: 9 L}\nsettings: [a, b, c]\n');
  assert.equal(readSheet(withValue(sheet, ['pumps', 0, 'motor', 'power'], '1 kW')).site.pumps[0].motor.power, '1 kW');
  assert.deepEqual(readSheet(withMoved(sheet, ['settings'], 0, 2)).site.settings, ['b', 'c', 'a']);
  const renamed = withName(sheet, 'places', 0, 'pump, shed: new');
  assert.equal(readSheet(renamed).site.places[0].name, 'pump, shed: new');
  assert.equal(readSheet(renamed).site.vessels[0].at, 'pump, shed: new');
  assert.match(renamed, /# here/);
});

test('texts that would read as something else stay texts', () => {
  const sheet = readSheet('site: A\nnote: B\nplaces:\n  - {name: x, level: 0 m}\n');
  for (const text of ['yes', 'No', 'a: b', 'x # y', '- z', '"q"', "it's", '{a}', '[b', 'c, d', '*e', '&f', '!g', '100 %', '@h', 'a:', '0x1']) {
    for (const path of [['note'], ['places', 0, 'name']]) {
      assert.equal(valueAt(readSheet(withValue(sheet, path, text)).site, path), text, text);
    }
  }
});

test('values mean the same as to the program, times of day and yes and no above all', () => {
  const text = 'a: yes\nb: "yes"\nc: 08:00\nd: 1.5\ne: 1e3\nf: 007\ng:\nh: -2\ni: off\nj: |\n  one\n  two\nk: "\\u00e4"\n';
  assert.deepEqual(readSheet(text).site,
    { a: true, b: 'yes', c: '08:00', d: 1.5, e: 1000, f: '007', g: null, h: -2, i: 'off', j: 'one\ntwo', k: 'ä' });
});

test('what a sheet must not hold is told with its line', () => {
  for (const [text, reason, line] of [['a: 1\na: 2\n', 'duplicate', 2], ['a: &x 1\nb: *x\n', 'alias', 1], ['a: !t 1\n', 'tag', 1],
    ['a: 1\n---\nb: 2\n', 'documents', 2], ['a: [1\nb: 2\n', 'syntax', 2]]) {
    const { site, problems } = readSheet(text);
    assert.equal(site, null, text);
    assert.ok(problems.some((problem) => problem.reason === reason && problem.line === line), `${text}: ${JSON.stringify(problems)}`);
  }
});

test('each unit of pressure, length, flow, volume and time has the size that it has in the core', () => {
  const site = readSheet(SMALL).site;
  const ask = (path, text) => {
    const changed = structuredClone(site);
    let at = changed;
    for (const step of path.slice(0, -1)) at = at[step];
    at[path.at(-1)] = text;
    return JSON.parse(nativeDoor({ do: 'duty', site: changed, pressure: '1 bar' }));
  };
  for (const unit of Object.keys(quantity.FACTORS.pressure)) {
    const answer = JSON.parse(nativeDoor({ do: 'duty', site, pressure: `${(2e5 / quantity.FACTORS.pressure[unit]).toFixed(9)} ${unit}` }));
    assert.ok(Math.abs(answer.duties[0].vessel_pa - 2e5) < 0.01, `${unit}: ${answer.duties[0].vessel_pa}`);
  }
  const metre = ask(['lines', 0, 'length'], '80 m').duties[0].flow_m3s;
  for (const [unit, factor] of Object.entries(quantity.FACTORS.length)) {
    assert.ok(Math.abs(ask(['lines', 0, 'length'], `${(80 / factor).toFixed(9)} ${unit}`).duties[0].flow_m3s - metre) < 1e-12, unit);
  }
  const flow = ask(['sources', 0, 'specific capacity'], '20 L/min per m').duties[0].drawdown_m;
  for (const [unit, factor] of Object.entries(quantity.FACTORS['specific capacity'])) {
    const given = `${(20 / 60000 / factor).toFixed(12)} ${unit}`;
    assert.ok(Math.abs(ask(['sources', 0, 'specific capacity'], given).duties[0].drawdown_m - flow) < 1e-9, unit);
  }
  for (const [unit, factor] of Object.entries(quantity.FACTORS.time)) {
    const answer = JSON.parse(nativeDoor({ do: 'run', site, text: false, length: `${(7200 / factor).toFixed(9)} ${unit}` }));
    assert.equal(answer.length_ms, 7200e3, unit);
  }
  const drawn = (text) => {
    const demand = [{ outlet: 'taps', flow: text, for: '10 min', at: '00:10' }];
    return JSON.parse(nativeDoor({ do: 'run', site: { ...site, demand }, text: false, length: '1 h' })).totals.wanted_m3;
  };
  for (const [unit, factor] of Object.entries(quantity.FACTORS.flow)) {
    assert.ok(Math.abs(drawn(`${(1e-4 / factor).toFixed(12)} ${unit}`) - 0.06) < 1e-9, unit);
  }
  const held = (text) => ask(['vessels', 0, 'volume'], text);
  for (const unit of Object.keys(quantity.FACTORS.volume)) assert.ok(held(`${(0.1 / quantity.FACTORS.volume[unit]).toFixed(9)} ${unit}`).ok, unit);
});

const SMALL = `site: Small
places: [{name: head, level: 0 m}, {name: house, level: 4 m}]
sources: [{name: bore, at: head, kind: bore, standing water level: 9 m, specific capacity: 20 L/min per m, intake: 30 m}]
pumps: [{name: pump, from: head, to: head 2, curve: [{flow: 0 L/min, head: 70 m}, {flow: 30 L/min, head: 60 m, efficiency: 45 %},
  {flow: 60 L/min, head: 30 m, efficiency: 40 %}], motor: {power: 0.75 kW}}]
lines: [{from: head 2, to: house, bore: 30 mm, roughness: 0.01 mm, length: 80 m}]
vessels: [{name: vessel, at: house, volume: 100 L, precharge: 180 kPa}]
outlets: [{name: taps, at: house}]
sensors: [{name: pressure, kind: pressure, at: house}]
settings: [start when pressure below 2 bar, stop when pressure above 3.5 bar]
`.replace('{name: house, level: 4 m}', '{name: head 2, level: 0 m}, {name: house, level: 4 m}');

test('quantities are shown in other units and typed back', () => {
  const { shownText, typedText, siOf, show } = quantity;
  assert.equal(shownText('250 kPa', 'pressure', 'us'), '36.26 psi');
  assert.equal(shownText('250 kPa', 'pressure', 'metric'), '250 kPa');
  assert.equal(shownText('36 psi', 'pressure', 'bar'), '2.482 bar');
  assert.equal(shownText('16 degC', 'temperature', 'us'), '60.8 degF');
  assert.equal(typedText('36', 'pressure', 'us'), '36 psi');
  assert.equal(typedText('12,5', 'length', 'metric'), '12.5 m');
  assert.equal(typedText('3 bar', 'pressure', 'us'), '3 bar');
  assert.equal(siOf('1 h 30 min', 'time'), 5400);
  assert.equal(show(0.001, 'flow', 'us'), '15.9 gpm');
});

test('the numbers of a sentence are found and put back', () => {
  const sentences = ['start when pressure below 250 kPa for 1 s', 'stop when pressure above 3.5 bar or probe low dry',
    'lock out when starts reach 15 in 1 h',
    'retry after 30 s, then 5 min, then 1 h 30 min up to 4 times', 'bore pump: lock out when winding above 120 degC', 'stop when level above 2 m'];
  const found = settings.settingsIn(sentences);
  assert.deepEqual(found.map((setting) => `${setting.sentence} ${setting.kind} ${setting.text}`),
    ['0 pressure 250 kPa', '0 time 1 s', '1 pressure 3.5 bar',
    '2 count 15', '2 time 1 h', '3 time 30 s', '3 time 5 min', '3 time 1 h 30 min', '3 count 4', '4 temperature 120 degC', '5 level 2 m']);
  assert.deepEqual(found.map((setting) => setting.role).filter(Boolean), ['cut-in', 'cut-out']);
  const text = settings.settingText(found[0], 262e3, 'metric');
  assert.equal(settings.withSetting(sentences[0], found[0], text), 'start when pressure below 260 kPa for 1 s');
  assert.equal(settings.settingText(found[0], 262e3, 'us'), '38 psi');
  assert.equal(settings.settingText(found[7], 5400, 'metric'), '90 min');
  for (const seconds of settings.TIMES) assert.equal(quantity.siOf(settings.timeText(seconds), 'time'), seconds);
});
