// The catalogues of words: the same keys in each language, the same blanks in each sentence, nothing that nobody says.
import assert from 'node:assert/strict';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { test } from 'node:test';
import { root } from './kit.mjs';

const source = join(root, 'shell/page/src');

async function catalogue(language) {
  const text = await readFile(join(source, `i18n/${language}.ts`), 'utf8') + await readFile(join(source, `i18n/faults_${language}.ts`), 'utf8');
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
  const made = /^(q|h|g|o|act|caution|fault|severity|yaml|units|light|language|way|saved|stretch|curve|proof\.kind|proof\.mark|fit\.precharge)\b/;
  for (const key of en.keys()) if (!made.test(key)) assert.ok(all.includes(`'${key}'`), `unused: ${key}`);
});
