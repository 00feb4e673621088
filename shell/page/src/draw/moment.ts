/* One moment of a simulated run, read out of its samples. */
import type { Entry, Run } from '../core/door';

export interface Moment {
  t_ms: number;
  pressure_pa: number;
  /** Of all pumps together. */
  pump_m3s: number;
  draw_m3s: number;
  /** In the sheet's order. */
  tanks_m: number[];
  bores_m: number[];
  running: boolean[];
  /** By place in the sheet's order; null: not known for this place. */
  places_pa: (number | null)[] | null;
  /** In the sheet's order; null: the core does not tell them. Lines along themselves. */
  lines_m3s: number[] | null;
  pumps_m3s: number[];
  outlets_m3s: number[] | null;
}

/* A gauge swings a little about nought where water runs out free: that is no vacuum, and reads 0. */
const LEAST_PA = -2e3;
const read = (pa: number): number => (pa < 0 && pa > LEAST_PA ? 0 : pa);

export function indexAt(times: number[], t_ms: number): number {
  let low = 0;
  let high = times.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (times[middle]! <= t_ms) low = middle;
    else high = middle - 1;
  }
  return low;
}

export function momentOf(run: Run, t_ms: number): Moment | null {
  const samples = run.samples;
  if (!samples || samples.t_ms.length === 0) return null;
  const i = indexAt(samples.t_ms, t_ms);
  const j = Math.min(i + 1, samples.t_ms.length - 1);
  const span = samples.t_ms[j]! - samples.t_ms[i]!;
  const part = span > 0 ? Math.min(1, Math.max(0, (t_ms - samples.t_ms[i]!) / span)) : 0;
  const between = (values: number[]): number => values[i]! + part * (values[j]! - values[i]!);
  return {
    t_ms, pressure_pa: read(between(samples.pressure_pa)), draw_m3s: samples.draw_m3s[i]!,
    pump_m3s: samples.pumps_m3s[i]!,
    tanks_m: samples.tanks.map((tank) => between(tank.level_m)), bores_m: samples.bores.map((bore) => between(bore.over_intake_m)),
    running: samples.pumps.map((pump) => pump.running[i] === 1),
    places_pa: samples.places_pa ? samples.places_pa.map((values) => read(between(values))) : null,
    lines_m3s: samples.lines_m3s?.map((values) => values[i]!) ?? null, pumps_m3s: samples.pumps.map((pump) => pump.flow_m3s[i]!),
    outlets_m3s: samples.outlets_m3s?.map((values) => values[i]!) ?? null,
  };
}

/** What happened last, and what comes next. */
export function entriesAround(entries: Entry[], t_ms: number): { last: Entry | null; next: Entry | null } {
  let last: Entry | null = null;
  for (const entry of entries) {
    if (entry.t_ms > t_ms) return { last, next: entry };
    last = entry;
  }
  return { last, next: null };
}

export function clock(t_ms: number, day: (n: number) => string): string {
  const minutes = Math.floor(t_ms / 60e3);
  const days = Math.floor(minutes / 1440);
  const text = `${String(Math.floor((minutes % 1440) / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
  return days > 0 ? `${day(days + 1)} ${text}` : text;
}
