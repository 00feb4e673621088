/* The questions of the site sheet in the order in which a site is walked. What each is called stands in the catalogue of
 * words under q.<group>.<key>. What a field is (its dimension, its choices) the core tells (told.mjs). */
import { told } from 'core:told';
import type { Dimension } from './quantity';
import type { Path, Plain } from './plain';

export type Kind = 'quantity' | 'text' | 'name' | 'choice' | 'ref' | 'yesno' | 'curve' | 'counts' | 'numbers' | 'words' | 'spans' | 'time';

export interface Question {
  path: Path;
  kind: Kind;
  dimension?: Dimension;
  options?: string[];
  list?: string;         // of a ref: the list whose names can be chosen
  when?: { key: string; is: string[] };
  more?: boolean;        // asked only of those who open "more"
}

export interface Group {
  id: string;
  list: boolean;
  questions: Question[];
  blank?: (names: (list: string) => string[], used: (name: string) => string) => Plain;
}

const q = (key: string, kind: Kind, rest: Partial<Question> = {}): Question => ({ path: key.split('/'), kind, ...rest });
const n = (key: string, rest: Partial<Question> = {}): Question => q(key, 'quantity', rest);
const small = (key: string, rest: Partial<Question> = {}): Question => n(key, { ...rest, dimension: 'small' }); // a length in its small unit
const as = (key: string, dimension: Dimension, rest: Partial<Question> = {}): Question => n(key, { ...rest, dimension }); // by the kind of its item
const more = { more: true };
const of = (...kinds: string[]): Partial<Question> => ({ when: { key: 'kind', is: kinds } });

const ASKED: Group[] = [
  { id: 'site', list: false, questions: [
    q('site', 'text'), q('note', 'text'), n('water', more), n('altitude', more),
  ] },
  { id: 'places', list: true, questions: [q('name', 'name'), n('level')],
    blank: (_, used) => ({ name: used('place'), level: '0 m' }) },
  { id: 'sources', list: true, questions: [
    q('name', 'name'), q('at', 'ref', { list: 'places' }), q('kind', 'choice'),
    n('standing water level', of('bore', 'open')), n('intake', of('bore', 'open')),
    n('specific capacity', of('bore')), n('yield', of('bore')),
    small('casing', { ...of('bore'), more: true }), n('pressure', of('mains')),
  ], blank: (names, used) => ({ name: used('bore'), at: names('places')[0] ?? '', kind: 'bore', 'standing water level': '10 m',
    'specific capacity': '15 L/min per m', intake: '30 m' }) },
  { id: 'pumps', list: true, questions: [
    q('name', 'name'), q('from', 'ref', { list: 'places' }), q('to', 'ref', { list: 'places' }), q('curve', 'curve'),
    n('motor/power'), q('motor/phases', 'choice'), n('motor/voltage'),
    n('motor/full-load current'), q('non-return valve', 'yesno'), n('speed', more),
    n('motor/locked-rotor current', more), n('motor/efficiency', more), n('motor/power factor', more),
    n('motor/service factor', more), n('motor/heating time', more), n('motor/cooling time', more),
    n('motor/starting time', more), n('motor/winding limit', more), n('motor/winding rise', more),
  ], blank: (names, used) => ({ name: used('pump'), from: names('places')[0] ?? '', to: names('places')[1] ?? names('places')[0] ?? '',
    curve: [{ flow: '0 L/min', head: '60 m', efficiency: '0 %' }, { flow: '30 L/min', head: '50 m', efficiency: '45 %' },
      { flow: '60 L/min', head: '25 m', efficiency: '40 %' }], motor: { power: '0.75 kW' } }) },
  { id: 'lines', list: true, questions: [
    q('name', 'name'), q('from', 'ref', { list: 'places' }), q('to', 'ref', { list: 'places' }), q('pipe', 'text'), n('length'),
    q('fittings', 'counts'), small('bore', more), small('roughness', more), n('extra K', more),
    q('non-return valve', 'yesno', more), n('open', more),
    q('friction', 'choice', { more: true }), n('Hazen-Williams C', more),
    small('wall', more), n('stiffness', more),
  ], blank: (names, used) => ({ name: used('line'), from: names('places')[0] ?? '', to: names('places').slice(-1)[0] ?? '',
    pipe: 'PE100 40 SDR 11', length: '50 m' }) },
  { id: 'vessels', list: true, questions: [
    q('name', 'name'), q('at', 'ref', { list: 'places' }), n('volume'), n('precharge'),
    n('gas exponent', more),
  ], blank: (names, used) => ({ name: used('vessel'), at: names('places')[1] ?? names('places')[0] ?? '', volume: '100 L',
    precharge: '180 kPa' }) },
  { id: 'tanks', list: true, questions: [
    q('name', 'name'), q('at', 'ref', { list: 'places' }), n('area'), n('depth'), n('starts at'),
    n('inlet', more), small('float valve/bore'), n('float valve/closes at'), small('float valve/band', more),
  ], blank: (names, used) => ({ name: used('tank'), at: names('places').slice(-1)[0] ?? '', area: '2 m2', depth: '1.5 m' }) },
  { id: 'filters', list: true, questions: [
    q('name', 'name'), q('line', 'ref', { list: 'lines' }), n('clean drop'), n('at flow'), n('full drop'), n('full after'),
    n('cleaned every'), q('cleaned at', 'time', more), q('clogs', 'choice', more), n('passed', more), n('exponent', more),
  ], blank: (names, used) => ({ name: used('filter'), line: names('lines')[0] ?? '', 'clean drop': '15 kPa', 'at flow': '40 L/min' }) },
  { id: 'outlets', list: true, questions: [
    q('name', 'name'), q('at', 'ref', { list: 'places' }), n('needs'),
  ], blank: (names, used) => ({ name: used('taps'), at: names('places').slice(-1)[0] ?? '', needs: '100 kPa' }) },
  { id: 'sensors', list: true, questions: [
    q('name', 'name'), q('kind', 'choice'),
    q('at', 'ref', { list: 'places', ...of('pressure', 'level', 'probe', 'pressure switch') }), q('line', 'ref', { list: 'lines', ...of('flow switch') }),
    q('pump', 'ref', { list: 'pumps', ...of('flow switch') }), as('height', 'length', of('probe')),
    n('closes at', of('pressure switch')), n('opens at', of('pressure switch')), q('filter', 'ref', { list: 'filters', ...of('filter drop') }),
    n('makes at', of('flow switch')), n('breaks at', of('flow switch')),
    n('from', { ...of('pressure'), more: true }), n('to', { ...of('pressure'), more: true }),
    as('resolution', 'pressure', { ...of('pressure'), more: true }), as('error', 'pressure', { ...of('pressure'), more: true }),
    as('resolution', 'length', { ...of('level'), more: true }), as('error', 'length', { ...of('level'), more: true }),
    as('resolution', 'pressure', { ...of('filter drop'), more: true }), as('error', 'pressure', { ...of('filter drop', 'pressure switch'), more: true }),
    as('height', 'length', { ...of('pressure switch'), more: true }),
    small('bore', { ...of('flow switch'), more: true }), q('closed', 'spans', of('contact')),
  ], blank: (names, used) => ({ name: used('pressure'), kind: 'pressure', at: names('places')[1] ?? names('places')[0] ?? '' }) },
  { id: 'demand', list: true, questions: [
    q('outlet', 'ref', { list: 'outlets' }), q('kind', 'choice'),
    n('flow', of('draw', 'random')), n('for', of('draw', 'random')), q('at', 'time', of('draw')),
    n('every', of('draw')), q('until', 'time', of('draw')), n('per day', of('random')),
    n('people', of('household')), n('daily', { ...of('household'), more: true }),
    q('days', 'words', { ...of('draw', 'random', 'household'), more: true }), n('flow spread', { ...of('random'), more: true }),
    n('for spread', { ...of('random'), more: true }), q('pattern', 'numbers', { ...of('random', 'household'), more: true }),
    q('trace/file', 'text', of('trace')), q('trace/time', 'text', of('trace')), q('trace/flow', 'text', of('trace')),
    q('trace/unit', 'text', of('trace')), as('trace/step', 'time', of('trace')), n('scale', of('trace')),
  ], blank: (names) => ({ outlet: names('outlets')[0] ?? '', kind: 'random', 'per day': 30, flow: '8 L/min', for: '1 min' }) },
  { id: 'supply', list: false, questions: [
    n('voltage'), q('phases', 'choice'), n('frequency'),
  ] },
  { id: 'limits', list: false, questions: [
    n('starts per hour'), n('dry running'), n('highest pressure'), n('lowest pressure'),
  ] },
  { id: 'design', list: false, questions: [
    n('cable/length'), n('season'), n('mains at worst', more), n('flow', more),
    n('pumping time', more), n('velocity', more), n('friction', more),
    n('starts per hour', more), n('precharge below cut-in', more), n('cable/section', more),
    n('cable/drop', more), n('cable/starting drop', more), n('cable/fault current', more),
    q('suction/foot valve', 'yesno', more), small('suction/bore', more), n('suction/length', more),
    n('suction/height', more),
  ] },
];

/* What the core tells of a field. Numbers among the choices are spelled as words, too. */
function known(group: string, question: Question): Question {
  const field = told.fields[[...(group === 'site' ? [] : [group]), ...question.path].join('.')];
  if (question.kind === 'quantity') return { ...question, dimension: question.dimension ?? field?.dimension as Dimension | undefined };
  if (question.kind !== 'choice') return question;
  return { ...question, options: (field?.options ?? []).filter((option): option is string => typeof option === 'string' && option !== 'dc') };
}

export const GROUPS: Group[] = ASKED.map((group) => ({ ...group, questions: group.questions.map((question) => known(group.id, question)) }));

/** Where a group's questions stand in the sheet. */
export function base(group: Group, index: number): Path {
  return group.id === 'site' ? [] : group.list ? [group.id, index] : [group.id];
}

/** A demand or other item may leave its kind out; what holds then. */
export function kindOf(group: string, item: { [key: string]: Plain }): string {
  if (typeof item.kind === 'string') return item.kind;
  if (group === 'demand') return item.trace !== undefined || item.times !== undefined ? 'trace' : 'draw';
  return '';
}
