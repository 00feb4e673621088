/* Beginning a job by questions: what was answered so far, what the core says of it, and the pump that it asks for. */
import { readPumps } from '../core/core';
import { DOOR_UNITS, type Check, type Problem, type Size } from '../core/door';
import { say } from '../i18n/words';
import { EMPTY, FORM, sheetOf, type Answers, type CataloguePump, type Names } from '../sheet/begin';
import { readSheet } from '../sheet/plain';
import { askOnce, cardPath, failed } from './ask';
import { store } from './job';
import { addJob } from './jobs';
import { putBegun, takeBegun } from './keep';
import { Store } from './store';

export interface Asking {
  answers: Answers;
  step: number;
  /** What the core refuses in the site as it is answered now; null: not known yet. */
  problems: Problem[] | null;
  /** Pumps of the file that was opened, to choose from; words when it cannot be read. */
  catalogue: CataloguePump[];
  bad: string;
}

const BEGIN: Asking = { answers: EMPTY, step: 0, problems: null, catalogue: [], bad: '' };

export const asking = new Store<Asking>(BEGIN);

/** The names in the language of the page. */
export function namesNow(): Names {
  const t = say(store.get().language);
  return {
    site: t('begin.name.site'), bore: t('begin.name.bore'), open: t('begin.name.open'), mains: t('begin.name.mains'), outlet: t('begin.name.outlet'),
    vessel: t('begin.name.vessel'), tank: t('begin.name.tank'), pump: t('begin.name.pump'), rise: t('begin.name.rise'), line: t('begin.name.line'),
    house: t('begin.name.house'), garden: t('begin.name.garden'), stock: t('begin.name.stock'), pressure: t('begin.name.pressure'), level: t('begin.name.level'),
    at: t('begin.name.at'),
  };
}

export const draft = (): string => sheetOf(asking.get().answers, namesNow());

export function change(part: Partial<Answers>): void {
  asking.set({ answers: { ...asking.get().answers, ...part }, problems: null });
  soon();
}

/** A value typed, or (undefined) the start again. */
export function give(id: string, text: string | undefined): void {
  const given = { ...asking.get().answers.given };
  if (text === undefined) delete given[id];
  else given[id] = text;
  change({ given });
}

/* Answers are kept as they are given, so that a reload, a phone that closes the page or a wrong "back" costs nothing. */
interface Begun { version: 1; answers: Answers; step: number; catalogue: CataloguePump[] }

function keepAnswers(): void {
  const { answers, step, catalogue } = asking.get();
  const begun: Begun | undefined = answers === EMPTY && step === 0 ? undefined : { version: 1, answers, step, catalogue };
  void putBegun(begun).catch(() => undefined); // a browser that keeps nothing says so elsewhere
}

let keeping: (() => void) | undefined;

/** The questions are shown: with the answers that were given before, if there are any. */
export async function beginOrGoOn(): Promise<void> {
  keeping?.();
  asking.set(BEGIN);
  const begun = await takeBegun<Begun>().catch(() => undefined);
  const untouched = asking.get().answers === EMPTY && asking.get().step === 0;
  if (begun?.version === 1 && untouched) asking.set({ answers: begun.answers, step: begun.step, catalogue: begun.catalogue });
  keeping = asking.on(keepAnswers);
  keepAnswers();
  soon();
}

/** All answers away. */
export function beginAnew(): void {
  asking.set(BEGIN);
  soon();
}

let later: ReturnType<typeof setTimeout> | undefined;

function soon(): void {
  clearTimeout(later);
  later = setTimeout(() => void look().catch(failed), 250);
}

/* What the core says of the site. While nobody has typed a head, the pump is the one that the site asks for: found in at most
 * three rounds, since its motor follows from its curve. */
async function look(round = 0): Promise<void> {
  const { answers } = asking.get();
  const { units } = store.get();
  const site = readSheet(draft()).site!;
  const check = await askOnce<Check>('begin', { do: 'check', site, units: DOOR_UNITS[units], text: false });
  if (!check || asking.get().answers !== answers) return;
  asking.set({ problems: check.ok ? [] : check.problems.map((problem) => ({ ...problem, path: cardPath(problem.path) })) });
  if (!check.ok || answers.pump || round > 2) return;
  const size = await askOnce<Size>('begin-size', { do: 'size', site, units: DOOR_UNITS[units], length: '0 s', sensitivity: false, text: false });
  if (!size?.ok || asking.get().answers !== answers) return;
  const suggested = suggest(size, answers);
  if (!suggested || JSON.stringify(suggested) === JSON.stringify(answers.suggested)) return;
  asking.set({ answers: { ...answers, suggested } });
  await look(round + 1);
}

/* Rated powers of motors, kW (common practice, no source). */
const RATED = [0.25, 0.37, 0.55, 0.75, 1.1, 1.5, 2.2, 3, 4, 5.5, 7.5, 11, 15, 18.5, 22];
const SPARE = 1.25; // of head, over what the worst case asks at no flow

/* The head that the hardest case asks for, with something to spare, as a curve of the usual form; the motor by the power that this pump
 * takes at its shaft. */
function suggest(size: Size, answers: Answers): Answers['suggested'] {
  const asks = size.curves.hard[0]?.[1];
  const shaft = size.lines.find((line) => line.id === 'shaft power')?.value;
  if (asks === undefined || !(asks > 0)) return null;
  const first = Math.ceil(asks * SPARE);
  const typed = Object.keys(answers.given).some((id) => id.startsWith('head'));
  const kilowatts = (shaft ?? 0) / 1000;
  const motor = RATED.find((rated) => rated >= kilowatts) ?? RATED[RATED.length - 1]!;
  return { heads: typed && answers.suggested ? answers.suggested.heads : FORM.map((part) => Math.round(first * part)), motor: `${motor} kW` };
}

/** Pumps out of a catalogue: YAML or JSON as docs/sizing.md tells it, or a table. A pump that was chosen from an earlier file is the one
 * of the same name in this file, or none: what is chosen is always what the list shows. A file that is no catalogue changes nothing. */
export async function openCatalogue(file: File): Promise<void> {
  const text = await file.text();
  const { language } = store.get();
  const list = /\.csv$/i.test(file.name) ? await pumpsOfTable(text, language) : pumpsOf(readSheet(text).site?.catalogue);
  if (list.length === 0) return asking.set({ bad: file.name });
  asking.set({ catalogue: list, bad: '' });
  const { pump } = asking.get().answers;
  if (pump) change({ pump: list.find((one) => one.name === pump.name) ?? null });
}

async function pumpsOfTable(csv: string, language: string): Promise<CataloguePump[]> {
  const answer = JSON.parse(await readPumps(csv, language)) as { ok: boolean; catalogue?: unknown };
  return answer.ok ? pumpsOf(answer.catalogue) : [];
}

function pumpsOf(list: unknown): CataloguePump[] {
  if (!Array.isArray(list)) return [];
  return (list as Partial<CataloguePump>[]).filter((pump) => typeof pump?.name === 'string' && Array.isArray(pump.curve))
    .map(({ name, curve, motor }) => ({ name: name!, curve: curve!, ...(motor && { motor }) }));
}

export function toStep(step: number): void {
  asking.set({ step });
  if (asking.get().problems === null) soon();
}

/** The site as a job of the list, opened, when the core takes it; what was assumed stands marked in its sheet. */
export async function finishSound(): Promise<void> {
  clearTimeout(later);
  await look().catch(failed);
  if (asking.get().problems?.length !== 0) return;
  await addJob({ sheet: draft(), trouble: null, files: {}, about: {} });
  asking.set(BEGIN);
}

