/* The core in a worker of its own: one WebAssembly instance, JSON in, JSON out. The module is handed over by the page,
 * so that the same worker works from a server, offline, and from a file. Cancelling is terminating this worker. */

interface Exports {
  memory: WebAssembly.Memory;
  _initialize(): void;
  pw_wasm_alloc(length: number): number;
  pw_wasm_free(block: number): void;
  pw_wasm_answer(request: number, length: number): number;
  pw_wasm_trace(request: number, length: number): number;
  pw_wasm_log(request: number, length: number, bytes: number, count: number): number;
}

type Incoming = { wasm: WebAssembly.Module } | { id: number; request: string; of?: Asked; bytes?: Uint8Array };

/* The door, the reader of measured flows, or that of a logger's file. */
type Asked = 'door' | 'trace' | 'log';

let core: Promise<Exports> | undefined;

async function start(wasm: WebAssembly.Module): Promise<Exports> {
  const instance = await WebAssembly.instantiate(wasm, {});
  const exports = instance.exports as unknown as Exports;
  exports._initialize();
  return exports;
}

function put(e: Exports, bytes: Uint8Array): number {
  const at = e.pw_wasm_alloc(bytes.length);
  if (at === 0) throw new Error('memory');
  new Uint8Array(e.memory.buffer).set(bytes, at);
  return at;
}

function ask(e: Exports, at: number, length: number, of: Asked, file: Uint8Array | undefined): number {
  if (of === 'trace') return e.pw_wasm_trace(at, length);
  if (of === 'door' || !file) return e.pw_wasm_answer(at, length);
  const held = put(e, file);
  const found = e.pw_wasm_log(at, length, held, file.length);
  e.pw_wasm_free(held);
  return found;
}

function answer(e: Exports, request: string, of: Asked, file: Uint8Array | undefined): string {
  const bytes = new TextEncoder().encode(request);
  const at = put(e, bytes);
  const found = ask(e, at, bytes.length, of, file);
  e.pw_wasm_free(at);
  if (found === 0) throw new Error('memory');
  const memory = new Uint8Array(e.memory.buffer); // a new view: memory may have grown
  const text = new TextDecoder().decode(memory.subarray(found, memory.indexOf(0, found)));
  e.pw_wasm_free(found);
  return text;
}

self.onmessage = async (event: MessageEvent<Incoming>) => {
  const told = event.data;
  if ('wasm' in told) {
    core = start(told.wasm);
    core.catch(() => undefined);
    return;
  }
  try {
    if (!core) throw new Error('not started');
    self.postMessage({ id: told.id, answer: answer(await core, told.request, told.of ?? 'door', told.bytes) });
  } catch (problem) {
    self.postMessage({ id: told.id, failed: String(problem) });
  }
};
