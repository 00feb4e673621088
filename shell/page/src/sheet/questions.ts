/* The questions of the site sheet in the order in which a site is walked. What each is called stands in the catalogue of
 * words under q.<group>.<key>; keys, kinds and ranges are those of docs/site-sheet.md. */
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
const n = (key: string, dimension: Dimension, rest: Partial<Question> = {}): Question => q(key, 'quantity', { dimension, ...rest });
const more = { more: true };
const of = (kinds: string): Partial<Question> => ({ when: { key: 'kind', is: kinds.split(' ') } });

export const GROUPS: Group[] = [
  { id: 'site', list: false, questions: [
    q('site', 'text'), q('note', 'text'), n('water', 'temperature', more), n('altitude', 'length', more),
  ] },
  { id: 'places', list: true, questions: [q('name', 'name'), n('level', 'length')],
    blank: (_, used) => ({ name: used('place'), level: '0 m' }) },
  { id: 'sources', list: true, questions: [
    q('name', 'name'), q('at', 'ref', { list: 'places' }), q('kind', 'choice', { options: ['bore', 'open', 'mains'] }),
    n('standing water level', 'length', of('bore open')), n('intake', 'length', of('bore open')),
    n('specific capacity', 'specific capacity', of('bore')), n('yield', 'flow', of('bore')),
    n('casing', 'small', { ...of('bore'), more: true }), n('pressure', 'pressure', of('mains')),
  ], blank: (names, used) => ({ name: used('bore'), at: names('places')[0] ?? '', kind: 'bore', 'standing water level': '10 m',
    'specific capacity': '15 L/min per m', intake: '30 m' }) },
  { id: 'pumps', list: true, questions: [
    q('name', 'name'), q('from', 'ref', { list: 'places' }), q('to', 'ref', { list: 'places' }), q('curve', 'curve'),
    n('motor/power', 'power'), q('motor/phases', 'choice', { options: ['1', '3', 'DC'] }), n('motor/voltage', 'voltage'),
    n('motor/full-load current', 'current'), q('non-return valve', 'yesno'), n('speed', 'fraction', more),
    n('motor/locked-rotor current', 'current', more), n('motor/efficiency', 'fraction', more), n('motor/power factor', 'fraction', more),
    n('motor/service factor', 'number', more), n('motor/heating time', 'time', more), n('motor/cooling time', 'time', more),
    n('motor/starting time', 'time', more), n('motor/winding limit', 'temperature', more), n('motor/winding rise', 'rise', more),
  ], blank: (names, used) => ({ name: used('pump'), from: names('places')[0] ?? '', to: names('places')[1] ?? names('places')[0] ?? '',
    curve: [{ flow: '0 L/min', head: '60 m', efficiency: '0 %' }, { flow: '30 L/min', head: '50 m', efficiency: '45 %' },
      { flow: '60 L/min', head: '25 m', efficiency: '40 %' }], motor: { power: '0.75 kW' } }) },
  { id: 'lines', list: true, questions: [
    q('name', 'name'), q('from', 'ref', { list: 'places' }), q('to', 'ref', { list: 'places' }), q('pipe', 'text'), n('length', 'length'),
    q('fittings', 'counts'), n('bore', 'small', more), n('roughness', 'small', more), n('extra K', 'number', more),
    q('non-return valve', 'yesno', more), n('open', 'fraction', more),
    q('friction', 'choice', { options: ['Darcy-Weisbach', 'Hazen-Williams'], more: true }), n('Hazen-Williams C', 'number', more),
    n('wall', 'small', more), n('stiffness', 'stiffness', more),
  ], blank: (names, used) => ({ name: used('line'), from: names('places')[0] ?? '', to: names('places').slice(-1)[0] ?? '',
    pipe: 'PE100 40 SDR 11', length: '50 m' }) },
  { id: 'vessels', list: true, questions: [
    q('name', 'name'), q('at', 'ref', { list: 'places' }), n('volume', 'volume'), n('precharge', 'pressure'),
    n('gas exponent', 'number', more),
  ], blank: (names, used) => ({ name: used('vessel'), at: names('places')[1] ?? names('places')[0] ?? '', volume: '100 L',
    precharge: '180 kPa' }) },
  { id: 'tanks', list: true, questions: [
    q('name', 'name'), q('at', 'ref', { list: 'places' }), n('area', 'area'), n('depth', 'length'), n('starts at', 'length'),
    n('inlet', 'length', more), n('float valve/bore', 'small'), n('float valve/closes at', 'length'), n('float valve/band', 'small', more),
  ], blank: (names, used) => ({ name: used('tank'), at: names('places').slice(-1)[0] ?? '', area: '2 m2', depth: '1.5 m' }) },
  { id: 'outlets', list: true, questions: [
    q('name', 'name'), q('at', 'ref', { list: 'places' }), n('needs', 'pressure'),
  ], blank: (names, used) => ({ name: used('taps'), at: names('places').slice(-1)[0] ?? '', needs: '100 kPa' }) },
  { id: 'sensors', list: true, questions: [
    q('name', 'name'), q('kind', 'choice', { options: ['pressure', 'flow switch', 'level', 'probe', 'contact'] }),
    q('at', 'ref', { list: 'places', ...of('pressure level probe') }), q('line', 'ref', { list: 'lines', ...of('flow switch') }),
    q('pump', 'ref', { list: 'pumps', ...of('flow switch') }), n('height', 'length', of('probe')),
    n('makes at', 'velocity', of('flow switch')), n('breaks at', 'velocity', of('flow switch')),
    n('from', 'pressure', { ...of('pressure'), more: true }), n('to', 'pressure', { ...of('pressure'), more: true }),
    n('resolution', 'pressure', { ...of('pressure'), more: true }), n('error', 'pressure', { ...of('pressure'), more: true }),
    n('resolution', 'length', { ...of('level'), more: true }), n('error', 'length', { ...of('level'), more: true }),
    n('bore', 'small', { ...of('flow switch'), more: true }), q('closed', 'spans', of('contact')),
  ], blank: (names, used) => ({ name: used('pressure'), kind: 'pressure', at: names('places')[1] ?? names('places')[0] ?? '' }) },
  { id: 'demand', list: true, questions: [
    q('outlet', 'ref', { list: 'outlets' }), q('kind', 'choice', { options: ['draw', 'random', 'trace'] }),
    n('flow', 'flow', of('draw random')), n('for', 'time', of('draw random')), q('at', 'time', of('draw')),
    n('every', 'time', of('draw')), q('until', 'time', of('draw')), n('per day', 'number', of('random')),
    q('days', 'words', { ...of('draw random'), more: true }), n('flow spread', 'fraction', { ...of('random'), more: true }),
    n('for spread', 'fraction', { ...of('random'), more: true }), q('pattern', 'numbers', { ...of('random'), more: true }),
    q('trace/file', 'text', of('trace')), q('trace/time', 'text', of('trace')), q('trace/flow', 'text', of('trace')),
    q('trace/unit', 'text', of('trace')), n('trace/step', 'time', of('trace')), n('scale', 'fraction', of('trace')),
  ], blank: (names) => ({ outlet: names('outlets')[0] ?? '', kind: 'random', 'per day': 30, flow: '8 L/min', for: '1 min' }) },
  { id: 'supply', list: false, questions: [
    n('voltage', 'voltage'), q('phases', 'choice', { options: ['1', '3', 'DC'] }), n('frequency', 'frequency'),
  ] },
  { id: 'limits', list: false, questions: [
    n('starts per hour', 'number'), n('dry running', 'time'), n('highest pressure', 'pressure'), n('lowest pressure', 'pressure'),
  ] },
  { id: 'design', list: false, questions: [
    n('cable/length', 'length'), n('season', 'length'), n('mains at worst', 'fraction', more), n('flow', 'flow', more),
    n('pumping time', 'time', more), n('velocity', 'velocity', more), n('friction', 'fraction', more),
    n('starts per hour', 'number', more), n('precharge below cut-in', 'pressure', more), n('cable/section', 'number', more),
    n('cable/drop', 'fraction', more), n('cable/starting drop', 'fraction', more), n('cable/fault current', 'current', more),
    q('suction/foot valve', 'yesno', more), n('suction/bore', 'small', more), n('suction/length', 'length', more),
    n('suction/height', 'length', more),
  ] },
];

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
