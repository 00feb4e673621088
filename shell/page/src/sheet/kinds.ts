/* Another kind of a source, a sensor or a demand: the keys of the old kind go and those that the new one must have come, in one step,
 * so that the sheet stays one that the core reads. Which they are the core tells (told.mjs); what comes are starts to be replaced. */
import { told } from 'core:told';
import { GROUPS, kindOf } from './questions';
import type { Plain } from './plain';

type Item = { [key: string]: Plain };
type Names = (list: string) => string[];

/* Names of the sheet for what an item must be tied to; where the sheet has none, the key is left out and the core says what is missing. */
const TIED: Record<string, (names: Names, kind: string) => string | undefined> = {
  at: (names, kind) => (kind.startsWith('pressure') ? names('places')[1] ?? names('places')[0] : names('tanks.at')[0] ?? names('sources.at')[0]),
  filter: (names) => names('filters')[0],
};

/* What the core's table cannot say of a kind: one of two keys that it needs, a list, and a depth of another example. */
const BESIDES: Record<string, (names: Names) => { [key: string]: Plain | undefined }> = {
  bore: () => ({ 'specific capacity': told.fields['sources.specific capacity']?.example }),
  open: () => ({ 'standing water level': '0.5 m', intake: '2 m' }), // the table's example is a bore's: no pump lifts water out of 14 m
  'flow switch': (names) => ({ line: names('lines')[0], pump: names('lines')[0] ? undefined : names('pumps')[0] }),
  contact: () => ({ closed: [{ from: '06:00', to: '20:00' }] }),
};

/* What a kind must have, with the examples of the core's table. */
function startsOf(group: string, kind: string, names: Names): { [key: string]: Plain | undefined } {
  const needed = Object.entries(told.needs[group]?.[kind] ?? {}).map(([key, example]) => {
    const number = told.fields[`${group}.${key}`]?.dimension === 'number';
    return [key, example === '' ? TIED[key]?.(names, kind) : number ? Number(example) : example];
  });
  return { ...Object.fromEntries(needed), ...BESIDES[kind]?.(names) };
}

/** The item as one of another kind. `names` gives the names of a list, and with `.at` the places of its items. */
export function asKind(group: string, item: Item, kind: string, names: Names): Item {
  const questions = GROUPS.find((one) => one.id === group)?.questions ?? [];
  const keeps = (key: string): boolean => {
    const about = questions.filter((question) => question.path[0] === key);
    return about.length === 0 || about.some((question) => !question.when || question.when.is.includes(kind));
  };
  const made: Item = {};
  for (const [key, value] of Object.entries(item)) if (keeps(key)) made[key] = value;
  made.kind = kind;
  if (group === 'demand' && kind !== 'trace') for (const key of ['times', 'flows', 'trace']) delete made[key];
  const starts = startsOf(group, kind, names);
  const other = kindOf(group, item) !== kind;
  for (const [key, value] of Object.entries(starts)) {
    const named = key === 'at' && group === 'sensors' && kind !== 'pressure' && kind !== 'pressure switch'; // a level stands at water
    if (value !== undefined && (made[key] === undefined || (other && named))) made[key] = value;
  }
  return made;
}
