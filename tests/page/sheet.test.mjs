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

test('each unit that the core reads, the page reads to the same number, and shows in the core\'s units', () => {
  const { dimensions } = JSON.parse(nativeDoor({ do: 'units' }));
  const site = readSheet(SMALL).site;
  const parameter = (path, text) => JSON.parse(nativeDoor({ do: 'parameters', site, set: { [path]: text }, paths: [path] }));
  const places = { pressure: 'vessels[0].precharge', length: 'lines[0].length', volume: 'vessels[0].volume', flow: 'sources[0].yield',
    'specific capacity': 'sources[0].specific capacity', temperature: 'water', voltage: 'supply.voltage', power: 'pumps[0].motor.power' };
  let asked = 0;
  for (const { dimension, sizes } of dimensions.filter((one) => places[one.dimension])) {
    const now = JSON.parse(nativeDoor({ do: 'parameters', site, paths: [places[dimension]] })).parameters[0];
    const si = now.si ?? now['least si'] + (now['most si'] - now['least si']) / 1000;
    for (const { unit, size, zero } of sizes) {
      const text = `${(si / size + zero).toFixed(9)} ${unit}`;
      const answer = parameter(places[dimension], text);
      if (!answer.ok) continue; // out of range by its last digit
      asked++;
      const mine = quantity.siOf(text, dimension);
      assert.ok(Math.abs(mine - answer.parameters[0].si) <= 1e-12 * Math.max(1, Math.abs(mine)), `${text}: ${mine}, ${answer.parameters[0].si}`);
    }
  }
  assert.ok(asked > 60, `${asked} units`);
  for (const [system, units] of [['metric', 'metric'], ['bar', 'bar,m3/h'], ['us', 'us']]) {
    const shown = new Map(JSON.parse(nativeDoor({ do: 'units', units })).dimensions.map((one) => [one.dimension, one.shown]));
    for (const dimension of Object.keys(places)) assert.equal(quantity.unitFor(dimension, system), shown.get(dimension), `${dimension}, ${system}`);
  }
});

test('each question asks for a field that the core knows', async () => {
  const { GROUPS } = await pageModule('sheet/questions.ts');
  const { schema } = JSON.parse(nativeDoor({ do: 'schema' }));
  let count = 0;
  for (const group of GROUPS) {
    const node = group.id === 'site' ? schema : schema.properties[group.id];
    for (const question of group.questions) {
      let at = node.items ?? node;
      for (const key of question.path) at = at?.properties?.[key] ?? at?.items?.properties?.[key];
      const known = at !== undefined || JSON.stringify(node).includes(`"${question.path.at(-1)}":{`);
      assert.ok(known, `${group.id}: ${question.path.join('.')}`);
      if (question.kind === 'quantity') assert.ok(question.dimension, `${group.id}: ${question.path.join('.')} has no dimension`);
      if (question.kind === 'choice') assert.ok(question.options.length > 1, `${group.id}: ${question.path.join('.')} has no choices`);
      count++;
    }
  }
  assert.ok(count > 90);
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
  assert.equal(shownText('16 degC', 'temperature', 'us'), '60.8 °F');
  assert.equal(typedText('36', 'pressure', 'us'), '36 psi');
  assert.equal(typedText('12,5', 'length', 'metric'), '12.5 m');
  assert.equal(typedText('3 bar', 'pressure', 'us'), '3 bar');
  assert.equal(siOf('1 h 30 min', 'time'), 5400);
  assert.equal(show(0.001, 'flow', 'us'), '15.9 gpm');
});

test('the numbers of a sentence are the core\'s, are put back, and are followed while they change', () => {
  const site = readSheet(SMALL).site;
  site.pumps[0].name = 'bore pump ü';
  site.settings = ['start when pressure below 250 kPa for 1 s', 'stop when pressure above 3.5 bar', 'lock out when starts reach 15 in 1 h',
    'retry after 30 s, then 5 min, then 1 h 30 min up to 4 times', 'bore pump ü: lock out when winding above 120 degC',
    'run only while time between 06:00 and 22:00'];
  const answer = JSON.parse(nativeDoor({ do: 'parameters', site, paths: ['settings'] }));
  assert.ok(answer.ok, JSON.stringify(answer));
  const numbers = { sentences: site.settings, list: answer.parameters };
  const found = settings.settingsIn(site.settings, numbers);
  assert.deepEqual(found.map((setting) => `${setting.sentence} ${setting.kind} ${setting.text}`),
    ['0 pressure 250 kPa', '0 time 1 s', '1 pressure 3.5 bar', '2 number 15', '2 time 1 h', '3 time 30 s', '3 time 5 min', '3 time 1 h 30 min',
      '3 number 4', '4 temperature 120 degC', '5 clock 06:00', '5 clock 22:00']);
  assert.deepEqual(found.map((setting) => setting.role).filter(Boolean), ['cut-in', 'cut-out']);
  const text = settings.settingText(found[0], 262e3, 'metric');
  assert.equal(settings.withSetting(site.settings[0], found[0], text), 'start when pressure below 260 kPa for 1 s');
  assert.equal(settings.settingText(found[0], 262e3, 'us'), '38 psi');
  assert.equal(settings.settingText(found[0], 9e9, 'metric'), '4000 kPa', 'within the core\'s bounds');
  assert.equal(settings.settingText(found[7], 5400, 'metric'), '90 min');
  assert.equal(settings.settingText(found[10], 6.25 * 3600, 'metric'), '06:15');
  for (const seconds of settings.TIMES) assert.equal(quantity.siOf(settings.timeText(seconds), 'time'), seconds);
  // the hand is quicker than the core: the sentence is another one already
  const now = ['start when pressure below 95 kPa for 1 s', ...site.settings.slice(1)];
  const followed = settings.settingsIn(now, numbers).filter((setting) => setting.sentence === 0);
  assert.deepEqual(followed.map((setting) => [setting.text, setting.value]), [['95 kPa', 95e3], ['1 s', 1]]);
  assert.deepEqual(settings.settingsIn(['stop when no flow', ...now.slice(1)], numbers).filter((setting) => setting.sentence === 0), []);
});

test('numbers are read in the one way that there is, or asked back in both', async () => {
  const { readings, clockOf } = await pageModule('sheet/typed.ts');
  const read = {
    '1,5': ['1.5'], '1.5 bar': ['1.5 bar'], '1,500': ['1.5', '1500'], '1.500 kPa': ['1.5 kPa', '1500 kPa'], '1 500': ['1500'], '1’500 L': ['1500 L'],
    '12,345.6': ['12345.6'], '12.345,6': ['12345.6'], '1,500,000': ['1500000'], '0.500': ['0.500'], '0,125 m': ['0.125 m'], '-3': ['-3'],
    plenty: [], '1,2,3': [],
  };
  for (const [typed, ways] of Object.entries(read)) assert.deepEqual(readings(typed), ways, typed);
  const clocks = {
    '6am': '06:00', '6:00': '06:00', '0600': '06:00', '6.30 pm': '18:30', '12am': '00:00', '12 pm': '12:00', '22:15': '22:15', '7 Uhr': '07:00',
    '25:00': '25:00', '13pm': '13pm', noon: 'noon',
  };
  for (const [typed, clock] of Object.entries(clocks)) assert.equal(clockOf(typed), clock, typed);
});

test('another kind of a source, sensor or demand leaves a sheet that the core reads', async () => {
  const { asKind } = await pageModule('sheet/kinds.ts');
  const site = readSheet(SMALL).site;
  site.tanks = [{ name: 'tank', at: 'house', area: '1 m2', depth: '1.5 m' }];
  site.filters = [{ name: 'filter', line: site.lines[0].name ?? 'main', 'clean drop': '10 kPa', 'at flow': '40 L/min' }];
  site.lines[0].name = 'main';
  site.filters[0].line = 'main';
  site.vessels = [{ name: 'vessel', at: 'head 2', volume: '100 L', precharge: '180 kPa' }];
  site.sensors = [{ name: 'pressure', kind: 'pressure', at: 'head 2' }, { name: 'one more', kind: 'pressure', at: 'head 2' }];
  site.settings = ['start when stopped for 10 min', 'stop when running for 10 min']; // of no sensor
  site.demand = [{ outlet: 'taps', kind: 'random', 'per day': 30, flow: '8 L/min', for: '1 min' }];
  const names = (list) => {
    const [id, key = 'name'] = list.split('.');
    return (site[id] ?? []).map((item) => item[key]);
  };
  const kinds = { sources: ['bore', 'open', 'mains'], demand: ['draw', 'random', 'household'],
    sensors: ['pressure', 'level', 'probe', 'flow switch', 'pressure switch', 'filter drop', 'contact'] };
  for (const [group, all] of Object.entries(kinds)) {
    const nth = group === 'sensors' ? 1 : 0;
    for (const from of all) {
      for (const to of all) {
        const now = asKind(group, asKind(group, site[group][nth], from, names), to, names);
        const answer = JSON.parse(nativeDoor({ do: 'check', site: { ...site, [group]: site[group].map((item, i) => (i === nth ? now : item)) } }));
        assert.ok(answer.ok, `${group}, ${from} to ${to}: ${answer.problems?.[0]?.words}`);
      }
    }
  }
});

test('what stands on a tower or on a floor is told from what stands on a hill', async () => {
  const { layout } = await pageModule('draw/layout.ts');
  const ground = async (name) => {
    const site = readSheet(await readFile(join(root, `${name}.yaml`), 'utf8')).site;
    return Object.fromEntries(layout(site).places.map((place) => [place.name, place.level_m - place.ground_m]));
  };
  assert.deepEqual(await ground('examples/flats'), { 'street main': 0, cellar: 0, manifold: 0, 'middle floors': 12, 'top floors': 24 });
  assert.equal((await ground('examples/transfer'))['tower tank'], 20.5);
  assert.equal((await ground('shell/page/starts/mains_booster'))['upper floor'], 8);
  for (const name of ['examples/nursery', 'examples/hill-tank', 'examples/stock-water', 'examples/irrigation']) {
    assert.ok(Object.values(await ground(name)).every((over) => over === 0), name);
  }
});

test('each pipe and outlet has its own flow at a moment; a little under nought reads 0, a vacuum does not', async () => {
  const { momentOf } = await pageModule('draw/moment.ts');
  const site = readSheet(SMALL).site;
  site.demand = [{ outlet: 'taps', flow: '12 L/min', for: '10 min', at: '07:00', every: '2 h' }];
  const run = JSON.parse(nativeDoor({ do: 'run', site, length: '1 d', samples: '1 min', entries: 0, text: false, pressures: true, flows: true }));
  const drawn = momentOf(run, 7.1 * 3600e3);
  const rest = momentOf(run, 6 * 3600e3);
  assert.ok(Math.abs(drawn.outlets_m3s[0] - 0.0002) < 1e-9, 'as the sheet says: 12 L/min');
  assert.ok(Math.abs(drawn.lines_m3s[0]) < 1e-7, 'the vessel beside the taps gives it: nothing comes along the line');
  const on = momentOf(run, run.samples.t_ms[run.samples.pumps[0].running.indexOf(1)]);
  assert.ok(on.pumps_m3s[0] > 1e-4);
  assert.ok(Math.abs(on.lines_m3s[0] - on.pumps_m3s[0]) < 1e-6 * on.pumps_m3s[0], 'one line leads on from the pump');
  assert.deepEqual([rest.lines_m3s[0], rest.outlets_m3s[0], rest.pumps_m3s[0]].map((flow) => Math.abs(flow) < 1e-7), [true, true, true]);
  const swing = (pa) => momentOf({
    ...run, samples: { ...run.samples, places_pa: run.samples.places_pa.map((values) => values.map(() => pa)) },
  }, 0).places_pa[0];
  assert.deepEqual([swing(-500), swing(-30e3), swing(700)], [0, -30e3, 700]);
});

test('the watches that a controller may lack are those that the core knows', async () => {
  const { told } = await import(join(root, 'shell/page/told.mjs'));
  const { watches } = await told((request) => JSON.parse(nativeDoor(request)));
  const site = readSheet(await readFile(join(root, 'examples', 'tap-stand.yaml'), 'utf8')).site;
  const refused = JSON.parse(nativeDoor({ do: 'advise', site, able: ['none such'] }));
  assert.equal(refused.ok, false);
  const named = refused.problems[0].expected.replace('forms of watches: ', '').split(', ');
  assert.deepEqual([...watches].sort(), named.sort());
  const { en } = await pageModule('i18n/en.ts');
  for (const form of watches) assert.ok(en[`advice.form.${form}`], `the page has no words for ${form}`);
});
