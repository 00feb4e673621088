/* The core comes in two modules: a first one with what a first verdict in English needs, and the whole one. Both give the same bytes for what the first
 * one knows (tools/wasm.sh, tests/page/core.test.mjs); the whole one is fetched when something else is asked. */
import { Cancelled, WorkerWay, type Way } from './way';

declare const __FIRST__: string[];

const FIRST = new RegExp(`"do":"(${__FIRST__.join('|')})"`);
const ENGLISH = /"language":"en"/;
const PLAIN = /"text":false/;           // papers are not in it: of those who write one it is said that none is wanted
const NO_PAPER = /"do":"(settings|parameters|faults)"/;
const PICTURE = /"(html|svg|document)":true/;

/** May the first module answer this? */
export const isFirst = (request: string): boolean => FIRST.test(request) && ENGLISH.test(request) && (PLAIN.test(request) || NO_PAPER.test(request))
  && !PICTURE.test(request);

export class SplitWay implements Way {
  private first: WorkerWay | undefined;
  private readonly whole: WorkerWay;
  private grown = false;

  constructor(make: () => Worker, first: (() => Promise<WebAssembly.Module>) | null, whole: () => Promise<WebAssembly.Module>) {
    this.first = first ? new WorkerWay(make, first) : undefined;
    this.whole = new WorkerWay(make, whole);
  }

  async ask(request: string): Promise<string> {
    if (this.first && !this.grown && isFirst(request)) {
      try {
        return await this.first.ask(request);
      } catch (problem) {
        if (problem instanceof Cancelled) throw problem; // else the whole one knows better, or fails for itself
      }
    }
    this.grown = true; // one worker is enough: from now on all goes to the whole module
    const answer = this.whole.ask(request);
    this.first?.close();
    return answer;
  }

  close(): void {
    this.first?.close();
    this.whole.close();
  }
}
