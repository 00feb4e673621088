// The native core and the WebAssembly module must give the same bytes for the same requests.
//
// usage: node compare.mjs WASM REPLAY SOURCE...
//   WASM    build/pumpwright.wasm
//   REPLAY  the native program that answers one request a line
//   SOURCE  FILE.jsonl      one request a line; lines that begin with # are skipped
//           FILE.md         every ```json block that begins with {"do"; "SITE" stands for the block ```json site
//           bytes:FOLDER    every file is one request, whatever it holds (line ends are turned into spaces)
//           run:COMMAND     the lines that a command prints ("run:build/cases --requests")
//
// Plain Node from version 18 on; no packages.
import { readFileSync, readdirSync, existsSync } from 'node:fs';
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';

const MOST_BYTES = 1 << 30;

function fail(words) {
    console.error(`parity: ${words}`);
    process.exit(1);
}

if (Number(process.versions.node.split('.')[0]) < 18) {
    fail(`Node ${process.versions.node} is too old: version 18 or later is needed`);
}
const [wasmPath, replayPath, ...sources] = process.argv.slice(2);
if (sources.length === 0) {
    fail('usage: node compare.mjs WASM REPLAY SOURCE...');
}
if (!existsSync(wasmPath)) {
    fail(`${wasmPath} is missing: run tools/wasm.sh first`);
}
if (!existsSync(replayPath)) {
    fail(`${replayPath} is missing: build the tests first`);
}

// ---- requests ----

function linesOf(text) {
    return text.split('\n').filter((line) => line.length > 0 && !line.startsWith('#')).map((line) => Buffer.from(line));
}

// "SITE" in a request stands for the block that is marked "json site".
function blocksOf(markdown) {
    const site = /^```json site\n([\s\S]*?)^```/m.exec(markdown)?.[1] ?? '"SITE"';
    const blocks = [...markdown.matchAll(/^```json[^\n]*\n([\s\S]*?)^```/gm)].map((match) => match[1].trim());
    return blocks.filter((block) => /^\{\s*"do"/.test(block)).map((block) =>
        Buffer.from(block.replaceAll('"SITE"', () => site).replace(/\r?\n/g, ' ')));
}

function filesOf(folder) {
    return readdirSync(folder).sort().map((name) => {
        const bytes = Buffer.from(readFileSync(join(folder, name)));
        return bytes.map((byte) => (byte === 10 || byte === 13 ? 32 : byte));
    }).filter((bytes) => bytes.length > 0 && bytes[0] !== 35);
}

function outputOf(command) {
    const [program, ...words] = command.split(' ');
    const done = spawnSync(program, words, { maxBuffer: MOST_BYTES });
    if (done.error || done.status !== 0) {
        fail(`${command}: ${done.error ? done.error.message : `exit code ${done.status} ${done.stderr}`}`);
    }
    return done.stdout.toString();
}

function requestsOf(source) {
    if (source.startsWith('run:')) {
        return linesOf(outputOf(source.slice(4)));
    }
    if (source.startsWith('bytes:')) {
        return filesOf(source.slice(6));
    }
    const text = readFileSync(source, 'utf8');
    return source.endsWith('.md') ? blocksOf(text) : linesOf(text);
}

// ---- the two cores ----

function nativeAnswers(requests) {
    const input = Buffer.concat(requests.flatMap((request) => [request, Buffer.from('\n')]));
    const done = spawnSync(replayPath, [], { input, maxBuffer: MOST_BYTES });
    if (done.error || done.status !== 0) {
        fail(`replay: ${done.error ? done.error.message : `exit code ${done.status ?? done.signal} ${done.stderr}`}`);
    }
    const answers = done.stdout.toString('latin1').split('\n');
    answers.pop();
    return answers;
}

// A module without imports; one instance answers all requests, so that nothing may stay behind from one to the next.
async function openModule() {
    const module = await WebAssembly.compile(readFileSync(wasmPath));
    const imports = WebAssembly.Module.imports(module);
    if (imports.length > 0) {
        fail(`the module wants imports: ${imports.map((one) => one.name).join(', ')}`);
    }
    const { exports } = await WebAssembly.instantiate(module, {});
    exports._initialize();
    return exports;
}

function wasmAnswer(core, request) {
    const place = core.pw_wasm_alloc(request.length);
    if (place === 0) {
        fail('the module has no memory for a request');
    }
    new Uint8Array(core.memory.buffer).set(request, place);
    const answer = core.pw_wasm_answer(place, request.length);
    if (answer === 0) {
        fail('the module has no memory for an answer');
    }
    const memory = Buffer.from(core.memory.buffer);
    const words = memory.toString('latin1', answer, memory.indexOf(0, answer));
    core.pw_wasm_free(answer);
    core.pw_wasm_free(place);
    return words;
}

// ---- compare ----

function show(bytes, at) {
    return JSON.stringify(bytes.slice(Math.max(0, at - 60), at + 60));
}

const requests = sources.flatMap(requestsOf);
if (requests.length === 0) {
    fail(`no requests in ${sources.join(' ')}`);
}
const native = nativeAnswers(requests);
if (native.length !== requests.length) {
    fail(`${requests.length} requests, ${native.length} native answers`);
}
const core = await openModule();
let different = 0;
let well = 0;
let bytes = 0;
requests.forEach((request, index) => {
    let answer;
    try {
        answer = wasmAnswer(core, request);
    } catch (error) {
        fail(`request ${index + 1} trapped in the module: ${error.message}\n  ${show(request.toString(), 60)}`);
    }
    bytes += answer.length;
    well += answer.startsWith('{"ok":true') ? 1 : 0;
    if (answer !== native[index]) {
        let at = 0;
        while (answer[at] === native[index][at]) {
            at++;
        }
        different++;
        console.error(`parity: request ${index + 1} differs at byte ${at}`);
        console.error(`  request ${show(request.toString(), 60)}`);
        console.error(`  native  ${show(native[index], at)}`);
        console.error(`  wasm    ${show(answer, at)}`);
    }
});
console.log(`${requests.length} requests (${well} answered ok), ${bytes} bytes of answers, ${different} different`);
process.exit(different > 0 ? 1 : 0);
