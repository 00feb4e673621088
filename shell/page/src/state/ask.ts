/* Asks the core again whenever something changes that an answer depends on. The day goes first and on its own line. */
import { DOOR_UNITS, type Answer, type Check, type Duty, type Faults, type SentenceNumber, type SettingsLine, type Problem, type Request, type Run, type Size } from '../core/door';
import { ServerTrouble } from '../core/way';
import { withValue } from '../sheet/edit';
import { readSheet, type Plain, type Sheet } from '../sheet/plain';
import { fillTraces, readTraces } from '../sheet/trace';
import { readTrace } from '../core/core';
import { core, setSheet, store, type State, type Trouble } from './job';

export const DAY_MS = 86400e3;
export const ONSET = '10 h';
export const ONSET_MS = 10 * 3600e3;

type Site = { [key: string]: Plain };

/** The site as the core is to have it: measured flows of files put in. */
export function siteForCore(state: State): Site | null {
  return state.sheet.site ? fillTraces(state.sheet.site, state.files) : null;
}

function dayRequest(site: Site, state: State): Request {
  return { do: 'run', site, units: DOOR_UNITS[state.units], text: false, samples: '5 min', entries: 1000, pressures: true, flows: true };
}

/* While somebody drags, only what is drawn: no day book, fewer samples between the events. */
function roughRequest(site: Site, state: State): Request {
  return { ...dayRequest(site, state), samples: '20 min', entries: 0 };
}

export function whatRequest(site: Site, state: State, trouble: Trouble): Request {
  const fault: { [key: string]: Plain } = { what: trouble.what, onset: ONSET };
  if (trouble.severity !== null) fault.severity = trouble.severity;
  if (trouble.at !== null) fault.at = trouble.at;
  const samples = trouble.days > 4 ? '1 h' : '5 min';
  return { ...dayRequest(site, state), samples, length: `${trouble.days} d`, faults: [fault] };
}

export function failed(problem: unknown): void {
  const why = String((problem as Error).message ?? problem);
  if (why === 'cancelled') return;
  store.set({ failure: { key: problem instanceof ServerTrouble ? `failure.${problem.kind}` : 'failure', why } });
}

/** The request, to be answered in the language of the page. */
export function spoken(request: Request): Request {
  return { ...request, language: store.get().language };
}

export async function put<T>(line: 'day' | 'rest', key: string, request: Request, take: (answer: Answer<T>) => void): Promise<void> {
  try {
    const text = await core()[line].ask(key, JSON.stringify(spoken(request)));
    if (text === null) return;
    if (store.get().failure) store.set({ failure: null });
    take(JSON.parse(text) as Answer<T>);
  } catch (problem) {
    if (key === 'size') sized = ''; // so that it can be asked again
    failed(problem);
  }
}

/* When the question behind the day that is shown was asked, or the hand moved; the charts measure when they have drawn. */
export const timing = { shown: 0 };

function dayOf(answer: Answer<Run>): Pick<State, 'dayProblems'> & Partial<State> {
  return answer.ok ? { day: answer, dayProblems: [] } : { dayProblems: answer.problems };
}

let settle: ReturnType<typeof setTimeout> | undefined;

function askDay(site: Site, state: State): void {
  const began = performance.now();
  clearTimeout(settle);
  void put<Run>('day', 'day', dayRequest(site, state), (answer) => {
    timing.shown = store.get().place === 'day' ? began : 0; // elsewhere it is not drawn
    store.set(dayOf(answer));
  });
}

/* A setting in somebody's hand: the core is asked at once; while it computes, the sheet is changed; then both are shown
 * together, drawn once. `inHand` is the last sheet that came about so. */
let inHand: Sheet | undefined;
let showing = false; // its day is there, or asked already
let waiting: { base: Sheet; sheet: Sheet; gesture: string } | undefined;

function show(step: NonNullable<typeof waiting>, found: Partial<State>): void {
  if (waiting === step) waiting = undefined;
  const now = store.get().sheet;
  if (now !== step.base && now !== inHand) return; // somebody changed something else meanwhile
  inHand = step.sheet;
  showing = true;
  setSheet(step.sheet, step.gesture, found);
  showing = false;
}

/** The sentence with its number dragged. The day follows in full when the hand rests for a moment. False: nothing changed. */
export function dragSentence(sentence: number, text: string, gesture: string): boolean {
  const began = performance.now();
  if (waiting && waiting.gesture !== gesture) letGo();
  const state = store.get();
  const site = siteForCore(state);
  if (!site || !Array.isArray(site.settings) || (!waiting && site.settings[sentence] === text)) return false;
  const settings = site.settings.map((other, i) => (i === sentence ? text : other));
  const asked = core().day.ask('day', JSON.stringify(spoken(roughRequest({ ...site, settings }, state))));
  clearTimeout(settle);
  settle = setTimeout(askDayAgain, 150);
  const step = { base: state.sheet, sheet: readSheet(withValue(state.sheet, ['settings', sentence], text)), gesture };
  waiting = step;
  asked.then((answer) => {
    if (answer === null) return; // a newer position of the hand took its place
    timing.shown = began;
    show(step, dayOf(JSON.parse(answer) as Answer<Run>));
  }).catch((problem) => {
    show(step, {});
    failed(problem);
  });
  return true;
}

/** What is in the hand counts now, whether its day is there or not. */
export function letGo(): void {
  if (waiting) show(waiting, {});
}

function askDayAgain(): void {
  letGo();
  const state = store.get();
  const site = siteForCore(state);
  if (site) askDay(site, state);
}

export function askWhat(state: State): void {
  const site = siteForCore(state);
  if (!site || !state.trouble) {
    store.set({ what: null });
    return;
  }
  void put<Run>('rest', 'what', whatRequest(site, state, state.trouble), (answer) => {
    if (answer.ok && store.get().trouble) store.set({ what: answer });
  });
}

/* What fits is computed twenty times over, to know what moves it: asked when all is at rest, never while a hand holds something. */
const REST_MS = 400;
let sizing: ReturnType<typeof setTimeout> | undefined;
let held = false;
let sized = ''; // the question that the answer shown belongs to

function askSize(): void {
  clearTimeout(sizing);
  sizing = setTimeout(() => {
    if (held) {
      askSize();
      return;
    }
    const state = store.get();
    const site = siteForCore(state);
    if (!site) return;
    const { units } = state;
    const request: Request = { do: 'size', site, units: DOOR_UNITS[units], length: '0 s', text: false };
    const question = state.way + state.language + JSON.stringify(request);
    if (question === sized) return;
    sized = question;
    void put<Size>('rest', 'size', request, (answer) => {
      if (question === sized) store.set({ size: { answer, units } });
    });
  }, REST_MS);
}

function watchHand(): void {
  addEventListener('pointerdown', () => { held = true; }, true);
  for (const name of ['pointerup', 'pointercancel']) addEventListener(name, () => { held = false; }, true);
  addEventListener('blur', (event) => { if (event.target === window) held = false; }); // of the window, not of what had the focus
}

let later: ReturnType<typeof setTimeout> | undefined;

function askRest(): void {
  const state = store.get();
  const site = siteForCore(state);
  if (!site) return;
  const units = DOOR_UNITS[state.units];
  void put<Check>('rest', 'check', { do: 'check', site, units, text: false }, (check) => store.set({ check }));
  void put<{ sentences: SettingsLine[] }>('rest', 'settings', { do: 'settings', site, units }, (settings) => store.set({ settings, settingsOf: state.sheet }));
  const sentences = Array.isArray(site.settings) ? site.settings.map(String) : [];
  void put<{ parameters: SentenceNumber[] }>('rest', 'numbers', { do: 'parameters', site, units, paths: ['settings'] }, (found) => {
    store.set({ numbers: found.ok ? { sentences, list: found.parameters } : null });
  });
  void put<Duty>('rest', 'duty', { do: 'duty', site, units, text: false }, (duty) => store.set({ duty }));
  void put<Faults>('rest', 'faults', { do: 'faults', site, units }, (faults) => store.set({ faults }));
}

/** Files of measured flows that are still to be read; null when there is nothing to wait for. */
export function filesToRead(state: State): Promise<void> | null {
  return state.sheet.site ? readTraces(state.sheet.site, state.files, readTrace) : null;
}

export function askAll(): void {
  const state = store.get();
  if (state.id === null) return; // the list of jobs asks nothing
  const reading = filesToRead(state);
  if (reading) { // with the files first: without them the core would only say that they are missing
    void reading.then(() => { if (store.get().sheet === state.sheet) askAll(); }).catch(failed);
    return;
  }
  const site = siteForCore(state);
  if (!site) return;
  if (!showing) askDay(site, state);
  if (state.trouble) askWhat(state);
  clearTimeout(later);
  later = setTimeout(askRest, state.check ? 120 : 0);
  askSize();
}

export interface Said extends Problem { paths: string }

/** The core's paths begin with the site; the card's do not. */
export const cardPath = (path: string): string => path.replace(/^site\.?/, '');

/** pumps[0].curve[1] stands within pumps[0]; pumps[01] does not. */
export function isWithin(path: string, outer: string): boolean {
  return path.startsWith(outer) && /^[.[]/.test(path.slice(outer.length));
}

/** All that the core finds wrong now, paths without "site." in front. */
export function problemsNow(state: State): Said[] {
  const found: Said[] = [];
  const seen = new Set<string>();
  for (const answer of [state.check, state.settings, state.duty]) {
    const list = answer ? (answer.ok ? answer.warnings : answer.problems) : [];
    for (const problem of list) {
      const paths = cardPath(problem.path).replace(/^sentences\[/, 'settings[');
      if (seen.has(paths + problem.words)) continue;
      seen.add(paths + problem.words);
      found.push({ ...problem, paths });
    }
  }
  return found;
}

export function watchJob(): void {
  watchHand();
  let last = store.get();
  store.on(() => {
    const now = store.get();
    const other = now.id !== last.id || now.sheet !== last.sheet || now.units !== last.units || now.language !== last.language || now.way !== last.way;
    const trouble = now.trouble !== last.trouble;
    last = now;
    if (other) askAll();
    else if (trouble) askWhat(now);
  });
  askAll();
}

/** One request of any kind, for reading sentences while they are built. */
export async function askOnce<T>(key: string, request: Request): Promise<Answer<T> | null> {
  const text = await core().rest.ask(key, JSON.stringify(spoken(request)));
  return text === null ? null : (JSON.parse(text) as Answer<T>);
}
