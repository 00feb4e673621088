/* Where the things of a site stand in its section: sideways in the order in which the water walks, heights to scale. */
import type { Plain } from '../sheet/plain';
import { siOf } from '../sheet/quantity';

type Item = { [key: string]: Plain };

/** `ground_m`: of the ground under it; lower than its level where it stands on a tower or a floor of a building. */
export interface PlaceAt { name: string; level_m: number; ground_m: number; column: number; index: number }
export interface SourceAt { name: string; place: PlaceAt; kind: string; standing_m: number; intake_m: number; pressure_pa: number }
export interface TankAt { name: string; place: PlaceAt; depth_m: number }
export interface VesselAt { name: string; place: PlaceAt; precharge_pa: number }
/** `index`: in the sheet's list. */
export interface PumpAt { name: string; from: PlaceAt; to: PlaceAt; index: number }
export type LineAt = PumpAt;

export interface Section {
  places: PlaceAt[];
  sources: SourceAt[];
  pumps: PumpAt[];
  lines: LineAt[];
  vessels: VesselAt[];
  tanks: TankAt[];
  outlets: { name: string; place: PlaceAt; index: number }[];
  low_m: number;
  high_m: number;
  /** The place whose pressure the first pressure sensor tells, as the samples do. */
  told: PlaceAt | null;
}

const list = (site: Item, key: string): Item[] => (Array.isArray(site[key]) ? (site[key] as Item[]).filter((item) => item && typeof item === 'object') : []);
const length = (value: Plain | undefined): number => siOf(value, 'length') ?? 0;

/* Breadth first from the sources, along pumps and lines; what is not reached comes last. */
function walk(site: Item): string[] {
  const names = list(site, 'places').map((place) => String(place.name));
  const edges = [...list(site, 'pumps'), ...list(site, 'lines')].map((edge) => [String(edge.from), String(edge.to)] as const);
  const order: string[] = [];
  const visit = (name: string): void => {
    if (!names.includes(name) || order.includes(name)) return;
    order.push(name);
    const next = edges.filter(([from, to]) => from === name || to === name).map(([from, to]) => (from === name ? to : from));
    next.forEach(visit);
  };
  list(site, 'sources').forEach((source) => visit(String(source.at)));
  names.forEach(visit);
  return order;
}

const STEEP = 0.3;   // rise over the length of its pipe: no hillside, but a riser (common practice, no source)
const HIGH_M = 2.5;  // a floor
const BUILT = /tower|floor|storey|stand|roof|attic|flat|turm|stock|etage|geschoss|dach/i;

/* What stands on a tower or on a floor: a line leads up to it more steeply than ground goes, or its name says so. */
function raise(lines: Item[], find: (name: Plain | undefined) => PlaceAt | undefined): void {
  const rises = lines.flatMap((line) => {
    const [from, to] = [find(line.from), find(line.to)];
    return from && to ? [{ low: from.level_m < to.level_m ? from : to, high: from.level_m < to.level_m ? to : from, length_m: length(line.length) }] : [];
  }).sort((a, b) => a.high.level_m - b.high.level_m);
  for (const { low, high, length_m } of rises) {
    const rise = high.level_m - low.level_m;
    if (rise < HIGH_M || high.ground_m < high.level_m) continue;
    if (rise > STEEP * length_m || BUILT.test(high.name)) high.ground_m = low.ground_m;
  }
}

export function layout(site: Item): Section | null {
  const order = walk(site);
  const places = list(site, 'places').map((place, index): PlaceAt => ({
    name: String(place.name), level_m: length(place.level), ground_m: length(place.level), column: order.indexOf(String(place.name)), index,
  }));
  if (places.length === 0) return null;
  const find = (name: Plain | undefined): PlaceAt | undefined => places.find((place) => place.name === String(name));
  const at = <T,>(items: Item[], key: string, make: (item: Item, place: PlaceAt, index: number) => T): T[] => items.flatMap((item, index) => {
    const place = find(item[key]);
    return place ? [make(item, place, index)] : [];
  });
  const joined = (items: Item[]): PumpAt[] => items.flatMap((item, index) => {
    const from = find(item.from);
    const to = find(item.to);
    return from && to ? [{ name: String(item.name ?? `${item.from}-${item.to}`), from, to, index }] : [];
  });
  raise(list(site, 'lines'), find);
  const sources = at(list(site, 'sources'), 'at', (item, place): SourceAt => ({
    name: String(item.name), place, kind: String(item.kind ?? 'bore'), standing_m: length(item['standing water level']),
    intake_m: length(item.intake), pressure_pa: siOf(item.pressure, 'pressure') ?? 0,
  }));
  const tanks = at(list(site, 'tanks'), 'at', (item, place): TankAt => ({ name: String(item.name), place, depth_m: length(item.depth) }));
  const vessels = at(list(site, 'vessels'), 'at', (item, place): VesselAt => ({
    name: String(item.name), place, precharge_pa: siOf(item.precharge, 'pressure') ?? 0,
  }));
  const pressures = list(site, 'sensors').filter((sensor) => sensor.kind === 'pressure');
  const told = find(pressures[0]?.at) ?? vessels[0]?.place ?? find(list(site, 'pumps')[0]?.to) ?? null;
  const heights = [
    ...places.map((place) => place.level_m), ...tanks.map((tank) => tank.place.level_m + tank.depth_m),
    ...sources.flatMap((source) => [source.place.level_m - source.intake_m - 1, source.place.level_m - source.standing_m]),
  ];
  return {
    places, sources, tanks, vessels, told, pumps: joined(list(site, 'pumps')), lines: joined(list(site, 'lines')),
    outlets: at(list(site, 'outlets'), 'at', (item, place, index) => ({ name: String(item.name), place, index })),
    low_m: Math.min(...heights), high_m: Math.max(...heights),
  };
}
