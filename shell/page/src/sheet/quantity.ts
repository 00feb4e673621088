/* Quantities as people write them: a number and a unit. The sheet keeps the text that was typed; this file shows it in
 * other units and puts a unit behind a bare number. Factors to SI are those of the core (core/base/units.c); a test asks
 * the core about each of them. */
import type { Units } from '../core/door';

export type Dimension =
  | 'pressure' | 'length' | 'small' | 'flow' | 'time' | 'volume' | 'area' | 'velocity' | 'temperature' | 'rise' | 'power'
  | 'voltage' | 'current' | 'frequency' | 'specific capacity' | 'fraction' | 'number' | 'stiffness';

const FOOT = 0.3048;
const GALLON = 3.785411784e-3;
const METRE_OF_WATER = 9806.65;
const PSI = 6894.757293168361;

/** Units by dimension: factor to SI. */
export const FACTORS: Record<Dimension, Record<string, number>> = {
  pressure: {
    kPa: 1e3, bar: 1e5, psi: PSI, mH2O: METRE_OF_WATER, m: METRE_OF_WATER, ftH2O: METRE_OF_WATER * FOOT,
    ft: METRE_OF_WATER * FOOT, MPa: 1e6, mbar: 100, hPa: 100, Pa: 1,
  },
  length: { m: 1, mm: 1e-3, ft: FOOT, in: FOOT / 12, cm: 0.01, km: 1e3 },
  small: { mm: 1e-3, m: 1, ft: FOOT, in: FOOT / 12, cm: 0.01, km: 1e3 },
  flow: {
    'L/min': 1e-3 / 60, 'L/s': 1e-3, 'm3/h': 1 / 3600, gpm: GALLON / 60, 'gal/min': GALLON / 60, 'US gpm': GALLON / 60,
    'L/h': 1e-3 / 3600, 'm3/s': 1, 'm3/d': 1 / 86400, 'm3/min': 1 / 60, 'gal/h': GALLON / 3600, gph: GALLON / 3600,
  },
  time: { s: 1, ms: 1e-3, min: 60, h: 3600, d: 86400, week: 604800 },
  volume: { L: 1e-3, m3: 1, gal: GALLON, 'US gal': GALLON, mL: 1e-6, kL: 1 },
  area: { m2: 1, cm2: 1e-4, mm2: 1e-6, ha: 1e4, ft2: FOOT * FOOT },
  velocity: { 'm/s': 1, 'mm/s': 1e-3, 'cm/s': 0.01, 'ft/s': FOOT },
  temperature: { degC: 1, C: 1, '°C': 1, degF: 1, F: 1, '°F': 1, K: 1 },
  rise: { K: 1 },
  power: { kW: 1e3, W: 1, hp: 745.6998715822702, MW: 1e6 },
  voltage: { V: 1, kV: 1e3, mV: 1e-3 },
  current: { A: 1, mA: 1e-3 },
  frequency: { Hz: 1 },
  'specific capacity': {
    'L/min per m': 1e-3 / 60, 'L/min/m': 1e-3 / 60, 'L/s per m': 1e-3, 'L/s/m': 1e-3, 'm3/h per m': 1 / 3600, 'm3/h/m': 1 / 3600,
    'gpm per ft': GALLON / 60 / FOOT, 'gpm/ft': GALLON / 60 / FOOT,
  },
  fraction: { '%': 0.01, '': 1 },
  number: { '': 1 },
  stiffness: { kPa: 1e3, MPa: 1e6, bar: 1e5, psi: PSI },
};

/** The unit shown for each dimension, by system. */
const SHOWN: Record<Units, Partial<Record<Dimension, string>>> = {
  metric: {
    pressure: 'kPa', length: 'm', small: 'mm', flow: 'L/min', volume: 'L', area: 'm2', velocity: 'm/s', temperature: 'degC',
    power: 'kW', 'specific capacity': 'L/min per m', stiffness: 'MPa',
  },
  bar: {
    pressure: 'bar', length: 'm', small: 'mm', flow: 'm3/h', volume: 'L', area: 'm2', velocity: 'm/s', temperature: 'degC',
    power: 'kW', 'specific capacity': 'm3/h per m', stiffness: 'MPa',
  },
  us: {
    pressure: 'psi', length: 'ft', small: 'in', flow: 'gpm', volume: 'gal', area: 'ft2', velocity: 'ft/s', temperature: 'degF',
    power: 'hp', 'specific capacity': 'gpm per ft', stiffness: 'psi',
  },
};

const FIXED: Partial<Record<Dimension, string>> = {
  rise: 'K', voltage: 'V', current: 'A', frequency: 'Hz', fraction: '%', number: '', time: 's',
};

export function unitFor(dimension: Dimension, units: Units): string {
  return SHOWN[units][dimension] ?? FIXED[dimension] ?? '';
}

export interface Quantity { value: number; unit: string; si: number }

const FORM = /^\s*(-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?)\s*(.*?)\s*$/;

function toSi(value: number, unit: string, factor: number): number {
  if (unit === 'degF' || unit === 'F' || unit === '°F') return ((value - 32) * 5) / 9;
  return unit === 'K' && factor === 1 ? value : value * factor;
}

function fromSi(si: number, unit: string, factor: number): number {
  return unit === 'degF' ? (si * 9) / 5 + 32 : si / factor;
}

/** null when the text is no single number with a known unit (as 1 h 30 min). */
export function readQuantity(text: string, dimension: Dimension): Quantity | null {
  const match = FORM.exec(text);
  if (!match) return null;
  const factor = FACTORS[dimension][match[2]!.replace('³', '3').replace('²', '2')];
  if (factor === undefined) return null;
  const value = Number(match[1]);
  const unit = match[2]!;
  const si = dimension === 'temperature' && unit === 'K' ? value - 273.15 : toSi(value, unit, factor);
  return { value, unit, si };
}

/** SI value of any quantity text, 1 h 30 min too. null when it cannot be read. */
export function siOf(text: unknown, dimension: Dimension): number | null {
  if (typeof text === 'number') return text === 0 || dimension === 'number' || dimension === 'fraction' ? text : null;
  if (typeof text !== 'string') return null;
  const one = readQuantity(text, dimension);
  if (one) return one.si;
  if (/^\s*0(\.0+)?\s*$/.test(text)) return 0;
  if (dimension !== 'time') return null;
  const parts = [...text.matchAll(/(\d+(?:\.\d+)?)\s*(week|ms|min|h|d|s)\b/g)];
  if (parts.length === 0 || text.replace(/(\d+(?:\.\d+)?)\s*(week|ms|min|h|d|s)\b/g, '').trim() !== '') return null;
  return parts.reduce((sum, part) => sum + Number(part[1]) * FACTORS.time[part[2]!]!, 0);
}

/** Significant digits without trailing noughts, never in powers of ten. */
export function digits(value: number, significant: number): string {
  if (!Number.isFinite(value)) return '';
  if (value === 0) return '0';
  const places = Math.max(0, Math.min(12, significant - 1 - Math.floor(Math.log10(Math.abs(value)))));
  const text = value.toFixed(places);
  if (!/[1-9]/.test(text)) return '0'; // what rounds to nothing has no sign
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

/** A number of SI in the system's unit. */
export function show(si: number | null | undefined, dimension: Dimension, units: Units, significant = 3): string {
  if (si === null || si === undefined) return '–';
  if (dimension === 'time') return showTime(si);
  const unit = unitFor(dimension, units);
  const value = digits(fromSi(si, unit, FACTORS[dimension][unit] ?? 1), significant);
  return `${value} ${pretty(unit)}`.trim();
}

export function inUnits(si: number, dimension: Dimension, units: Units): number {
  const unit = unitFor(dimension, units);
  return fromSi(si, unit, FACTORS[dimension][unit] ?? 1);
}

export function siFrom(value: number, dimension: Dimension, units: Units): number {
  const unit = unitFor(dimension, units);
  return toSi(value, unit, FACTORS[dimension][unit] ?? 1);
}

export function pretty(unit: string): string {
  return unit.replace('m3', 'm³').replace('m2', 'm²').replace('ft2', 'ft²').replace('degC', '°C').replace('degF', '°F');
}

export function showTime(seconds: number): string {
  const whole = Math.round(seconds);
  if (Math.abs(seconds) < 10 && whole !== seconds) return `${digits(seconds, 2)} s`;
  if (whole < 120) return `${whole} s`;
  const d = Math.floor(whole / 86400);
  const h = Math.floor((whole % 86400) / 3600);
  const min = Math.floor((whole % 3600) / 60);
  if (d > 0) return h > 0 ? `${d} d ${h} h` : `${d} d`;
  if (h > 0) return min > 0 ? `${h} h ${min} min` : `${h} h`;
  const s = whole % 60;
  return min < 10 && s > 0 ? `${min} min ${s} s` : `${min} min`;
}

const SYSTEM_OF: Record<string, Units[]> = {};
for (const units of ['metric', 'bar', 'us'] as Units[]) {
  for (const unit of Object.values(SHOWN[units])) (SYSTEM_OF[unit!] ??= []).push(units);
}

/** How a field's text is shown: as typed when its unit is at home in the chosen system, otherwise converted. */
export function shownText(text: string, dimension: Dimension, units: Units): string {
  const quantity = readQuantity(text, dimension);
  const wanted = unitFor(dimension, units);
  if (!quantity || !(dimension in SHOWN.metric) || quantity.unit === wanted) return text;
  const homes = Object.entries(SYSTEM_OF).find(([unit]) => unit === quantity.unit)?.[1];
  const foreign = homes ? !homes.includes(units) : ['ft', 'in', 'cm', 'm', 'mm', 'degF', 'F'].includes(quantity.unit) ?
    /^(ft|in|degF|F)$/.test(quantity.unit) !== (units === 'us') : false;
  if (!foreign) return text;
  return `${digits(fromSi(quantity.si, wanted, FACTORS[dimension][wanted]!), 4)} ${wanted}`;
}

/** What somebody typed, as the sheet is to hold it: decimal comma and bare numbers are understood. */
export function typedText(typed: string, dimension: Dimension, units: Units): string {
  let text = typed.trim();
  if (/^-?\d+,\d+(\D|$)/.test(text)) text = text.replace(',', '.');
  if (dimension === 'number') return text;
  return /^-?\d+(\.\d+)?$/.test(text) ? `${text} ${unitFor(dimension, units)}`.trim() : text;
}
