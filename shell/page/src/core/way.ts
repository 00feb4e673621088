/* Two ways to the same door: a worker with the core in WebAssembly, or the server that gave us this page. */

export interface Way {
  /** The answer's text. Rejects with "cancelled" after close(). */
  ask(request: string): Promise<string>;
  /** Stop at once, whatever is being computed. The next ask starts afresh. */
  close(): void;
}

export class Cancelled extends Error {
  constructor() { super('cancelled'); }
}

type Waiting = { resolve(answer: string): void; reject(problem: Error): void };

/** One worker, made when it is first needed. */
export class WorkerWay implements Way {
  private worker: Worker | undefined;
  private waiting = new Map<number, Waiting>();
  private next = 0;

  constructor(private readonly make: () => Worker, private readonly wasm: () => Promise<WebAssembly.Module>) {}

  /** `of`: which of the module's readers is asked; `bytes`: of a logger's file. */
  async ask(request: string, of: 'door' | 'trace' | 'log' = 'door', bytes?: Uint8Array): Promise<string> {
    const wasm = this.worker ? undefined : await this.wasm();
    const worker = this.worker ?? this.start(wasm as WebAssembly.Module);
    const id = ++this.next;
    return new Promise((resolve, reject) => {
      this.waiting.set(id, { resolve, reject });
      worker.postMessage(of === 'door' ? { id, request } : { id, request, of, bytes });
    });
  }

  private start(wasm: WebAssembly.Module): Worker {
    const worker = this.make();
    worker.onmessage = (event: MessageEvent<{ id: number; answer?: string; failed?: string }>) => {
      const { id, answer, failed } = event.data;
      const waiting = this.waiting.get(id);
      this.waiting.delete(id);
      if (answer !== undefined) waiting?.resolve(answer);
      else this.fail(new Error(failed), waiting);
    };
    worker.onerror = () => this.fail(new Error('worker'));
    worker.postMessage({ wasm });
    this.worker = worker;
    return worker;
  }

  /* After a trap the instance is not to be trusted any more: a new one next time. */
  private fail(problem: Error, first?: Waiting): void {
    first?.reject(problem);
    this.end(problem);
  }

  private end(problem: Error): void {
    this.worker?.terminate();
    this.worker = undefined;
    const left = [...this.waiting.values()];
    this.waiting.clear();
    for (const waiting of left) waiting.reject(problem);
  }

  close(): void {
    this.end(new Cancelled());
  }
}

/** The server cannot be reached, or has had too much to do for too long. */
export class ServerTrouble extends Error {
  constructor(readonly kind: 'gone' | 'busy') { super(kind); }
}

const WAIT_MOST_MS = 180e3;

/** POST door, same origin. `wait` is told when the server has too much to do, and when it no longer has. */
export class ServerWay implements Way {
  private stop = new AbortController();

  constructor(private readonly url: string, private readonly wait: (waiting: boolean) => void) {}

  async ask(request: string): Promise<string> {
    const stop = this.stop;
    const began = performance.now();
    let waited = false;
    try {
      let response = await this.post(request, stop.signal);
      while (response.status === 503) { // too much to do: again when it says
        if (performance.now() - began > WAIT_MOST_MS) throw new ServerTrouble('busy');
        if (!waited) this.wait(true);
        waited = true;
        await pause(retryAfter(response), stop.signal);
        response = await this.post(request, stop.signal);
      }
      if (!response.ok) throw new Error(`server: ${response.status}`);
      return await response.text();
    } catch (problem) {
      if (stop.signal.aborted) throw new Cancelled();
      throw problem instanceof TypeError ? new ServerTrouble('gone') : problem; // fetch says so when nobody answers
    } finally {
      if (waited) this.wait(false);
    }
  }

  private post(request: string, signal: AbortSignal): Promise<Response> {
    return fetch(this.url, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: request, signal });
  }

  close(): void {
    this.stop.abort();
    this.stop = new AbortController();
  }
}

/* In ms; the server says whole seconds. */
function retryAfter(response: Response): number {
  const seconds = Number(response.headers.get('Retry-After'));
  return 1e3 * Math.min(30, seconds >= 1 ? seconds : 1);
}

function pause(ms: number, signal: AbortSignal): Promise<void> {
  return new Promise((done, fail) => {
    const timer = setTimeout(done, ms);
    signal.addEventListener('abort', () => {
      clearTimeout(timer);
      fail(new Cancelled());
    }, { once: true });
  });
}
