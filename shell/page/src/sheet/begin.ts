/* A site out of six questions: where the water comes from, the pump, what it is kept in, the pipes, who uses it, the supply. What
 * nobody answered gets a start, which stands marked as assumed (assumed.ts); until all of them are replaced the sheet says that it is invented.
 * Starts are common practice, no source, unless the core tells them (state/begin.ts: the pump that this site asks for). */
import { MARKED } from './assumed';
import { digits, siOf } from './quantity';
import type { Dimension } from './quantity';

export type Source = 'bore' | 'open' | 'mains';
export type Store = 'vessel' | 'tank';
export type Use = 'house' | 'garden' | 'stock';

export interface CatalogueCurve { flow: string; head: string; efficiency?: string; power?: string; NPSH?: string }
/** A pump of a catalogue, as its file has it. */
export interface CataloguePump { name: string; curve: CatalogueCurve[]; motor?: Record<string, string | number> }

/** What was answered. `given`: values by the id of their field, in the words of a sheet; what is not there is assumed. */
export interface Answers {
  name: string;
  source: Source;
  store: Store;
  uses: Use[];
  rows: number;              // of the pump's curve
  pump: CataloguePump | null;
  supply: string;            // one of SUPPLIES, '' while nobody has chosen
  given: Record<string, string>;
  /** The pump that this site asks for, as far as it is known. */
  suggested: { heads: number[]; motor: string } | null;
}

export const EMPTY: Answers = { name: '', source: 'bore', store: 'vessel', uses: ['house'], rows: 3, pump: null, supply: '', given: {}, suggested: null };

export interface Asked { id: string; dimension: Dimension; start: (answers: Answers) => string; when?: (answers: Answers) => boolean; more?: boolean }

const metres = (si: number): string => `${digits(si, 3)} m`;
const lengthOf = (text: string): number => siOf(text, 'length') ?? 0;
const first = (answers: Answers, id: string): string => valueOf(answers, id).text;
const bore = ({ source }: Answers): boolean => source === 'bore';
const mains = ({ source }: Answers): boolean => source === 'mains';
const vessel = ({ store }: Answers): boolean => store === 'vessel';
const uses = (use: Use) => (answers: Answers): boolean => answers.uses.includes(use);

/** A bore pump stands down in the bore: a pipe of its own leads up to the vessel. */
export const rises = (answers: Answers): boolean => answers.source === 'bore' || answers.store === 'tank';

/** The values that are asked, by question. */
export const QUESTIONS: Asked[][] = [
  [
    { id: 'level', dimension: 'length', start: (a) => (bore(a) ? '10 m' : '0.5 m'), when: (a) => !mains(a) },
    { id: 'intake', dimension: 'length', start: (a) => metres(lengthOf(first(a, 'level')) + (bore(a) ? 20 : 1.5)), when: (a) => !mains(a) },
    { id: 'mains', dimension: 'pressure', start: () => '150 kPa', when: mains },
    { id: 'capacity', dimension: 'specific capacity', start: () => '15 L/min per m', when: bore, more: true },
  ],
  [{ id: 'motor', dimension: 'power', start: (a) => a.suggested?.motor ?? '0.75 kW', when: (a) => a.pump === null }],
  [
    { id: 'volume', dimension: 'volume', start: () => '100 L', when: vessel },
    { id: 'cutIn', dimension: 'pressure', start: (a) => (mains(a) ? '250 kPa' : '200 kPa'), when: vessel, more: true },
    { id: 'cutOut', dimension: 'pressure', start: (a) => kilopascals(first(a, 'cutIn'), 150), when: vessel, more: true },
    { id: 'precharge', dimension: 'pressure', start: (a) => kilopascals(first(a, 'cutIn'), -20), when: vessel, more: true },
    { id: 'storeHeight', dimension: 'length', start: (a) => (vessel(a) ? '1 m' : '20 m') },
    { id: 'area', dimension: 'area', start: () => '2 m2', when: (a) => !vessel(a) },
    { id: 'depth', dimension: 'length', start: () => '1.5 m', when: (a) => !vessel(a) },
  ],
  [
    { id: 'riseLength', dimension: 'length', start: (a) => metres((bore(a) ? lengthOf(first(a, 'intake')) + 5 : 10) + (vessel(a) ? 0 : 80)), when: rises },
    { id: 'lineLength', dimension: 'length', start: () => '40 m' },
  ],
  [
    { id: 'useHeight', dimension: 'length', start: () => '4 m' },
    { id: 'people', dimension: 'number', start: () => '3', when: uses('house') },
    { id: 'gardenFlow', dimension: 'flow', start: () => '15 L/min', when: uses('garden') },
    { id: 'gardenTime', dimension: 'time', start: () => '30 min', when: uses('garden') },
    { id: 'stockFlow', dimension: 'flow', start: () => '8 L/min', when: uses('stock') },
    { id: 'stockDraws', dimension: 'number', start: () => '40', when: uses('stock') },
  ],
  [],
];

/** Flows of the rows of the curve, while nobody has typed others. */
const ROW_FLOWS = [0, 30, 60];
const EFFICIENCIES = ['0 %', '45 %', '38 %'];

const rowFlow = (row: number): string => `${row < ROW_FLOWS.length ? ROW_FLOWS[row]! : ROW_FLOWS[2]! + 10 * (row - 2)} L/min`;
/** Heads of a curve of the usual form, as parts of the first. */
export const FORM = [1, 0.83, 0.36];

function rowHead(answers: Answers, row: number): string {
  const heads = answers.suggested?.heads ?? FORM.map((part) => 70 * part);
  return metres(heads[row] ?? heads[heads.length - 1]! * 0.8 ** (row - heads.length + 1));
}

function kilopascals(text: string, more: number): string {
  return `${digits(((siOf(text, 'pressure') ?? 0) / 1000) + more, 4)} kPa`;
}

/** A value: what was typed, or the start. */
export function valueOf(answers: Answers, id: string): { text: string; assumed: boolean } {
  const given = answers.given[id];
  return given !== undefined ? { text: given, assumed: false } : { text: startOf(answers, id), assumed: true };
}

/** What is taken while nobody has typed anything. */
export function startOf(answers: Answers, id: string): string {
  const row = /^(flow|head)(\d+)$/.exec(id);
  if (row) return row[1] === 'flow' ? rowFlow(Number(row[2])) : rowHead(answers, Number(row[2]));
  if (id === 'risePipe' || id === 'linePipe') return 'PE100 40 SDR 11';
  return QUESTIONS.flat().find((asked) => asked.id === id)?.start(answers) ?? '';
}

export interface Supply { voltage: string; phases: number; frequency: string }
export const SUPPLIES: Record<string, Supply> = {
  one: { voltage: '230 V', phases: 1, frequency: '50 Hz' }, three: { voltage: '400 V', phases: 3, frequency: '50 Hz' },
  one60: { voltage: '240 V', phases: 1, frequency: '60 Hz' }, three60: { voltage: '480 V', phases: 3, frequency: '60 Hz' },
};

/** Names of the places and things, in the language of who answers. */
export type Names = Record<'site' | Source | 'outlet' | 'vessel' | 'tank' | 'pump' | 'rise' | 'line' | Use | 'pressure' | 'level' | 'at', string>;

/* A text in a sheet; in quotes where it could be taken for something else. */
const quoted = (text: string): string => (/^\p{L}[\p{L}\d ]*$/u.test(text) && !/^(yes|no|true|false|null)$/i.test(text) ? text : JSON.stringify(text));

/** The sheet. */
export function sheetOf(answers: Answers, names: Names): string {
  const v = (id: string): string => { const { text, assumed } = valueOf(answers, id); return text + (assumed ? MARKED : ''); };
  const source = quoted(names[answers.source]);
  const store = quoted(vessel(answers) ? names.vessel : names.tank);
  const delivery = rises(answers) ? quoted(names.outlet) : store;
  const lines = [
    `site: ${quoted(answers.name || names.site)}`, 'invented: yes',
    'places:', ...place(source, '0 m'), ...(rises(answers) ? place(delivery, '0 m') : []),
    ...place(store, v('storeHeight')), ...place(quoted(names.at), v('useHeight')),
    ...sourceLines(answers, source, v), ...pumpLines(answers, quoted(names.pump), source, delivery, v),
    'lines:', ...(rises(answers) ? line(quoted(names.rise), delivery, store, v('risePipe'), v('riseLength')) : []),
    ...line(quoted(names.line), store, quoted(names.at), v('linePipe'), v('lineLength')),
    ...storeLines(answers, store, v), ...useLines(answers, names, v), ...settingsLines(answers, names, v),
  ];
  return `${lines.join('\n')}\n`;
}

type Value = (id: string) => string;

const place = (name: string, level: string): string[] => [`  - name: ${name}`, `    level: ${level}`];
const line = (name: string, from: string, to: string, pipe: string, length: string): string[] => (
  [`  - name: ${name}`, `    from: ${from}`, `    to: ${to}`, `    pipe: ${pipe}`, `    length: ${length}`]);

function sourceLines(answers: Answers, at: string, v: Value): string[] {
  const own = mains(answers) ? [`    pressure: ${v('mains')}`]
    : [`    standing water level: ${v('level')}`, ...(bore(answers) ? [`    specific capacity: ${v('capacity')}`] : []), `    intake: ${v('intake')}`];
  return ['sources:', `  - name: ${at}`, `    at: ${at}`, `    kind: ${answers.source}`, ...own];
}

function pumpLines(answers: Answers, name: string, from: string, to: string, v: Value): string[] {
  const { pump } = answers;
  const supply = SUPPLIES[answers.supply] ?? SUPPLIES.one!;
  const mark = answers.supply === '' ? MARKED : '';
  const head = ['pumps:', `  - name: ${pump ? quoted(pump.name) : name}`, `    from: ${from}`, `    to: ${to}`, '    curve:'];
  const motor = pump?.motor ? Object.entries(pump.motor).map(([key, value]) => `      ${key}: ${value}`) : [`      power: ${v('motor')}`];
  return [...head, ...(pump ? pump.curve.flatMap(fromFile) : typedRows(answers, v)), '    motor:', ...motor,
    'supply:', `  voltage: ${supply.voltage}${mark}`, `  phases: ${supply.phases}${mark}`, `  frequency: ${supply.frequency}${mark}`];
}

const fromFile = (point: CatalogueCurve): string[] => Object.entries(point).map(([key, value], i) => `${i === 0 ? '      - ' : '        '}${key}: ${value}`);

/* What a plate does not tell, the efficiency, is taken as usual for this size. */
function typedRows(answers: Answers, v: Value): string[] {
  return Array.from({ length: answers.rows }, (_, row) => [
    `      - flow: ${v(`flow${row}`)}`, `        head: ${v(`head${row}`)}`, `        efficiency: ${row === 0 ? EFFICIENCIES[0] : row === answers.rows - 1 ? EFFICIENCIES[2] : EFFICIENCIES[1]}${MARKED}`,
  ]).flat();
}

function storeLines(answers: Answers, at: string, v: Value): string[] {
  return vessel(answers)
    ? ['vessels:', `  - name: ${at}`, `    at: ${at}`, `    volume: ${v('volume')}`, `    precharge: ${v('precharge')}`]
    : ['tanks:', `  - name: ${at}`, `    at: ${at}`, `    area: ${v('area')}`, `    depth: ${v('depth')}`];
}

/* Who uses the water: each use an outlet of its own, all where the line ends. */
function useLines(answers: Answers, names: Names, v: Value): string[] {
  const needs: Record<Use, string> = vessel(answers) ? { house: '100 kPa', garden: '100 kPa', stock: '30 kPa' } : { house: '50 kPa', garden: '50 kPa', stock: '30 kPa' };
  const draws: Record<Use, string[]> = {
    house: ['    kind: household', `    people: ${v('people')}`],
    garden: [`    flow: ${v('gardenFlow')}`, `    for: ${v('gardenTime')}`, `    at: 06:00${MARKED}`],
    stock: ['    kind: random', `    per day: ${v('stockDraws')}`, `    flow: ${v('stockFlow')}`, `    for: 3 min${MARKED}`],
  };
  return ['outlets:', ...answers.uses.flatMap((use) => [`  - name: ${quoted(names[use])}`, `    at: ${quoted(names.at)}`, `    needs: ${needs[use]}${MARKED}`]),
    'demand:', ...answers.uses.flatMap((use) => [`  - outlet: ${quoted(names[use])}`, ...draws[use]])];
}

/* Sentences to begin with; what stands in the controller is put in their place. */
function settingsLines(answers: Answers, names: Names, v: Value): string[] {
  const value = (id: string): string => valueOf(answers, id).text;
  const depth = lengthOf(value('depth'));
  const run = vessel(answers) ? '90 min' : '8 h';
  const sentences = vessel(answers)
    ? [[`start when pressure below ${value('cutIn')} for 1 s`, v('cutIn')], [`stop when pressure above ${value('cutOut')}`, v('cutOut')], ['rest 10 s after stop', MARKED],
      ['lock out when starts reach 25 in 1 h', MARKED], [`lock out when running for ${run}`, MARKED]]
    : [[`start when level below ${metres(depth * 0.8)} for 5 s`, MARKED], [`stop when level above ${metres(depth * 0.9)}`, MARKED], ['rest 1 min after stop', MARKED],
      [`lock out when running for ${run}`, MARKED]];
  const store = quoted(vessel(answers) ? names.vessel : names.tank);
  return ['sensors:', `  - name: ${quoted(vessel(answers) ? names.pressure : names.level)}`, `    kind: ${vessel(answers) ? 'pressure' : 'level'}`, `    at: ${store}`,
    'settings:', ...sentences.map(([sentence, from]) => `  - ${sentence}${from!.endsWith(MARKED) ? MARKED : ''}`)];
}

/* Which question a path of the sheet belongs to. */
const OF: Record<string, number> = { sources: 0, pumps: 1, vessels: 2, tanks: 2, sensors: 2, settings: 2, lines: 3, places: 4, outlets: 4, demand: 4, supply: 5 };

/** The question, from 0, that a problem at this place is about. */
export function questionOf(path: string): number {
  const list = /^[a-z]+/.exec(path)?.[0] ?? '';
  return OF[list] ?? 0;
}
