/* The numbers inside the sentences of the settings: found, and put back changed, so that they can be dragged. */
import { FACTORS, digits, siOf, unitFor } from './quantity';
import type { Units } from '../core/door';

export type SettingKind = 'pressure' | 'level' | 'time' | 'current' | 'temperature' | 'count';

export interface Setting {
  sentence: number;
  kind: SettingKind;
  start: number;   // where the text of the quantity stands in the sentence
  end: number;
  text: string;
  value: number;   // SI; times in s, temperatures in degC
  role: 'cut-in' | 'cut-out' | null;
}

const TIME = '(?:\\d+(?:\\.\\d+)?\\s*(?:ms|min|week|h|d|s)\\b\\s*)+';
const ONE = '\\d+(?:\\.\\d+)?\\s*(?:kPa|MPa|mbar|hPa|Pa|bar|psi|mH2O|ftH2O|m|ft|mm|cm|in|mA|A|degC|degF|°C|°F)(?![\\w])';
const COUNT = '(?<=starts reach\\s+)\\d+|(?<=up to\\s+)\\d+';

/* The word before a quantity says what it measures: 18 m is a pressure behind "pressure", a level behind "level". */
function kindAt(sentence: string, at: number, text: string): SettingKind {
  if (/^\d+$/.test(text)) return 'count';
  if (new RegExp(`^${TIME}$`, 'i').test(text)) return 'time';
  const before = sentence.slice(0, at).toLowerCase();
  const found = [...before.matchAll(/\b(pressure|level|current|winding)\b/g)].pop()?.[1];
  return found === 'level' ? 'level' : found === 'current' ? 'current' : found === 'winding' ? 'temperature' : 'pressure';
}

const DIMENSION = { pressure: 'pressure', level: 'length', time: 'time', current: 'current', temperature: 'temperature' } as const;

export function settingsIn(sentences: string[]): Setting[] {
  const found: Setting[] = [];
  sentences.forEach((sentence, index) => {
    const start = /^(?:.*:\s*)?start when\b/i.test(sentence);
    const stop = /^(?:.*:\s*)?stop when\b/i.test(sentence);
    for (const match of sentence.matchAll(new RegExp(`${COUNT}|${TIME}|${ONE}`, 'gi'))) {
      const text = match[0].trimEnd();
      const kind = kindAt(sentence, match.index!, text);
      const value = kind === 'count' ? Number(text) : siOf(text, DIMENSION[kind]);
      if (value === null) continue;
      const role = kind !== 'pressure' ? null : start ? 'cut-in' : stop ? 'cut-out' : null;
      const doubled = role !== null && found.some((other) => other.role === role);
      found.push({ sentence: index, kind, start: match.index!, end: match.index! + text.length, text, value, role: doubled ? null : role });
    }
  });
  return found;
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
const STEP: Record<string, number> = { kPa: 5, bar: 0.05, psi: 1, m: 0.05, ft: 0.2, A: 0.1, degC: 1, degF: 2 };

/** The quantity's new text; in the chosen units when the old ones are not of that system. */
export function settingText(setting: Setting, value: number, units: Units): string {
  if (setting.kind === 'count') return String(Math.max(1, Math.round(value)));
  if (setting.kind === 'time') return timeText(value);
  const dimension = DIMENSION[setting.kind];
  const written = /[a-zA-Z°][\w°]*$/.exec(setting.text)?.[0] ?? '';
  const metric = !/psi|ft|in$|F$/.test(written);
  const unit = metric === (units !== 'us') ? written : unitFor(dimension, units);
  if (/deg[CF]|°[CF]/.test(unit)) return `${Math.round(unit.endsWith('F') ? (value * 9) / 5 + 32 : value)} ${unit}`;
  const factor = FACTORS[dimension][unit] ?? 1;
  const step = (STEP[unit] ?? (setting.kind === 'pressure' ? 0.5 : 0.05));
  return `${digits(Math.round(value / factor / step) * step, 5)} ${unit}`;
}

export function withSetting(sentence: string, setting: Setting, text: string): string {
  return sentence.slice(0, setting.start) + text + sentence.slice(setting.end);
}

/** A slider's scale for a setting: positions 0..steps and what they mean. */
export function scaleOf(setting: Setting): { steps: number; at(value: number): number; value(at: number): number } {
  if (setting.kind === 'time') {
    const near = (value: number): number => TIMES.reduce((best, time, i) => (
      Math.abs(Math.log(time / value)) < Math.abs(Math.log(TIMES[best]! / value)) ? i : best), 0);
    return { steps: TIMES.length - 1, at: (value) => near(Math.max(value, 0.05)), value: (at) => TIMES[at]! };
  }
  if (setting.kind === 'count') return { steps: 59, at: (value) => Math.min(59, value - 1), value: (at) => at + 1 };
  const most = { pressure: 1000e3, level: 20, current: 30, temperature: 200 }[setting.kind];
  return { steps: 200, at: (value) => Math.round((value / most) * 200), value: (at) => (at / 200) * most };
}
