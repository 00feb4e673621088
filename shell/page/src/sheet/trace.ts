/* Measured flows: a sheet names a CSV file; the core reads no files, so the page puts the flows into the site. Files come
 * with the examples, or somebody gives them to the job. */
import type { Plain } from './plain';
import { siOf } from './quantity';
import { MEASURED } from './starts';
import { stepsOf, type Steps } from './csv';

type Item = { [key: string]: Plain };

const read = new Map<string, Steps | null>(); // what was read once is not read again while somebody drags

function stepsFor(trace: Item, files: Record<string, string>): Steps | null {
  const file = String(trace.file ?? '');
  const text = files[file] ?? MEASURED[file];
  if (text === undefined) return null;
  const ask = { time: String(trace.time ?? ''), flow: String(trace.flow ?? ''), unit: String(trace.unit ?? ''), step_s: siOf(trace.step, 'time') ?? 0 };
  const key = JSON.stringify([ask, file, text.length]);
  if (!read.has(key)) read.set(key, stepsOf(text, ask));
  return read.get(key)!;
}

export function hasFile(file: string, files: Record<string, string>): boolean {
  return file in files || file in MEASURED;
}

/** The first lines of a file that are not comments: what stands over its columns, and a few rows. */
export function beginOf(file: string, files: Record<string, string>): string {
  const text = files[file] ?? MEASURED[file] ?? '';
  return text.slice(0, 4000).split(/\r?\n/).filter((line) => line !== '' && !line.startsWith('#')).slice(0, 6).join('\n');
}

export function fillTraces(site: Item, files: Record<string, string>): Item {
  const demand = site.demand;
  if (!Array.isArray(demand) || !demand.some((item) => item && (item as Item).trace)) return site;
  const filled = demand.map((entry) => {
    const item = entry as Item;
    const trace = item?.trace;
    if (!trace || typeof trace !== 'object' || Array.isArray(trace) || item.times !== undefined || item.flows !== undefined) return entry;
    const steps = stepsFor(trace, files);
    return steps ? { ...item, times: steps.times, flows: steps.flows } : entry;
  });
  return { ...site, demand: filled };
}
