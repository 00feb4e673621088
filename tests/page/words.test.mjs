// The catalogues of words: the same keys in each language, the same blanks in each sentence, nothing that nobody says.
import assert from 'node:assert/strict';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { test } from 'node:test';
import { root } from './kit.mjs';

const source = join(root, 'shell/page/src');

async function catalogue(language) {
  const text = await readFile(join(source, `i18n/${language}.ts`), 'utf8');
  const made = new Map();
  for (const [, key, value] of text.matchAll(/^ {2}'((?:[^'\\]|\\.)+)': '((?:[^'\\]|\\.)*)',$/gm)) made.set(key, value);
  return made;
}

test('each language has the same keys, and the same blanks in them', async () => {
  const [en, de] = [await catalogue('en'), await catalogue('de')];
  assert.ok(en.size > 300);
  assert.deepEqual([...de.keys()], [...en.keys()]);
  const blanks = (text) => [...text.matchAll(/\{\w+\}/g)].map(([blank]) => blank).sort();
  for (const [key, text] of en) assert.deepEqual(blanks(de.get(key)), blanks(text), key);
});

test('nearly every sentence is another one in the other language', async () => {
  const [en, de] = [await catalogue('en'), await catalogue('de')];
  const same = [...en].filter(([key, text]) => text.length > 24 && de.get(key) === text);
  assert.deepEqual(same, []);
});

test('every key that the page says is in the catalogue, and none lies there unused', async () => {
  const en = await catalogue('en');
  let all = '';
  for (const folder of await readdir(source, { withFileTypes: true })) {
    if (!folder.isDirectory() || folder.name === 'i18n') continue;
    for (const name of await readdir(join(source, folder.name))) {
      if (/\.tsx?$/.test(name)) all += await readFile(join(source, folder.name, name), 'utf8');
    }
  }
  for (const [, key] of all.matchAll(/\bt\('([^']+)'/g)) assert.ok(en.has(key), `t('${key}')`);
  const groups = ['q', 'h', 'g', 'o', 'act', 'caution', 'yaml', 'units', 'light', 'language',
    'way', 'saved', 'stretch', 'go', 'sort', 'verdict', 'papers', 'begin', 'curve', 'proof\\.kind', 'proof\\.mark', 'fit\\.precharge'];
  const made = new RegExp(`^(${groups.join('|')})\\b`);
  const lists = /^(advice\.form|log\.(signal|what|bad|read))\b/;
  for (const key of en.keys()) if (!made.test(key) && !lists.test(key)) assert.ok(all.includes(`'${key}'`), `unused: ${key}`);
});

async function sources() {
  const found = [];
  for (const folder of await readdir(source, { withFileTypes: true })) {
    if (!folder.isDirectory() || folder.name === 'i18n') continue;
    for (const name of await readdir(join(source, folder.name))) {
      if (/\.tsx?$/.test(name)) found.push({ name: `${folder.name}/${name}`, text: await readFile(join(source, folder.name, name), 'utf8') });
    }
  }
  return found;
}

const bare = (text) => text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/^\s*\/\/.*$/gm, '');

const SPOKEN = /<\/?[a-zA-Z][^<>]*?>([^<>{}();=]*[A-Za-z]{3,}[^<>{}();=]*)<\//g;

test('no words stand in the components: all come from the catalogues or from the core', async () => {
  const spoken = [];
  for (const { name, text } of await sources()) {
    if (!name.endsWith('.tsx')) continue;
    for (const [, words] of bare(text).matchAll(SPOKEN)) spoken.push(`${name}: ${words.trim()}`);
    for (const [, words] of bare(text).matchAll(/(?:aria-label|placeholder|title|alt)="([^"]*[A-Za-z]{3,}[^"]*)"/g)) spoken.push(`${name}: ${words}`);
  }
  assert.deepEqual(spoken.filter((one) => !one.endsWith(': Pumpwright')), []);
});

// What would give away a copy of the core's knowledge: sizes of units, physics, judgements on a figure.
const GIVEAWAYS = [
  [/6894\.?7|0\.3048|3\.785|9806|9\.8[01]|745\.6|101\.?325|273\.15/, 'the size of a unit'],
  [/1\.8\b|\b5\s*\/\s*9|\* 9\) \/ 5/, 'the size of a degree'],
  [/3\.6e6|1e-3 \/ 60|\/ 86400\b(?!e3)/, 'a conversion'],
  [/\b(npsh|margin|charge|precharge)\w*\s*[<>]=?\s*[\w.]/i, 'a judgement on a figure'],
  [/\.(checks|firings|faults)\.(every|some)\(/, 'a verdict over many figures'],
  [/class=\{?[`"'][^`"'}]*\bverdict (good|bad)["'`]/, 'a verdict that the page gives'],
  [/below\|above|\(pressure\|level|start when\\b/, 'the grammar of sentences'],
  [/\.how\.includes\(|\.words\.(includes|match|startsWith)\(/, 'words of the core read back'],
];

test('the page keeps no copy of units, of physics or of sentences, and judges nothing', async () => {
  const given = [];
  for (const { name, text } of await sources()) {
    bare(text).split('\n').forEach((line) => {
      for (const [pattern, what] of GIVEAWAYS) if (pattern.test(line)) given.push(`${name}: ${what}: ${line.trim().slice(0, 100)}`);
    });
  }
  assert.deepEqual(given, []);
});
