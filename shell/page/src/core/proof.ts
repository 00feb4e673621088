/* A proof is a list of independent jobs (docs/door.md). Its parts go to several workers; when all are back the core
 * assembles them, and the answer is the same, byte for byte, as that of one request. */
import type { Answer, Request } from './door';
import type { Plain } from '../sheet/plain';
import { Cancelled, type Way } from './way';

export interface Progress { done: number; parts: number; left_s: number | null }

/** All outcomes of a proof, as its parts told them: what the core assembles papers from. `again`: under the list that would be typed. */
export interface Outcomes { first: Plain[]; again: Plain[] | null }

export class ProofWork {
  private stopped = false;
  outcomes: Outcomes | null = null;

  constructor(private readonly ways: Way[]) {}

  cancel(): void {
    this.stopped = true;
    for (const way of this.ways) way.close();
  }

  /** The answer's text, also when the core refuses. Throws Cancelled. `again`: parts of the second time, each of which is handed all
   * outcomes of the first: few where those are large. */
  async run(request: Request, parts: number, tell: (progress: Progress) => void, again = parts): Promise<string> {
    const began = performance.now();
    // what is proposed is proved, too, and advice is tried at work: the same parts once more
    const both = request.propose !== false && request.check !== false;
    const all = both ? parts + again : parts;
    let done = 0;
    const step = (): void => {
      done++;
      const spent = (performance.now() - began) / 1000;
      tell({ done, parts: all, left_s: done < this.ways.length ? null : (spent / done) * (all - done) });
    };
    const first = await this.share(request, parts, step);
    if (typeof first === 'string') return first;
    this.outcomes = { first, again: null };
    if (!both) return this.ways[0]!.ask(JSON.stringify({ ...request, outcomes: first }));
    const second = await this.share({ ...request, outcomes: first }, again, step);
    if (typeof second === 'string') return second;
    this.outcomes = { first, again: second };
    return this.ways[0]!.ask(JSON.stringify({ ...request, outcomes: first, 'outcomes again': second }));
  }

  /* The parts of one request over the ways: all outcomes, or the text in which the core refuses. */
  private async share(request: Request, parts: number, step: () => void): Promise<Plain[] | string> {
    const outcomes: Plain[] = [];
    let next = 0;
    let refused: string | undefined;
    const work = async (way: Way): Promise<void> => {
      while (next < parts && refused === undefined && !this.stopped) {
        const part = next++;
        const text = await way.ask(JSON.stringify({ ...request, part: [part, parts] }));
        const answer = JSON.parse(text) as Answer<{ outcomes: Plain[] }>;
        if (!answer.ok) {
          refused ??= text;
          return;
        }
        outcomes.push(...answer.outcomes);
        step();
      }
    };
    try {
      await Promise.all(this.ways.map(work));
    } catch (problem) {
      this.cancel();
      throw problem;
    }
    if (this.stopped) throw new Cancelled();
    if (refused !== undefined) return refused;
    return outcomes;
  }
}
