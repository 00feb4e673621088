/* The page's ways to the core: one line for the day (dragging must be quick), one for everything else, and more ways
 * for the parts of a proof, made when wanted. */
import { Line } from './line';
import { SplitWay } from './split';
import { ServerWay, WorkerWay, type Way } from './way';

declare const __ONE_FILE__: boolean;
declare const __WORKER_URL__: string;
declare const __WASM_URL__: string;
declare const __FIRST_URL__: string;

export type WayName = 'worker' | 'server';

/** Text of a script element that holds data (only in the one-file page). */
function embedded(id: string): string {
  return document.getElementById(id)?.textContent ?? '';
}

/* Compiled once: the workers share the code, and what the browser learns about it while it runs. */
function once(get: () => Promise<ArrayBuffer>): () => Promise<WebAssembly.Module> {
  let compiled: Promise<WebAssembly.Module> | undefined;
  return () => {
    compiled ??= get().then((bytes) => WebAssembly.compile(bytes));
    compiled.catch(() => { compiled = undefined; });
    return compiled;
  };
}

const loadWasm = once(() => (__ONE_FILE__ ? decode(embedded('core-wasm')) : fetchWasm(__WASM_URL__)));
/* The one file holds the whole module alone: it has to be there anyway. */
const loadFirst = __ONE_FILE__ ? null : once(() => fetchWasm(__FIRST_URL__));

async function decode(base64: string): Promise<ArrayBuffer> {
  const raw = atob(base64.trim());
  const bytes = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
  return bytes.buffer;
}

async function fetchWasm(url: string): Promise<ArrayBuffer> {
  const response = await fetch(url);
  if (!response.ok) throw new Error(`core: ${response.status}`);
  return response.arrayBuffer();
}

let workerUrl: string | undefined;

function makeWorker(): Worker {
  if (!__ONE_FILE__) return new Worker(__WORKER_URL__);
  workerUrl ??= URL.createObjectURL(new Blob([embedded('core-worker')], { type: 'text/javascript' }));
  return new Worker(workerUrl);
}

export const HAS_WASM = typeof WebAssembly === 'object' && typeof Worker === 'function';
export const MAY_HAVE_SERVER = location.protocol.startsWith('http');

let reader: WorkerWay | undefined;

/** What a file of measured flows holds; read by the program's own reader, in a worker (docs/page.md). */
export function readTrace(request: string): Promise<string> {
  reader ??= new WorkerWay(makeWorker, loadWasm);
  return reader.ask(request, 'trace');
}

/** The list of pumps that a catalogue in CSV holds, by the same reader as the program's. */
export function readPumps(csv: string, language: string): Promise<string> {
  return readTrace(JSON.stringify({ of: 'pumps', csv, language }));
}

/** A worker of its own for a logger's file: closing it stops whatever it does. */
export const logWay = (): WorkerWay => new WorkerWay(makeWorker, loadWasm);

export class Core {
  readonly name: WayName;
  readonly day: Line;
  readonly rest: Line;
  private readonly ways: Way[] = [];
  private parts: Way[] = [];

  /** `wait` is told while a server has too much to do. */
  constructor(wanted: WayName, private readonly wait: (waiting: boolean) => void) {
    this.name = wanted === 'server' && MAY_HAVE_SERVER ? 'server' : HAS_WASM ? 'worker' : 'server';
    this.ways = [this.way(), this.way()];
    this.day = new Line(this.ways[0]!);
    this.rest = new Line(this.ways[1]!);
  }

  private way(): Way {
    return this.name === 'server' ? new ServerWay('door', this.wait) : new SplitWay(makeWorker, loadFirst, loadWasm);
  }

  /** How many parts of a proof run at once. */
  static width(): number {
    return Math.max(1, Math.min(4, navigator.hardwareConcurrency || 2));
  }

  /** The ways for a proof, kept for the next one. */
  many(): Way[] {
    while (this.parts.length < Core.width()) this.parts.push(this.way());
    return this.parts;
  }

  /** As many more, for work that goes on beside everything else; who asked for them closes them. */
  own(): Way[] {
    return Array.from({ length: Core.width() }, () => this.way());
  }

  close(): void {
    for (const way of [...this.ways, ...this.parts]) way.close();
  }
}
