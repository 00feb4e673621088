/* The numbers inside the sentences of the settings, as the core names them: shown, and put back changed, so that they can be
 * dragged. What they are, where they stand and how far they may go is the core's; this file follows them while a hand holds
 * one, until the core has answered. */
import { digits, inUnit, siOf, unitFor, type Dimension } from './quantity';
import type { SentenceNumber, Units } from '../core/door';

export type SettingKind = 'pressure' | 'length' | 'time' | 'current' | 'temperature' | 'voltage' | 'number' | 'clock';

export interface Setting {
  path: string;
  sentence: number;
  kind: SettingKind;
  start: number;   // where the text of the quantity stands in the sentence
  end: number;
  text: string;
  value: number;   // SI; times in s, temperatures in degC, times of day in s after midnight
  low: number;
  high: number;
  role: 'cut-in' | 'cut-out' | null;
}

/** Numbers of all sentences, and the sentences that they were found in. */
export interface Numbers { sentences: string[]; list: SentenceNumber[] }

const CLOCK = /^(\d{1,2}):(\d{2})(?::(\d{2}))?$/;

function valueOf(text: string, kind: SettingKind): number | null {
  if (kind === 'number') return Number(text);
  if (kind !== 'clock') return siOf(text, kind as Dimension);
  const match = CLOCK.exec(text);
  return match ? Number(match[1]) * 3600 + Number(match[2]) * 60 + Number(match[3] ?? 0) : null;
}

/* The core counts characters. */
const unitsOf = (text: string, characters: number): number => [...text].slice(0, characters).join('').length;

function settingOf(one: SentenceNumber, sentence: string): Setting {
  const start = unitsOf(sentence, one.at);
  const end = unitsOf(sentence, one.at + one.length);
  const text = sentence.slice(start, end);
  const kind = CLOCK.test(text) ? 'clock' : one.dimension as SettingKind;
  return { path: one.path, sentence: one.sentence, kind, start, end, text, value: one.si, low: one['least si'], high: one['most si'],
    role: one.role || null };
}

/* The settings of a sentence in which one number is another by now; none when more than that changed. */
function followed(settings: Setting[], before: string, now: string): Setting[] {
  let first = 0;
  while (first < before.length && before[first] === now[first]) first++;
  let last = 0;
  while (last < Math.min(before.length, now.length) - first && before[before.length - 1 - last] === now[now.length - 1 - last]) last++;
  const held = settings.find((setting) => setting.start <= first && before.length - last <= setting.end);
  if (!held) return [];
  const by = now.length - before.length;
  const text = now.slice(held.start, held.end + by);
  const value = valueOf(text, held.kind);
  if (value === null) return [];
  return settings.map((setting) => (setting === held ? { ...held, end: held.end + by, text, value }
    : setting.start > held.start ? { ...setting, start: setting.start + by, end: setting.end + by } : setting));
}

/** The numbers of these sentences. */
export function settingsIn(sentences: string[], numbers: Numbers | null): Setting[] {
  if (!numbers) return [];
  return sentences.flatMap((now, index) => {
    const before = numbers.sentences[index];
    if (before === undefined) return [];
    const found = numbers.list.filter((one) => one.sentence === index).map((one) => settingOf(one, before));
    return before === now ? found : followed(found, before, now);
  });
}

/** Values that people set times to, in s. */
export const TIMES = [
  0.1, 0.2, 0.5, 1, 2, 3, 4, 5, 7, 10, 12, 15, 20, 25, 30, 40, 50, 60, 75, 90, 120, 150, 180, 240, 300, 420, 600, 900, 1200, 1500,
  1800, 2400, 2700, 3600, 5400, 7200, 9000, 10800, 14400, 18000, 21600, 28800, 43200, 86400,
];

export function timeText(seconds: number): string {
  if (seconds < 1) return `${Math.round(seconds * 1000)} ms`;
  if (seconds < 120) return `${digits(seconds, 4)} s`;
  if (seconds < 3 * 3600 && seconds % 60 === 0 && seconds % 3600 !== 0) return `${seconds / 60} min`;
  const h = Math.floor(seconds / 3600);
  const min = Math.floor((seconds % 3600) / 60);
  const s = Math.round(seconds % 60);
  return [h ? `${h} h` : '', min ? `${min} min` : '', s ? `${s} s` : ''].filter(Boolean).join(' ');
}

/** Steps in which a dragged value moves, in the shown unit. */
const STEP: Record<string, number> = { kPa: 5, bar: 0.05, psi: 1, m: 0.05, ft: 0.2, A: 0.1, V: 1, degC: 1, degF: 2 };

const clockText = (seconds: number): string => {
  const minutes = Math.round(seconds / 60);
  return `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
};

/** The quantity's new text, within the core's bounds; in the chosen units when the old ones are not of that system. */
export function settingText(setting: Setting, wanted: number, units: Units): string {
  const value = Math.min(setting.high, Math.max(setting.low, wanted));
  if (setting.kind === 'number') return String(Math.round(value));
  if (setting.kind === 'clock') return clockText(value);
  if (setting.kind === 'time') return timeText(value);
  const written = /[a-zA-Z°][\w°]*$/.exec(setting.text)?.[0] ?? '';
  const metric = !/psi|ft|in$|F$/.test(written);
  const unit = (metric === (units !== 'us') && written) || unitFor(setting.kind, units);
  const step = STEP[unit.replace('°', 'deg')] ?? (setting.kind === 'pressure' ? 0.5 : 0.05);
  return `${digits(Math.round(inUnit(value, unit, setting.kind) / step) * step, 5)} ${unit}`;
}

export function withSetting(sentence: string, setting: Setting, text: string): string {
  return sentence.slice(0, setting.start) + text + sentence.slice(setting.end);
}

/* How far a slider reaches at first: a hand has only so many steps. It reaches further for a value beyond. */
const REACH = { pressure: 1000e3, length: 20, current: 30, temperature: 200, voltage: 500 };

interface Scale { steps: number; at(value: number): number; value(at: number): number }

/** A slider's scale for a setting: positions 0..steps and what they mean. */
export function scaleOf(setting: Setting): Scale {
  const { low, high, kind } = setting;
  if (kind === 'time') {
    const near = (value: number): number => TIMES.reduce((best, time, i) => (
      Math.abs(Math.log(time / value)) < Math.abs(Math.log(TIMES[best]! / value)) ? i : best), 0);
    return { steps: TIMES.length - 1, at: (value) => near(Math.max(value, 0.05)), value: (at) => TIMES[at]! };
  }
  if (kind === 'clock') return { steps: 96, at: (value) => Math.round(value / 900), value: (at) => at * 900 };
  if (kind === 'number') {
    const most = Math.min(high, Math.max(60, 2 * setting.value));
    return { steps: most - low, at: (value) => Math.min(most, value) - low, value: (at) => at + low };
  }
  const most = Math.min(high, Math.max(REACH[kind], 1.5 * setting.value));
  const least = Math.max(low, Math.min(0, 1.5 * setting.value));
  return { steps: 200, at: (value) => Math.round(((value - least) / (most - least)) * 200), value: (at) => least + (at / 200) * (most - least) };
}
