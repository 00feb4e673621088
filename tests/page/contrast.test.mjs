// Contrast of what is drawn (canvas and SVG), where axe cannot look: each colour that a drawing uses, against what it is drawn on, in both lights.
// The limits: WCAG 2.1, 1.4.11 (3:1 for graphics that carry meaning) and 1.4.6 (7:1 for text), from memory.
import assert from 'node:assert/strict';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { test } from 'node:test';
import { root } from './kit.mjs';

const source = join(root, 'shell/page/src');
const css = await readFile(join(source, 'style/base.css'), 'utf8');

/* The variables of a block of the style sheet. */
function lights() {
  const blocks = [...css.matchAll(/(:root[^{]*)\{([^{}]*)\}/g)];
  const of = (find) => Object.fromEntries([...blocks.find(([, selector]) => find(selector))[2]
    .matchAll(/--([\w-]+):\s*(#[0-9a-fA-F]{6,8})/g)].map(([, name, value]) => [name, value]));
  return { light: of((selector) => selector.trim() === ':root'), dark: of((selector) => selector.includes("data-light='dark'")) };
}

const linear = (v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4);
const luminance = (hex) => [1, 3, 5].reduce((sum, at, i) => sum + [0.2126, 0.7152, 0.0722][i] * linear(parseInt(hex.slice(at, at + 2), 16)), 0);
const ratio = (a, b) => (Math.max(luminance(a), luminance(b)) + 0.05) / (Math.min(luminance(a), luminance(b)) + 0.05);

// Grounds, washes behind curves, the grid: they carry nothing that a curve or a word beside them does not say.
const SOFT = new Set(['paper', 'sheet', 'rule', 'run', 'sky',
  'earth', 'earth-mark', 'turf', 'sunk', 'lamp', 'water-wash', 'good-wash', 'bad-wash', 'late-wash', 'faint', 'edge']);

async function canvasColours() {
  const found = new Set();
  for (const name of await readdir(join(source, 'plot'))) {
    const text = await readFile(join(source, 'plot', name), 'utf8');
    for (const [, colour] of text.matchAll(/colour(?:\(|: )'([\w-]+)'/g)) found.add(colour);
  }
  return [...found].filter((name) => !SOFT.has(name));
}

/* Rules of the style sheets that give a drawing its lines, and its words. */
async function svgColours() {
  const lines = new Set();
  const words = new Set();
  for (const name of ['draw.css', 'card.css', 'places.css']) {
    const text = await readFile(join(source, 'style', name), 'utf8');
    for (const [, selector, body] of text.matchAll(/([^{}]+)\{([^{}]*)\}/g)) {
      const fill = /(?:^|;)\s*fill:\s*var\(--([\w-]+)\)/.exec(body)?.[1];
      const stroke = /(?:^|;)\s*stroke:\s*var\(--([\w-]+)\)/.exec(body)?.[1];
      if (fill && /\btext\b/.test(selector)) words.add(fill);
      for (const one of [fill, stroke]) if (one && !SOFT.has(one)) lines.add(one);
    }
  }
  return { lines: [...lines], words: [...words].filter((name) => !SOFT.has(name)) };
}

test('curves and lines of drawings stand out 3 to 1, their words 7 to 1, on paper and sheet, in both lights', async () => {
  const canvas = await canvasColours();
  const svg = await svgColours();
  assert.ok(canvas.length >= 4 && svg.lines.length >= 4 && svg.words.length >= 1, 'there is something to measure');
  const weak = [];
  for (const [light, colours] of Object.entries(lights())) {
    for (const ground of ['paper', 'sheet']) {
      const look = (name, least) => {
        assert.ok(colours[name], `${name} is no colour of the style sheet`);
        const is = ratio(colours[name], colours[ground]);
        if (is < least) weak.push(`${light}: ${name} on ${ground}: ${is.toFixed(2)} < ${least}`);
      };
      for (const name of [...canvas, ...svg.lines]) look(name, 3);
      for (const name of ['ink', ...svg.words]) look(name, 7);
    }
    for (const name of ['faint', 'edge']) if (ratio(colours[name], colours.paper) < 3) weak.push(`${light}: ${name}`);
  }
  assert.deepEqual([...new Set(weak)], []);
});
