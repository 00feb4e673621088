/* Quantities as people write them: a number and a unit. The sheet keeps the text that was typed; this file shows it in
 * other units and puts a unit behind a bare number. Units and their sizes are the core's (told.mjs). */
import { told } from 'core:told';
import type { Units } from '../core/door';

/** Those of the core; `small` is a length that is shown in its small unit, as a bore. */
export type Dimension =
  | 'pressure' | 'length' | 'small' | 'flow' | 'time' | 'volume' | 'area' | 'velocity' | 'temperature' | 'temperature rise' | 'power'
  | 'energy' | 'voltage' | 'current' | 'frequency' | 'specific capacity' | 'fraction' | 'number';

const coreOf = (dimension: Dimension): string => (dimension === 'small' ? 'length' : dimension);
const SMALL: Record<Units, string> = { metric: 'mm', bar: 'mm', us: 'in' };

const plainUnit = (unit: string): string => unit.replace('³', '3').replace('²', '2').replace('°', 'deg').replace(/\s+per\s+/, '/');

/** Size in SI, and the reading that is 0 in SI; undefined: no such unit of this dimension. */
function unitOf(dimension: Dimension, unit: string): [number, number] | undefined {
  const plain = plainUnit(unit);
  return told.sizes[coreOf(dimension)]?.[plain] ?? (plain === '' && isBare(dimension) ? [1, 0] : undefined);
}

const isBare = (dimension: Dimension): boolean => dimension === 'number' || dimension === 'fraction';

export function unitFor(dimension: Dimension, units: Units): string {
  if (dimension === 'small') return SMALL[units];
  const shown = told.units[units][dimension] ?? '';
  return unitOf(dimension, shown) ? shown : Object.keys(told.sizes[dimension] ?? {})[0] ?? '';
}

/** What one of this unit is in SI. */
export const sizeOf = (unit: string, dimension: Dimension): number => unitOf(dimension, unit)?.[0] ?? 1;

/** A number of SI in this unit. */
export function inUnit(si: number, unit: string, dimension: Dimension): number {
  return fromSi(si, unit, dimension);
}

export interface Quantity { value: number; unit: string; si: number }

const FORM = /^\s*(-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?)\s*(.*?)\s*$/;

function fromSi(si: number, unit: string, dimension: Dimension): number {
  const [size, zero] = unitOf(dimension, unit) ?? [1, 0];
  return si / size + zero;
}

/** null when the text is no single number with a known unit (as 1 h 30 min). */
export function readQuantity(text: string, dimension: Dimension): Quantity | null {
  const match = FORM.exec(text);
  if (!match) return null;
  const found = unitOf(dimension, match[2]!);
  if (!found) return null;
  const value = Number(match[1]);
  return { value, unit: match[2]!, si: (value - found[1]) * found[0] };
}

/* "1 h", "30 min": one part of a time, in a unit of the core's. */
const PART_OF_TIME = new RegExp(`(\\d+(?:\\.\\d+)?)\\s*(${Object.keys(told.sizes.time!).sort((a, b) => b.length - a.length).join('|')})\\b`, 'g');

/** SI value of any quantity text, 1 h 30 min too. null when it cannot be read. */
export function siOf(text: unknown, dimension: Dimension): number | null {
  if (typeof text === 'number') return text === 0 || dimension === 'number' || dimension === 'fraction' ? text : null;
  if (typeof text !== 'string') return null;
  const one = readQuantity(text, dimension);
  if (one) return one.si;
  if (/^\s*0(\.0+)?\s*$/.test(text)) return 0;
  if (dimension !== 'time') return null;
  const parts = [...text.matchAll(PART_OF_TIME)];
  if (parts.length === 0 || text.replace(PART_OF_TIME, '').trim() !== '') return null;
  return parts.reduce((sum, part) => sum + Number(part[1]) * told.sizes.time![part[2]!]![0], 0);
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

/* Numbers to be read by a person have the decimal sign of the language; those of the sheet a point. */
let decimal = '.';

export function speak(language: 'en' | 'de'): void {
  decimal = language === 'de' ? ',' : '.';
}

export const spokenNumber = (text: string): string => text.replace('.', decimal);

/** To so many decimal places. */
export function fixed(value: number | null, places: number): string {
  return value === null ? '–' : spokenNumber(value.toFixed(places));
}

/** A number of SI in the system's unit. */
export function show(si: number | null | undefined, dimension: Dimension, units: Units, significant = 3): string {
  if (si === null || si === undefined) return '–';
  if (dimension === 'time') return showTime(si);
  const unit = dimension === 'volume' && unitFor(dimension, units) === 'L' && si >= 10 ? 'm3' : unitFor(dimension, units); // as the core's own words do
  const value = digits(fromSi(si, unit, dimension), significant);
  return `${spokenNumber(value)} ${pretty(unit)}`.trim();
}

export function inUnits(si: number, dimension: Dimension, units: Units): number {
  const unit = unitFor(dimension, units);
  return fromSi(si, unit, dimension);
}

export function siFrom(value: number, dimension: Dimension, units: Units): number {
  const unit = unitFor(dimension, units);
  const [size, zero] = unitOf(dimension, unit) ?? [1, 0];
  return (value - zero) * size;
}

export function pretty(unit: string): string {
  return unit.replace('m3', 'm³').replace('m2', 'm²').replace('ft2', 'ft²').replace('degC', '°C').replace('degF', '°F');
}

export function showTime(seconds: number): string {
  const whole = Math.round(seconds);
  if (Math.abs(seconds) < 10 && whole !== seconds) return `${spokenNumber(digits(seconds, 2))} s`;
  if (whole < 120) return `${whole} s`;
  const [day, hour, minute] = [sizeOf('d', 'time'), sizeOf('h', 'time'), sizeOf('min', 'time')];
  const d = Math.floor(whole / day);
  const h = Math.floor((whole % day) / hour);
  const min = Math.floor((whole % hour) / minute);
  if (d > 0) return h > 0 ? `${d} d ${h} h` : `${d} d`;
  if (h > 0) return min > 0 ? `${h} h ${min} min` : `${h} h`;
  const s = whole % minute;
  return min < 10 && s > 0 ? `${min} min ${s} s` : `${min} min`;
}

/* Is the unit shown by some system other than the chosen one, and not by this one? */
function foreign(unit: string, dimension: Dimension, units: Units): boolean {
  const systems = Object.keys(told.units) as Units[];
  const shown = (system: Units): string[] => [unitFor(dimension, system), ...(coreOf(dimension) === 'length' ? [told.units[system].length!, SMALL[system]] : [])].map(plainUnit);
  return !shown(units).includes(plainUnit(unit)) && systems.some((system) => shown(system).includes(plainUnit(unit)));
}

/** How a field's text is shown: as typed when its unit is at home in the chosen system, otherwise converted. */
export function shownText(text: string, dimension: Dimension, units: Units): string {
  const quantity = readQuantity(text, dimension);
  const wanted = unitFor(dimension, units);
  if (!quantity || quantity.unit === wanted || !foreign(quantity.unit, dimension, units)) return text;
  return `${digits(fromSi(quantity.si, wanted, dimension), 4)} ${wanted}`;
}

/** What somebody typed, as the sheet is to hold it: decimal comma and bare numbers are understood. */
export function typedText(typed: string, dimension: Dimension, units: Units): string {
  let text = typed.trim();
  if (/^-?\d+,\d+(\D|$)/.test(text)) text = text.replace(',', '.');
  if (dimension === 'number') return text;
  return /^-?\d+(\.\d+)?$/.test(text) ? `${text} ${unitFor(dimension, units)}`.trim() : text;
}
