/* A logger's file, or a few readings, of the job that is open: how it was understood, what it speaks for. Everything stays here;
 * nothing of it is kept with the job. */
import { DOOR_UNITS, type Answer, type Diagnosis, type LogRead, type Request } from '../core/door';
import { logWay } from '../core/core';
import { askOnce, failed, filesToRead, siteForCore, spoken } from './ask';
import { store } from './job';
import { Store } from './store';

export interface Reading { what: 'counters' | 'quiet counters' | 'gauge at rest' | 'gauge with the pump shut off'; over: string; starts: string; ran: string; from: string; to: string }
export const READING: Reading = { what: 'quiet counters', over: '', starts: '', ran: '', from: '', to: '' };

export interface LogState {
  name: string;
  bytes: Uint8Array | null;
  read: LogRead | null;
  /** Columns that somebody changed: name, and what it is ("pressure kPa", "-"). */
  columns: Record<string, string>;
  readings: Reading[];
  verdict: Diagnosis | null;
  /** What the verdict stands on. */
  from: 'log' | 'readings';
  busy: 'reading' | 'judging' | null;
  problem: string | null;
}

const NONE: LogState = { name: '', bytes: null, read: null, columns: {}, readings: [READING], verdict: null, from: 'log', busy: null, problem: null };
export const log = new Store<LogState>(NONE);

let way = logWay();
let token = 0;

export function stopLog(): void {
  token++;
  way.close();
  log.set({ busy: null });
}

async function unpacked(file: Blob): Promise<Uint8Array> {
  const head = new Uint8Array(await file.slice(0, 2).arrayBuffer());
  const packed = head[0] === 0x1f && head[1] === 0x8b; // gzip (RFC 1952)
  const stream = packed ? file.stream().pipeThrough(new DecompressionStream('gzip')) : null;
  return new Uint8Array(await (stream ? new Response(stream) : file).arrayBuffer());
}

export async function takeFile(file: File): Promise<void> {
  stopLog();
  log.set({ ...NONE, name: file.name, readings: log.get().readings, busy: 'reading' });
  try {
    log.set({ bytes: await unpacked(file) });
  } catch {
    log.set({ busy: null, problem: 'log.unreadable' });
    return;
  }
  await readLog();
}

/** Read it again, with what somebody said of its columns, then judge it. */
export async function readLog(): Promise<void> {
  const { bytes, columns } = log.get();
  if (!bytes) return;
  stopLog();
  const mine = ++token;
  const own = { columns: Object.entries(columns).map(([name, is]) => `${name}=${is}`), steps: 1500, language: store.get().language };
  log.set({ busy: 'reading', problem: null, verdict: null });
  try {
    const read = JSON.parse(await way.ask(JSON.stringify(own), 'log', bytes)) as Answer<LogRead>;
    if (mine !== token) return;
    if (!read.ok) {
      log.set({ busy: null, problem: read.problems.map((one) => [one.found, one.expected, one.hint].filter(Boolean).join('; ')).join(' ') });
      return;
    }
    log.set({ read, busy: 'judging' });
    const judge = await judgeRequest();
    if (mine !== token) return;
    const both = JSON.parse(await way.ask(JSON.stringify({ ...own, steps: 1, judge: JSON.stringify(judge) }), 'log', bytes)) as Answer<LogRead>;
    if (mine !== token) return;
    take(both.ok && both.diagnosis ? JSON.parse(both.diagnosis) as Answer<Diagnosis> : null, 'log');
  } catch (problem) {
    if (mine === token) log.set({ busy: null, problem: String((problem as Error).message) });
  }
}

function take(answer: Answer<Diagnosis> | null, from: LogState['from']): void {
  if (answer?.ok) log.set({ verdict: answer, from, busy: null });
  else log.set({ busy: null, problem: answer ? answer.problems.map((one) => one.words).join(' ') : 'log.few' });
}

/* With the site, if its sheet can be read. */
async function judgeRequest(): Promise<Request> {
  await filesToRead(store.get())?.catch(failed);
  const state = store.get();
  const site = siteForCore(state);
  return spoken({ do: 'diagnose', ...(site ? { site } : {}), units: DOOR_UNITS[state.units], text: true, html: true, width: 44 });
}

const isGauge = (one: Reading): boolean => one.what.startsWith('gauge');

export async function judgeReadings(): Promise<void> {
  stopLog();
  const mine = ++token;
  log.set({ busy: 'judging', problem: null, verdict: null });
  const readings = log.get().readings.map((one): { [key: string]: string | number } => (isGauge(one) ? { what: one.what, over: one.over, from: one.from, to: one.to }
    : { what: one.what, over: one.over, starts: Number(one.starts), ran: one.ran }));
  try {
    const answer = await askOnce<Diagnosis>('readings', { ...await judgeRequest(), readings });
    if (mine === token) take(answer, 'readings');
  } catch (problem) {
    if (mine === token) log.set({ busy: null });
    failed(problem);
  }
}

let id = store.get().id;
store.on(() => {
  const now = store.get();
  if (now.id !== id) {
    stopLog();
    log.set(NONE);
  }
  id = now.id;
});
