#!/usr/bin/env node
// Builds the page: build/page (to be served, works offline afterwards) and build/pumpwright.html (one file, works from a stick).
// usage: node build.mjs [--wasm FILE] [--out FOLDER] [--plain]
import { createHash } from 'node:crypto';
import { mkdir, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { execFileSync } from 'node:child_process';
import { brotliCompressSync, constants, gzipSync } from 'node:zlib';
import * as esbuild from 'esbuild';
import { askWasm, toldPlugin } from './told.mjs';

const here = dirname(fileURLToPath(import.meta.url));
const root = resolve(here, '../..');
const option = (name, otherwise) => {
  const at = process.argv.indexOf(name);
  return at < 0 ? otherwise : process.argv[at + 1];
};
const out = resolve(option('--out', join(root, 'build')));
const given = option('--wasm', null);
const minify = !process.argv.includes('--plain');

const sha = (text, length = 10) => createHash('sha256').update(text).digest('hex').slice(0, length);

/* The sheets to begin with, and the measured files that they name. */
async function startsAndFiles() {
  const folders = [join(root, 'examples'), join(here, 'starts')];
  const files = { starts: [], measured: {}, names: [] };
  for (const folder of folders) {
    for (const name of (await readdir(folder)).filter((entry) => entry.endsWith('.yaml')).sort()) {
      const text = await readFile(join(folder, name), 'utf8');
      if (!/^site\s*:/m.test(text)) continue; // something else, as a catalogue of pumps
      files.starts.push({ id: name.replace(/\.yaml$/, ''), text });
      for (const [, file] of text.matchAll(/^\s*file:\s*["']?([^"'\n#]+\.csv)/gm)) {
        files.measured[file.trim()] = await readFile(resolve(folder, file.trim()), 'utf8');
      }
    }
  }
  files.starts.sort((a, b) => (b.id === 'nursery') - (a.id === 'nursery') || a.id.localeCompare(b.id));
  files.names = Object.keys(files.measured);
  return files;
}

/* The same as a module; what was measured is larger than all else, and fetched apart where it can be. */
const starts = (apart) => ({
  name: 'starts',
  setup(build) {
    build.onResolve({ filter: /^starts:files$/ }, () => ({ path: 'files', namespace: 'starts' }));
    build.onLoad({ filter: /.*/, namespace: 'starts' }, async () => {
      const files = await startsAndFiles();
      return { contents: `export const files = ${JSON.stringify(apart ? { ...files, measured: {} } : files)}`, loader: 'js' };
    });
  },
});

async function bundle(entry, format, define, plugins = []) {
  const done = await esbuild.build({
    entryPoints: [join(here, 'src', entry)], bundle: true, write: false, outdir: 'out', format, define, minify, target: 'es2021',
    plugins, legalComments: 'none', charset: 'utf8', logLevel: 'warning', absWorkingDir: here,
  });
  const text = (ending) => done.outputFiles.find((file) => file.path.endsWith(ending))?.text ?? '';
  return { js: text('.js'), css: text('.css') };
}

function head(title) {
  return `<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover">
<title>${title}</title>
<meta name="description" content="What a small pumping site does, what can go wrong, and which settings see it.">
<meta name="color-scheme" content="light dark">`;
}

const NOSCRIPT = '<noscript>This page computes in your browser, so it needs JavaScript switched on. Nothing is sent anywhere.</noscript>';

async function main() {
  const wasmFile = given ? resolve(given) : join(root, 'build/pumpwright.wasm');
  if (!given) execFileSync(join(root, 'tools/wasm.sh'), [wasmFile], { stdio: 'inherit' });
  const wasm = await readFile(wasmFile);
  const first = await readFile(wasmFile.replace(/\.wasm$/, '-first.wasm'));
  const knows = /^FIRST="([a-z ]+)"$/m.exec(await readFile(join(root, 'tools/wasm.sh'), 'utf8'))[1].split(' ');
  const worker = (await bundle('core/worker.ts', 'iife', {})).js;
  const icon = await readFile(join(here, 'icon.svg'), 'utf8');
  const told = toldPlugin(await askWasm(wasm));
  await folder({ wasm, first, knows, worker, icon, told });
  await oneFile({ wasm, knows, worker, icon, told });
}

const ICONS = [192, 512]; // the same picture in dots: icon-SIZE.png, for systems that take no drawing

async function folder({ wasm, first, knows, worker, icon, told }) {
  const page = join(out, 'page');
  await rm(page, { recursive: true, force: true });
  await mkdir(page, { recursive: true });
  const workerName = `worker-${sha(worker)}.js`;
  const main = await bundle('main.tsx', 'iife', {
    __ONE_FILE__: 'false', __WORKER_URL__: JSON.stringify(workerName), __WASM_URL__: '"pumpwright.wasm"',
    __FIRST_URL__: '"pumpwright-first.wasm"', __FIRST__: JSON.stringify(knows), __MEASURED_URL__: '"measured.json"',
  }, [starts(true), told]);
  const jsName = `page-${sha(main.js)}.js`;
  const cssName = `page-${sha(main.css)}.css`;
  const manifest = JSON.stringify({
    name: 'Pumpwright', short_name: 'Pumpwright', start_url: './', scope: './', display: 'standalone', background_color: '#f7f5ee',
    theme_color: '#12302f', icons: [{ src: 'icon.svg', sizes: 'any', type: 'image/svg+xml', purpose: 'any' },
      { src: 'icon.svg', sizes: 'any', type: 'image/svg+xml', purpose: 'maskable' },
      ...ICONS.flatMap((size) => ['any', 'maskable'].map((purpose) => (
        { src: `icon-${size}.png`, sizes: `${size}x${size}`, type: 'image/png', purpose })))],
  });
  const policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' blob: data:; "
    + "connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'";
  const index = `<!doctype html>
<html lang="en">
<head>
${head('Pumpwright')}
<meta http-equiv="Content-Security-Policy" content="${policy}">
<link rel="manifest" href="manifest.webmanifest">
<link rel="icon" href="icon.svg" type="image/svg+xml">
<link rel="apple-touch-icon" href="icon-192.png">
<link rel="stylesheet" href="${cssName}">
<script src="${jsName}" defer></script>
</head>
<body><div id="card"></div>${NOSCRIPT}</body>
</html>
`;
  const files = {
    'index.html': index, [jsName]: main.js, [cssName]: main.css, [workerName]: worker, 'pumpwright.wasm': wasm, 'pumpwright-first.wasm': first,
    'measured.json': JSON.stringify((await startsAndFiles()).measured),
    'manifest.webmanifest': manifest, 'icon.svg': icon,
  };
  for (const size of ICONS) files[`icon-${size}.png`] = await readFile(join(here, `icon-${size}.png`));
  const version = sha(Object.entries(files).map(([name, text]) => name + sha(text, 64)).join('\n'), 16);
  const list = ['./', ...Object.keys(files).filter((name) => name !== 'index.html')];
  const service = (await readFile(join(here, 'service.js'), 'utf8'))
    .replace("'VERSION'", JSON.stringify(version)).replace('[/* LIST */]', JSON.stringify(list));
  files['service.js'] = service;
  for (const [name, text] of Object.entries(files)) await writeFile(join(page, name), text);
  await pack(page, files);
  tell(page, files);
}

const PACKED_LEAST = 1024; // bytes: less is not worth a second file

/* Beside each larger file the same packed, for a server that can send it so (docs/server.md). */
async function pack(page, files) {
  for (const [name, text] of Object.entries(files)) {
    const bytes = Buffer.from(text);
    if (bytes.length < PACKED_LEAST || name.endsWith('.png')) continue;
    const params = { [constants.BROTLI_PARAM_QUALITY]: constants.BROTLI_MAX_QUALITY,
      [constants.BROTLI_PARAM_LGWIN]: constants.BROTLI_MAX_WINDOW_BITS };
    await writeFile(join(page, `${name}.br`), brotliCompressSync(bytes, { params }));
    await writeFile(join(page, `${name}.gz`), gzipSync(bytes, { level: 9 }));
  }
}

async function oneFile({ wasm, knows, worker, icon, told }) {
  const main = await bundle('main.tsx', 'iife', { __ONE_FILE__: 'true', __WORKER_URL__: '""', __WASM_URL__: '""',
    __FIRST_URL__: '""', __FIRST__: JSON.stringify(knows), __MEASURED_URL__: '""' }, [starts(false), told]);
  const safe = (js) => js.replace(/<\/(script)/gi, '<\\/$1').replace(/<!--/g, '<\\!--');
  const policy = "default-src 'none'; script-src 'unsafe-inline' 'wasm-unsafe-eval' blob:; style-src 'unsafe-inline'; "
    + "img-src data: blob:; worker-src blob:; base-uri 'none'; form-action 'none'";
  const text = `<!doctype html>
<html lang="en">
<head>
${head('Pumpwright')}
<meta http-equiv="Content-Security-Policy" content="${policy}">
<link rel="icon" href="data:image/svg+xml;base64,${Buffer.from(icon).toString('base64')}">
<style>${main.css.replace(/<\/style/gi, '<\\/style')}</style>
</head>
<body><div id="card"></div>${NOSCRIPT}
<script type="text/plain" id="core-worker">${safe(worker)}</script>
<script type="text/plain" id="core-wasm">${wasm.toString('base64')}</script>
<script>${safe(main.js)}</script>
</body>
</html>
`;
  await writeFile(join(out, 'pumpwright.html'), text);
  tell(out, { 'pumpwright.html': text });
}

function tell(where, files) {
  for (const [name, text] of Object.entries(files)) {
    console.log(`${String(Buffer.byteLength(text)).padStart(9)}  ${join(relative(process.cwd(), where), name)}`);
  }
}

await main();
