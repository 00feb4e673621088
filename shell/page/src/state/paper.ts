/* The papers are the core's: the short one and the whole hand-over are selections of one document, the same as the program prints. They are
 * asked for while somebody looks at them, with the outcomes of the proof that is there. */
import { DOOR_UNITS, type Answer, type Request } from '../core/door';
import { assumedIn } from '../sheet/assumed';
import type { Plain } from '../sheet/plain';
import { put, siteForCore } from './ask';
import { store, type State } from './job';
import { FULL } from './full';
import { QUICK } from './prove';
import { Store } from './store';

export type PaperKind = 'short' | 'whole';

/** `html`: of the paper that is shown; `fresh`: it is that of the job as it stands. */
export interface PaperState { kind: PaperKind; html: string | null; fresh: boolean; problem: string | null }
export const paper = new Store<PaperState>({ kind: 'short', html: null, fresh: false, problem: null });

/** How a value that nobody measured is told; given by what knows the words of the page. */
type TellTaken = (state: State) => string[];

export const dateText = (iso: string | undefined, language: string): string => {
  const date = iso ? new Date(`${iso}T12:00`) : new Date();
  return date.toLocaleDateString(language === 'de' ? 'de-DE' : 'en-GB', { day: 'numeric', month: 'long', year: 'numeric' });
};

const proofIsFresh = ({ proof, sheet, units }: State): boolean => proof.answer !== null && proof.sheet === sheet.text && proof.units === units;

/* Of the proof that was made, with the options that it was made by. */
function proofOf({ proof }: State): { [key: string]: Plain } {
  if (!proof.outcomes) return {};
  const made: { [key: string]: Plain } = { ...(proof.state === 'full' ? FULL : QUICK), outcomes: proof.outcomes.first };
  if (proof.outcomes.again) made['outcomes again'] = proof.outcomes.again;
  return made;
}

function requestOf(state: State, kind: PaperKind, tell: TellTaken): Request | null {
  const site = siteForCore(state);
  if (!site) return null;
  const { about, language, photos, units } = state;
  return {
    do: 'handover', site, units: DOOR_UNITS[units], short: kind === 'short', html: true, text: false, ...proofOf(state),
    owner: about.customer ?? '', address: about.address ?? '', installer: about.installer ?? '', call: about.call ?? '', date: dateText(about.date, language),
    found: (about.found ?? '').split('\n').filter(Boolean), assumed: assumedIn(state.sheet).length > 0 ? tell(state) : [],
    photos: photos.filter((photo) => photo.printed).map((photo) => ({ words: photo.words, picture: photo.data })),
  };
}

interface Handover { html: string }

/* What a paper depends on: another one of these, and it is asked for again. */
const parts = (state: State): unknown[] => [state.id, state.sheet, state.files, state.about, state.photos, state.proof.outcomes, state.units, state.language, state.way];

export function watchPaper(tell: TellTaken): void {
  let asked: unknown[] = [];
  let later: ReturnType<typeof setTimeout> | undefined;
  const ask = (): void => {
    const state = store.get(), { kind } = paper.get();
    const request = requestOf(state, kind, tell);
    if (!request) return;
    const mine = asked;
    void put<Handover>('rest', 'handover', request, (answer: Answer<Handover>) => {
      if (mine !== asked) return;
      if (answer.ok) paper.set({ html: answer.html, fresh: true, problem: null });
      else paper.set({ problem: answer.problems.map((problem) => problem.words).join(' ') });
    });
  };
  const look = (): void => {
    const state = store.get(), { kind, fresh } = paper.get();
    if (state.id === null || state.place !== 'papers') return;
    const waits = !proofIsFresh(state) && state.proof.problem === null; // a proof of this sheet is on its way
    const now = [...parts(state), kind, waits];
    if (now.length === asked.length && now.every((part, i) => part === asked[i])) return;
    asked = now;
    if (fresh) paper.set({ fresh: false });
    clearTimeout(later);
    if (!waits) later = setTimeout(ask, 120);
  };
  store.on(look);
  paper.on(look);
}
