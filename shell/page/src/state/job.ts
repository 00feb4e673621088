/* The job: what somebody works on, and what the page knows about it. Everything that undo brings back is in `job`. */
import type { Answer, Check, Duty, Faults, SettingsLine, Problem, Proof, Run, Size, Units } from '../core/door';
import { Core, type WayName } from '../core/core';
import type { Outcomes, Progress } from '../core/proof';
import { readSheet, type Path, type Plain, type Sheet } from '../sheet/plain';
import { asKind } from '../sheet/kinds';
import { asReal, settled, withoutMark } from '../sheet/assumed';
import { modern, withItem, withMap, withMoved, withName, withValue } from '../sheet/edit';
import type { Numbers } from '../sheet/settings';
import { STARTS } from '../sheet/starts';
import type { JobRecord, Left, Point } from './keep';
import type { KeptProof } from './kept';
import type { Photo } from './photos';
import type { StretchName } from './place';
import { Store } from './store';

export interface Trouble { what: string; severity: string | null; at: string | null; days: number }

export type Light = 'auto' | 'light' | 'dark';
export type DialogName = 'sheet-box' | 'job';
export type Language = 'en' | 'de';

/** A job as it is kept and exported. `about`: what stands on the papers besides the sheet. */
export interface Job { sheet: string; trouble: Trouble | null; files: Record<string, string>; about: Record<string, string> }

export interface ProofState {
  state: 'none' | 'quick' | 'full';
  answer: Proof | null;
  outcomes: Outcomes | null;
  /** Text of the sheet that was proven: another one makes the proof stale. */
  sheet: string;
  units: Units;
  progress: Progress | null;
  problem: string | null;
}

export interface State {
  sheet: Sheet;
  trouble: Trouble | null;
  /** Measured flows that somebody gave to the job: name as in the sheet, text of the CSV file. */
  files: Record<string, string>;
  /** For the papers: customer, address, installer, date; settings as they were found. */
  about: Record<string, string>;
  past: Job[];
  future: Job[];
  units: Units;
  light: Light;
  language: Language;
  way: WayName;
  saved: 'none' | 'saving' | 'saved' | 'cannot';
  offline: 'unknown' | 'ready' | 'newer';
  check: Answer<Check> | null;
  duty: Answer<Duty> | null;
  /** What fits, and the units of its words. */
  size: { answer: Answer<Size>; units: Units } | null;
  settings: Answer<{ sentences: SettingsLine[] }> | null;
  /** Numbers of the sentences. */
  numbers: Numbers | null;
  /** The sheet that `settings` was answered for. */
  settingsOf: Sheet | null;
  faults: Answer<Faults> | null;
  day: Run | null;
  dayProblems: Problem[];
  what: Run | null;
  proof: ProofState;
  /** The moment that is looked at: which simulation, and when (ms). */
  t_ms: number;
  looking: 'day' | 'what';
  playing: boolean;
  failure: { key: 'failure' | 'failure.gone' | 'failure.busy'; why: string } | null;
  /** The server that computes has too much to do; the question is asked again. */
  waiting: boolean;
  dialog: DialogName | null;
  /** The job that is open; null: the list of jobs is shown. */
  id: string | null;
  jobs: JobRecord[];
  /** The job deleted last, to be had back. */
  deleted: { record: JobRecord; proofs: KeptProof[] } | null;
  /** States of this job that somebody gave a name. */
  points: Point[];
  photos: Photo[];
  /** Full checks of this job, the newest first. */
  kept: KeptProof[];
  left: Left | null;
  /** Another tab has written this job: it has a newer state, or both were changed and this one became a copy. */
  elsewhere: 'newer' | 'copied' | null;
  /** The page was opened with a link that holds no job. */
  badLink: boolean;
  /** A new job is begun by questions (state/begin.ts). */
  asking: boolean;
  place: StretchName;
  /** What undo or redo has just changed, in words. */
  stepped: string | null;
  /** The job came with words of an earlier version, which were changed. */
  renewed: boolean;
}

export const NO_PROOF: ProofState = { state: 'none', answer: null, outcomes: null, sheet: '', units: 'metric', progress: null, problem: null };

export const store = new Store<State>({
  sheet: readSheet(STARTS[0]!.text), trouble: null, files: {}, about: {}, past: [], future: [], units: 'metric', light: 'auto', language: 'en',
  way: 'worker', saved: 'none', offline: 'unknown', check: null, duty: null, size: null, settings: null, numbers: null, settingsOf: null, faults: null, day: null, dayProblems: [],
  what: null, proof: NO_PROOF, t_ms: 8 * 3600e3, looking: 'day', playing: false, failure: null, waiting: false, dialog: null, id: null, jobs: [], deleted: null, points: [], photos: [], kept: [], left: null, elsewhere: null, badLink: false, asking: false, stepped: null, place: 'site', renewed: false,
});

let made: Core | undefined;

export function core(): Core {
  const { way } = store.get();
  if (made && made.name !== way) {
    made.close();
    made = undefined;
  }
  if (!made) {
    let waiting = 0;
    made = new Core(way, (waits) => {
      waiting += waits ? 1 : -1;
      store.set({ waiting: waiting > 0 });
    });
    if (made.name !== way) store.set({ way: made.name });
  }
  return made;
}

const MOST_STEPS = 200;

export const nameOf = (job: { sheet: string }): string => String(readSheet(job.sheet).site?.site ?? '');

export function jobOf(state: State): Job {
  return { sheet: state.sheet.text, trouble: state.trouble, files: state.files, about: state.about };
}

let gesture: string | undefined; // steps of one gesture (a drag) undo together
let gestureEnds: ReturnType<typeof setTimeout> | undefined;

function remember(state: State, name?: string): Pick<State, 'past' | 'future'> {
  const same = name !== undefined && name === gesture;
  gesture = name;
  clearTimeout(gestureEnds);
  if (name !== undefined) gestureEnds = setTimeout(() => { gesture = undefined; }, 1200);
  return { past: same ? state.past : [...state.past, jobOf(state)].slice(-MOST_STEPS), future: [] };
}

/** The job in the words of today; `renewed` tells that some were of an earlier version. */
export function taken(job: Job): { sheet: Sheet; renewed: boolean } {
  const text = modern(job.sheet);
  return { sheet: readSheet(text), renewed: text !== job.sheet };
}

/** Take a new text. `name` names a gesture: changes of the same gesture are one step back. */
export function setText(text: string, name?: string): void {
  const state = store.get();
  if (text === state.sheet.text) return;
  const today = modern(text);
  store.set({ ...remember(state, name), stepped: null, sheet: readSheet(settled(today, state.sheet)), renewed: today !== text });
}

/** Take a sheet that is read already, together with what was found for it. */
export function setSheet(sheet: Sheet, name: string, found: Partial<State>): void {
  store.set({ ...remember(store.get(), name), stepped: null, ...found, sheet });
}

export function setTrouble(trouble: Trouble | null, name?: string): void {
  const state = store.get();
  if (JSON.stringify(trouble) === JSON.stringify(state.trouble)) return;
  store.set({ ...remember(state, name), trouble });
}

/** An earlier state that was given a name, as one step that undo takes back. */
export function backTo(job: Job): void {
  const state = store.get();
  gesture = undefined;
  store.set({ ...remember(state), ...taken(job), trouble: job.trouble, files: job.files, about: job.about ?? {} });
}

function restore(job: Job, past: Job[], future: Job[]): void {
  gesture = undefined;
  store.set({ ...taken(job), trouble: job.trouble, files: job.files, about: job.about ?? {}, past, future });
}

export function undo(): void {
  const state = store.get();
  const job = state.past[state.past.length - 1];
  if (job) restore(job, state.past.slice(0, -1), [jobOf(state), ...state.future]);
}

export function redo(): void {
  const state = store.get();
  const job = state.future[0];
  if (job) restore(job, [...state.past, jobOf(state)], state.future.slice(1));
}

export function setAbout(change: Record<string, string>): void {
  const state = store.get();
  store.set({ ...remember(state), about: { ...state.about, ...change } });
}

export function setFile(name: string, text: string): void {
  const state = store.get();
  store.set({ ...remember(state), files: { ...state.files, [name]: text }, sheet: readSheet(state.sheet.text) });
}

/** Names of the items of a list; with `.at` behind it, the places where they stand. */
export function namesOf(site: Sheet['site'], list: string): string[] {
  const [id, key = 'name'] = list.split('.');
  const items = site?.[id!];
  return Array.isArray(items) ? items.flatMap((item) => {
    const name = (item as { [key: string]: Plain } | null)?.[key];
    return typeof name === 'string' ? [name] : [];
  }) : [];
}

export const edit = {
  kind: (group: string, index: number, kind: string): void => {
    const { sheet } = store.get();
    const list = sheet.site?.[group];
    const item = Array.isArray(list) ? list[index] as { [key: string]: Plain } : {};
    setText(withMap(sheet, [group, index], asKind(group, item, kind, (name) => namesOf(sheet.site, name))));
  },
  value: (path: Path, value: Plain | undefined, name?: string): void => setText(withValue(store.get().sheet, path, value), name),
  add: (list: Path, item: Plain, at?: number): void => setText(withItem(store.get().sheet, list, item, at)),
  /** An assumed value is so. */
  confirm: (path: Path): void => setText(withoutMark(store.get().sheet, path)),
  real: (): void => setText(asReal(store.get().sheet)),
  remove: (path: Path): void => setText(withValue(store.get().sheet, path, undefined)),
  move: (list: Path, from: number, to: number): void => setText(withMoved(store.get().sheet, list, from, to)),
  name: (list: string, index: number, name: string): void => setText(withName(store.get().sheet, list, index, name)),
};
