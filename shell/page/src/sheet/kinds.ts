/* Another kind of a source, a sensor or a demand: the keys of the old kind go and those that the new one must have come, in one step,
 * so that the sheet stays one that the core reads. What comes are starts to be replaced. */
import { GROUPS, kindOf } from './questions';
import type { Plain } from './plain';

type Item = { [key: string]: Plain };
type Names = (list: string) => string[];

/* What a kind must have. Names are those of the sheet; where it has none, the key is left out and the core says what is missing. */
const STARTS: Record<string, Record<string, (names: Names) => { [key: string]: Plain | undefined }>> = {
  sources: {
    bore: () => ({ 'standing water level': '10 m', 'specific capacity': '15 L/min per m', intake: '30 m' }),
    open: () => ({ 'standing water level': '0.5 m', intake: '2 m' }),
    mains: () => ({ pressure: '300 kPa' }),
  },
  sensors: {
    pressure: (names) => ({ at: names('places')[1] ?? names('places')[0] }),
    level: (names) => ({ at: names('tanks.at')[0] ?? names('sources.at')[0] }),
    probe: (names) => ({ at: names('tanks.at')[0] ?? names('sources.at')[0], height: '0.5 m' }),
    'flow switch': (names) => ({ line: names('lines')[0], pump: names('lines')[0] ? undefined : names('pumps')[0] }),
    'pressure switch': (names) => ({ at: names('places')[1] ?? names('places')[0], 'closes at': '200 kPa', 'opens at': '350 kPa' }),
    'filter drop': (names) => ({ filter: names('filters')[0] }),
    contact: () => ({ closed: [{ from: '06:00', to: '20:00' }] }),
  },
  demand: {
    draw: () => ({ flow: '10 L/min', for: '10 min', at: '07:00', every: '1 d' }),
    random: () => ({ 'per day': 30, flow: '8 L/min', for: '1 min' }),
    household: () => ({ people: 3 }),
  },
};

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
  const starts = STARTS[group]?.[kind]?.(names) ?? {};
  const other = kindOf(group, item) !== kind;
  for (const [key, value] of Object.entries(starts)) {
    const named = key === 'at' && group === 'sensors' && kind !== 'pressure' && kind !== 'pressure switch'; // a level stands at water
    if (value !== undefined && (made[key] === undefined || (other && named))) made[key] = value;
  }
  return made;
}
