/* Measured flows: a sheet names a CSV file; the core reads no files, so the page puts the flows into the site. Files come
 * with the examples, or somebody gives them to the job. They are read by the program's own reader, which the module holds
 * beside the core: what was read once is kept. */
import type { Problem } from '../core/door';
import type { Plain } from './plain';
import { fetchMeasured, isMeasured, MEASURED } from './starts';

type Item = { [key: string]: Plain };

export interface Steps { times: number[]; flows: number[] } // s, L/s
type Answer = ({ ok: true } & Steps) | { ok: false; problems: Problem[] };

const read = new Map<string, Steps | null>(); // null: it cannot be read

interface Wanted { key: string; request: string }

function wanted(entry: Plain, files: Record<string, string>): Wanted | null {
  const item = entry as Item | null;
  const trace = item?.trace;
  if (!trace || typeof trace !== 'object' || Array.isArray(trace) || item.times !== undefined || item.flows !== undefined) return null;
  const file = String(trace.file ?? '');
  const csv = files[file] ?? MEASURED[file];
  if (csv === undefined) return null;
  const key = JSON.stringify([trace, csv.length]);
  return { key, request: read.has(key) ? '' : JSON.stringify({ ...trace, csv }) };
}

function wantedOf(site: Item, files: Record<string, string>): Wanted[] {
  const demand = site.demand;
  return Array.isArray(demand) ? demand.flatMap((entry) => wanted(entry, files) ?? []) : [];
}

/** Read what has not been read yet. Null: all of it has, nothing to wait for. */
export function readTraces(site: Item, files: Record<string, string>, ask: (request: string) => Promise<string>): Promise<void> | null {
  const { demand } = site;
  const names = Array.isArray(demand) ? demand.map((entry) => String(((entry as Item | null)?.trace as Item | undefined)?.file ?? '')) : [];
  const coming = names.filter((name) => !(name in files)).map(fetchMeasured).filter((one) => one !== null);
  if (coming.length > 0) return Promise.all(coming).then(() => readTraces(site, files, ask) ?? undefined);
  const open = wantedOf(site, files).filter((one) => one.request !== '');
  if (open.length === 0) return null;
  return Promise.all(open.map(async ({ key, request }) => {
    const answer = JSON.parse(await ask(request)) as Answer;
    read.set(key, answer.ok ? { times: answer.times, flows: answer.flows } : null);
  })).then(() => undefined);
}

export function hasFile(file: string, files: Record<string, string>): boolean {
  return file in files || isMeasured(file);
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
    const one = wanted(entry, files);
    const steps = one ? read.get(one.key) : null;
    return steps ? { ...(entry as Item), times: steps.times, flows: steps.flows } : entry;
  });
  return { ...site, demand: filled };
}
