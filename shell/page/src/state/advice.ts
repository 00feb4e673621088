/* Advice on the watches: asked for when somebody wants it, in parts over the workers, with progress and a way to stop. It is kept
 * for the job that is open, and told when it is for another state of it. */
import { DOOR_UNITS, type Advice, type Answer, type Request, type Units } from '../core/door';
import { Core } from '../core/core';
import { ProofWork, type Progress } from '../core/proof';
import { failed, filesToRead, siteForCore, spoken } from './ask';
import { core, store } from './job';
import { Store } from './store';

/** What somebody asked for; texts as the door reads them. */
export interface Wanted { years: number; most: string; water: string; callOut: string; pump: string; able: string[] | null; keep: string[] }
export const WANTED: Wanted = { years: 10, most: '1 in 2 years', water: '2', callOut: '200', pump: '1500', able: null, keep: [] };

export interface AdviceState {
  wanted: Wanted;
  answer: Advice | null;
  /** Of the sheet and the units that it is for. */
  sheet: string;
  units: Units;
  progress: Progress | null;
  problem: string | null;
  /** The point of the trade-off that is looked at; null: what is advised. */
  point: number | null;
}

const NONE: AdviceState = { wanted: WANTED, answer: null, sheet: '', units: 'metric', progress: null, problem: null, point: null };
export const advice = new Store<AdviceState>(NONE);

const PARTS = 24;
let work: ProofWork | undefined;
let token = 0;

export function cancelAdvice(): void {
  token++;
  work?.cancel();
  work = undefined;
  if (advice.get().progress) advice.set({ progress: null });
}

function requestOf(): Request | null {
  const state = store.get();
  const site = siteForCore(state);
  if (!site) return null;
  const { wanted } = advice.get();
  return spoken({
    do: 'advise', site, units: DOOR_UNITS[state.units], years: wanted.years, 'at most': wanted.most, 'water price': Number(wanted.water),
    'call-out price': Number(wanted.callOut), 'pump price': Number(wanted.pump), ...(wanted.able ? { able: wanted.able } : {}),
    ...(wanted.keep.length > 0 ? { keep: wanted.keep } : {}),
  });
}

export async function advise(): Promise<void> {
  cancelAdvice();
  const mine = ++token;
  await filesToRead(store.get())?.catch(failed);
  const request = requestOf();
  if (mine !== token || !request) return;
  const { sheet, units } = store.get();
  advice.set({ progress: { done: 0, parts: PARTS + Core.width(), left_s: null }, problem: null });
  const own = new ProofWork(core().many());
  work = own;
  try {
    const text = await own.run(request, PARTS, (progress) => { if (mine === token) advice.set({ progress }); }, Core.width());
    if (mine !== token) return;
    const answer = JSON.parse(text) as Answer<Advice>;
    if (answer.ok) advice.set({ answer, sheet: sheet.text, units, point: null, progress: null });
    else advice.set({ problem: answer.problems.map((problem) => problem.words).join(' '), progress: null });
  } catch (problem) {
    if (mine !== token) return;
    const why = String((problem as Error).message);
    advice.set({ progress: null, problem: why === 'cancelled' ? null : why });
  }
}

/* Another job: nothing of this one stays. The quick proof of each change uses the same workers, so a change stops the search. */
let id = store.get().id;
let sheet = store.get().sheet;
store.on(() => {
  const now = store.get();
  if (now.id !== id) {
    cancelAdvice();
    advice.set(NONE);
  } else if (now.sheet !== sheet && advice.get().progress) {
    cancelAdvice();
  }
  id = now.id;
  sheet = now.sheet;
});
