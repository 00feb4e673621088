/* The two proofs: a quick one whenever the job stands still for a moment, a full one when it is asked for. */
import { DOOR_UNITS, type Answer, type Proof, type Request } from '../core/door';
import { ProofWork } from '../core/proof';
import { ServerTrouble } from '../core/way';
import { failed, filesToRead, ONSET, siteForCore, spoken } from './ask';
import { withSentences } from '../sheet/edit';
import { core, NO_PROOF, setText, store } from './job';

/* From ten o'clock of the first day, as under "What if": the healthy day and a half before it is most of a short proof. */
// A first look: margins and the list to type wait for the full proof.
export const QUICK = { years: 1, sweep: 12, horizon: '1 d', onset: ONSET, margins: false, propose: false } as const;
export const FULL = { years: 10, sweep: 48, horizon: '14 d', margins: true, propose: true } as const;
export const QUICK_PARTS = 10;
const FULL_PARTS = 48;

let work: ProofWork | undefined;
let token = 0;

let quickLater: ReturnType<typeof setTimeout> | undefined;

export function cancelProof(): void {
  clearTimeout(quickLater);
  token++;
  work?.cancel();
  work = undefined;
  const { proof } = store.get();
  if (proof.progress) store.set({ proof: { ...(proof.answer ? proof : NO_PROOF), progress: null } });
}

/** Returns the answer's text, for tests; null when it was cancelled or refused. */
export async function prove(kind: 'quick' | 'full'): Promise<string | null> {
  cancelProof();
  const mine = ++token;
  await filesToRead(store.get())?.catch(failed);
  if (mine !== token) return null;
  const state = store.get();
  const site = state.id === null ? null : siteForCore(state);
  if (!site) return null;
  const request: Request = spoken({ do: 'prove', site, units: DOOR_UNITS[state.units], ...(kind === 'quick' ? QUICK : FULL), html: kind === 'full' });
  const sheet = state.sheet.text;
  const parts = kind === 'quick' ? QUICK_PARTS : FULL_PARTS;
  const mineStill = (): boolean => mine === token;
  store.set({ proof: { ...state.proof, progress: { done: 0, parts, left_s: null }, problem: null } });
  const own = new ProofWork(core().many());
  work = own;
  try {
    const text = await own.run(request, parts, (progress) => {
      if (mineStill()) store.set({ proof: { ...store.get().proof, progress } });
    });
    if (!mineStill()) return null;
    const answer = JSON.parse(text) as Answer<Proof>;
    if (answer.ok) store.set({ proof: { state: kind, answer, outcomes: own.outcomes, sheet, units: state.units, progress: null, problem: null } });
    else store.set({ proof: { ...NO_PROOF, problem: answer.problems.map((problem) => problem.words).join(' ') } });
    return answer.ok ? text : null;
  } catch (problem) {
    if (problem instanceof ServerTrouble) {
      if (mineStill()) store.set({ proof: { ...NO_PROOF } });
      failed(problem);
    } else if (mineStill() && (problem as Error).message !== 'cancelled') {
      store.set({ proof: { ...NO_PROOF, problem: String((problem as Error).message) } });
    }
    return null;
  }
}

/** The proposed list as the settings, in one step that undo takes back. */
export function adopt(sentences: { words: string; was: number | null; differs: boolean }[]): void {
  setText(withSentences(store.get().sheet, sentences));
}

/** A quick proof a moment after each change. */
export function watchProof(): void {
  let last = store.get();
  const soon = (wait: number): void => {
    clearTimeout(quickLater);
    quickLater = setTimeout(() => void prove('quick'), wait);
  };
  store.on(() => {
    const now = store.get();
    const other = now.id !== last.id || now.sheet !== last.sheet || now.units !== last.units || now.language !== last.language || now.way !== last.way;
    last = now;
    if (!other) return;
    if (now.id === null) {
      cancelProof();
      return;
    }
    cancelProof(); // also a full one: it is for another sheet now
    if (now.sheet.site) soon(150);
  });
  soon(900);
}
