// Milliseconds that the WebAssembly module takes for each request of a file, a request a line: the least of so many tries, a
// number a line. usage: node bench/module.mjs WASM REQUESTS TRIES
import { readFileSync } from 'node:fs';

const [wasm, requests, tries] = process.argv.slice(2);
const { exports: core } = await WebAssembly.instantiate(await WebAssembly.compile(readFileSync(wasm)), {});
core._initialize();

function answer(request) {
  const place = core.pw_wasm_alloc(request.length);
  new Uint8Array(core.memory.buffer).set(request, place);
  const begun = performance.now();
  const said = core.pw_wasm_answer(place, request.length);
  const took = performance.now() - begun;
  const words = Buffer.from(core.memory.buffer, said, 11).toString('latin1');
  core.pw_wasm_free(said);
  core.pw_wasm_free(place);
  if (words !== '{"ok":true,') throw new Error(`refused: ${request.toString().slice(0, 80)}`);
  return took;
}

for (const line of readFileSync(requests, 'utf8').split('\n').filter((one) => one.length > 0)) {
  const request = Buffer.from(line);
  let least = Infinity;
  for (let i = 0; i < Number(tries); i++) least = Math.min(least, answer(request));
  console.log(least.toFixed(2));
}
