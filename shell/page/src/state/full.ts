/* Full checks, in the background: each belongs to a job and to the state that it had when it was asked for. It goes on while other
 * places, and other jobs, are used, and while the job is changed; when it is done it is kept with its job (kept.ts). One runs at a
 * time, on workers of its own; the others wait their turn. */
import { DOOR_UNITS, type Answer, type Proof, type Request } from '../core/door';
import { ProofWork, type Progress } from '../core/proof';
import { ServerTrouble } from '../core/way';
import { failed, filesToRead, siteForCore, spoken } from './ask';
import { core, nameOf, store, type State } from './job';
import { keepProof } from './jobs';
import { Store } from './store';

export const FULL = { years: 10, sweep: 48, horizon: '14 d', margins: true, propose: true } as const;
const PARTS = 48;

export interface FullCheck { id: string; name: string; sheet: string; progress: Progress | null }

/** `list`: the one that runs, then those that wait. `problem`: why the last one of a job found nothing. */
export const full = new Store<{ list: FullCheck[]; problem: { id: string; words: string } | null }>({ list: [], problem: null });

type Wanted = Pick<State, 'sheet' | 'files' | 'units' | 'language'> & { request: Request };
const wanted = new Map<FullCheck['id'], Wanted>();
let work: ProofWork | undefined;

const without = (id: string): FullCheck[] => full.get().list.filter((check) => check.id !== id);

/** The full check of a job, whether it runs or waits. */
export const fullOf = (list: FullCheck[], id: string | null): FullCheck | undefined => list.find((check) => check.id === id);

export function cancelFull(id: string): void {
  const runs = full.get().list[0]?.id === id;
  wanted.delete(id);
  full.set({ list: without(id) });
  if (runs) {
    work?.cancel();
    next();
  }
}

/** Ask for the full check of the job as it is now. One of the same job that still runs is for an older state: it ends. */
export async function proveFull(): Promise<void> {
  await filesToRead(store.get())?.catch(failed);
  const state = store.get();
  const { id, sheet, files, units, language } = state;
  const site = id === null ? null : siteForCore(state);
  if (id === null || !site) return;
  cancelFull(id);
  wanted.set(id, { sheet, files, units, language, request: spoken({ do: 'prove', site, units: DOOR_UNITS[units], ...FULL, html: true, text: false }) });
  full.set({ list: [...full.get().list, { id, name: nameOf({ sheet: sheet.text }), sheet: sheet.text, progress: null }], problem: null });
  if (full.get().list.length === 1) next();
}

function next(): void {
  const check = full.get().list[0];
  if (check) void run(check.id, wanted.get(check.id)!);
}

async function run(id: string, { request, sheet, files, units, language }: Wanted): Promise<void> {
  const ways = core().own();
  const own = new ProofWork(ways);
  work = own;
  const mine = (): boolean => work === own && full.get().list[0]?.id === id;
  const tell = (progress: Progress | null): void => {
    if (mine()) full.set({ list: full.get().list.map((check, i) => (i === 0 ? { ...check, progress } : check)) });
  };
  tell({ done: 0, parts: PARTS, left_s: null });
  let problem: string | null = null;
  try {
    const answer = JSON.parse(await own.run(request, PARTS, tell)) as Answer<Proof>;
    if (mine() && answer.ok) await keepProof(id, { when: Date.now(), sheet: sheet.text, files, units, language, answer, outcomes: own.outcomes });
    else if (!answer.ok) problem = answer.problems.map((one) => one.words).join(' ');
  } catch (trouble) {
    if (trouble instanceof ServerTrouble) failed(trouble);
    else problem = String((trouble as Error).message);
  }
  for (const way of ways) way.close();
  if (!mine()) return; // it was cancelled
  wanted.delete(id);
  full.set({ list: without(id), problem: problem === null ? null : { id, words: problem } });
  next();
}
