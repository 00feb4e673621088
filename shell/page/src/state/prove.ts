/* The quick proof, a moment after each change of the job. The full one is asked for (full.ts); one that was kept for the job as it is
 * now takes the place of the quick one. */
import { DOOR_UNITS, type Answer, type Proof, type Request } from '../core/door';
import { ProofWork } from '../core/proof';
import { ServerTrouble } from '../core/way';
import { failed, filesToRead, ONSET, siteForCore, spoken } from './ask';
import { withSentences } from '../sheet/edit';
import { core, NO_PROOF, setText, store, type ProofState } from './job';
import { keptOf, type KeptProof } from './kept';

/* From ten o'clock of the first day, as under "What if": the healthy day and a half before it is most of a short proof. */
// A first look: margins and the list to type wait for the full proof.
export const QUICK = { years: 1, sweep: 12, horizon: '1 d', onset: ONSET, margins: false, propose: false } as const;
const PARTS = 10;

let work: ProofWork | undefined;
let token = 0;

let quickLater: ReturnType<typeof setTimeout> | undefined;

export function cancelQuick(): void {
  clearTimeout(quickLater);
  token++;
  work?.cancel();
  work = undefined;
  const { proof } = store.get();
  if (proof.progress) store.set({ proof: { ...(proof.answer ? proof : NO_PROOF), progress: null } });
}

async function proveQuickly(): Promise<void> {
  cancelQuick();
  const mine = ++token;
  await filesToRead(store.get())?.catch(failed);
  if (mine !== token) return;
  const state = store.get();
  const site = state.id === null ? null : siteForCore(state);
  if (!site) return;
  const request: Request = spoken({ do: 'prove', site, units: DOOR_UNITS[state.units], ...QUICK, html: false, text: false });
  const sheet = state.sheet.text;
  const mineStill = (): boolean => mine === token;
  store.set({ proof: { ...state.proof, progress: { done: 0, parts: PARTS, left_s: null }, problem: null } });
  const own = new ProofWork(core().many());
  work = own;
  try {
    const text = await own.run(request, PARTS, (progress) => {
      if (mineStill()) store.set({ proof: { ...store.get().proof, progress } });
    });
    if (!mineStill()) return;
    const answer = JSON.parse(text) as Answer<Proof>;
    if (answer.ok) store.set({ proof: { state: 'quick', answer, outcomes: own.outcomes, sheet, units: state.units, progress: null, problem: null } });
    else store.set({ proof: { ...NO_PROOF, problem: answer.problems.map((problem) => problem.words).join(' ') } });
  } catch (problem) {
    if (problem instanceof ServerTrouble) {
      if (mineStill()) store.set({ proof: { ...NO_PROOF } });
      failed(problem);
    } else if (mineStill() && (problem as Error).message !== 'cancelled') {
      store.set({ proof: { ...NO_PROOF, problem: String((problem as Error).message) } });
    }
  }
}

const shown = (kept: KeptProof): ProofState => ({ state: 'full', answer: kept.answer, outcomes: kept.outcomes, sheet: kept.sheet, units: kept.units, progress: null, problem: null });

/** The proposed list as the settings, in one step that undo takes back. */
export function adopt(sentences: { words: string; was: number | null; differs: boolean }[]): void {
  setText(withSentences(store.get().sheet, sentences));
}

/** A quick proof a moment after each change, unless the job as it is now has a full one already. */
export function watchProof(): void {
  let last = store.get();
  const look = (wait: number): void => {
    const now = store.get();
    cancelQuick();
    const kept = now.id === null ? undefined : keptOf(now.kept, now);
    if (kept) store.set({ proof: shown(kept) });
    else if (now.id !== null && now.sheet.site) quickLater = setTimeout(() => void proveQuickly(), wait);
  };
  store.on(() => {
    const now = store.get();
    const other = now.id !== last.id || now.sheet !== last.sheet || now.files !== last.files || now.units !== last.units
      || now.language !== last.language || now.way !== last.way;
    const kept = now.kept !== last.kept && now.id !== null && keptOf(now.kept, now) !== undefined;
    last = now;
    if (other || kept) look(150);
  });
  look(900);
}
