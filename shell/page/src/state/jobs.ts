/* The list of jobs, and the way into and out of one. A job is opened by its address (#ID/place), so that going back, reloading
 * and a second tab all do what is expected. */
import type { Proof } from '../core/door';
import { readSheet } from '../sheet/plain';
import { withValue } from '../sheet/edit';
import { jobOf, nameOf, NO_PROOF, store, taken, type Job, type State } from './job';
import { addProof, allRecords, dropProofs, dropRecord, newId, oneRecord, putPerson, putProofs, putRecord, takePerson, takeProofs, writeRecord, type JobRecord, type Left, type Point } from './keep';
import { withKept, type KeptProof } from './kept';
import type { Photo } from './photos';
import { STRETCHES, type StretchName } from './place';

let version = 0;   // of the record that this tab works on
let changes = 0;
let written = 0;   // changes that are kept
let waiting: ReturnType<typeof setTimeout> | undefined;
let others: BroadcastChannel | undefined;

function leftOf(proof: Proof | null, before: Left | null): Left | null {
  if (!proof) return before;
  const light = !proof.healthy.known ? 'open' : proof.healthy.fails ? 'bad' : 'good';
  return { light, unseen: proof.counts.unseen, tried: proof.counts.tried };
}

function recordOf(state: State, id: string, next: number): JobRecord {
  const { past, future, units, points, photos } = state;
  const fresh = state.proof.sheet === state.sheet.text;
  return { id, changed: Date.now(), version: next, units, job: jobOf(state), past: past.slice(-50), future: future.slice(0, 50), points, photos,
    left: fresh ? leftOf(state.proof.answer, state.left) : null };
}

const personOf = ({ light, language, way, units }: State) => ({ light, language, way, units });

/* What changes while it is being written is not kept yet, whatever the browser says of the write: its own turn comes. */
async function save(): Promise<void> {
  const state = store.get();
  const now = changes;
  try {
    await putPerson(personOf(state));
    if (state.id !== null && now !== written) await saveJob(state, state.id);
    written = Math.max(written, now);
    if (now === changes) store.set({ saved: 'saved' });
  } catch {
    store.set({ saved: 'cannot' });
  }
}

async function saveJob(state: State, id: string): Promise<void> {
  const record = recordOf(state, id, version + 1);
  if (await writeRecord(record, version)) {
    if (store.get().id === id) version = record.version;
    others?.postMessage({ id, version: record.version });
    return;
  }
  // another tab has written meanwhile: both are kept, and this one becomes a copy
  const copy = { ...copied(record), past: record.past };
  await putRecord(copy);
  await putProofs(copy.id, await takeProofs(id));
  if (store.get().id !== id) return;
  version = copy.version;
  store.set({ id: copy.id, sheet: readSheet(copy.job.sheet), elsewhere: 'copied' });
  address(copy.id, state.place, true);
}

/** Keep what is not kept yet, at once. */
export async function keepNow(): Promise<void> {
  clearTimeout(waiting);
  await save();
}

const copyWord = (): string => (store.get().language === 'de' ? 'Kopie' : 'copy');

/* The same job once more, under a name that tells it apart. */
function copied(record: JobRecord): JobRecord {
  const sheet = readSheet(record.job.sheet);
  const text = sheet.site ? withValue(sheet, ['site'], `${nameOf(record.job)} (${copyWord()})`) : record.job.sheet;
  return { ...record, id: newId(), version: 1, changed: Date.now(), job: { ...record.job, sheet: text }, past: [], future: [] };
}

/** The address of the questions that begin a job. */
const ASKING = '#new';

export function beginAsking(): void {
  history.pushState(null, '', ASKING);
  store.set({ asking: true, deleted: null });
}

export function leaveAsking(): void {
  history.pushState(null, '', '#');
  store.set({ asking: false });
}

function address(id: string | null, place: StretchName, instead = false): void {
  const hash = id === null ? '#' : `#${id}/${place}`;
  if (location.hash === hash || (hash === '#' && location.hash === '')) return;
  history[instead ? 'replaceState' : 'pushState'](null, '', hash);
}

const UNKNOWN = {
  check: null, duty: null, size: null, settings: null, numbers: null, settingsOf: null, faults: null, day: null, dayProblems: [], what: null,
  proof: NO_PROOF, looking: 'day', playing: false, renewed: false, elsewhere: null, dialog: null, stepped: null,
} as const;

function show(record: JobRecord, place: StretchName, kept: KeptProof[] = []): void {
  version = record.version;
  changes = written;
  const { job, past, future, units, points, left } = record;
  store.set({ ...UNKNOWN, dayProblems: [], ...taken(job), photos: record.photos ?? [], kept, id: record.id, place, past, future, units, points, left, files: job.files ?? {}, about: job.about ?? {},
    trouble: job.trouble && { ...job.trouble, days: job.trouble.days ?? 2 }, saved: 'saved' });
}

/** Open a kept job. False: it is not there. */
export async function openJob(id: string, place: StretchName = 'site', instead = false): Promise<boolean> {
  await keepNow();
  const record = await oneRecord(id).catch(() => undefined);
  if (!record) return false;
  show(record, place, await takeProofs(id).catch(() => []));
  address(id, place, instead);
  return true;
}

/** A job that did not stand here yet: a new one, from a file, from a link. It is kept at once, and opened. */
export async function addJob(job: Job, units = store.get().units, open = true, kept: { points: Point[]; photos: Photo[] } = { points: [], photos: [] }): Promise<string> {
  const record: JobRecord = { id: newId(), changed: Date.now(), version: 1, units, job, past: [], future: [], ...kept, left: null };
  try {
    await putRecord(record);
    void navigator.storage?.persist?.();
  } catch {
    store.set({ saved: 'cannot' });
  }
  if (open) {
    await keepNow();
    const { asking } = store.get();
    store.set({ asking: false });
    show(record, 'site');
    if (store.get().saved === 'saved') store.set({ saved: 'none' });
    address(record.id, 'site', asking); // going back leads to the list, not to the questions that were answered
  }
  return record.id;
}

export async function listJobs(): Promise<void> {
  const jobs = await allRecords().catch(() => []);
  store.set({ jobs: jobs.sort((a, b) => b.changed - a.changed) });
}

/** Leave the job: the list of all. */
export async function toJobs(): Promise<void> {
  await keepNow();
  await listJobs();
  store.set({ ...UNKNOWN, dayProblems: [], kept: [], id: null });
  address(null, 'site');
}

export async function duplicate(record: JobRecord): Promise<void> {
  const copy = copied(record);
  await putRecord(copy);
  await putProofs(copy.id, await takeProofs(record.id));
  await listJobs();
}

export async function rename(record: JobRecord, name: string): Promise<void> {
  const sheet = readSheet(record.job.sheet);
  if (!sheet.site || name === '' || name === nameOf(record.job)) return;
  const job = { ...record.job, sheet: withValue(sheet, ['site'], name) };
  await writeRecord({ ...record, job, past: [...record.past, record.job].slice(-50), future: [], version: record.version + 1, changed: Date.now() }, record.version);
  others?.postMessage({ id: record.id, version: record.version + 1 });
  await listJobs();
}

/** Deleted, and remembered until the list is left, so that it can be had back. */
export async function remove(record: JobRecord): Promise<void> {
  const proofs = await takeProofs(record.id);
  await dropRecord(record.id);
  await dropProofs(record.id);
  store.set({ deleted: { record, proofs } });
  await listJobs();
}

export async function bringBack(): Promise<void> {
  const { deleted } = store.get();
  if (deleted) {
    await putRecord(deleted.record);
    await putProofs(deleted.record.id, deleted.proofs);
  }
  store.set({ deleted: null });
  await listJobs();
}

/** A full check that is done stays with its job, also when another one is open by now. */
export async function keepProof(id: string, fresh: KeptProof): Promise<void> {
  if (!await oneRecord(id).catch(() => undefined) && store.get().id !== id) return; // deleted meanwhile
  const list = await addProof(id, (before) => withKept(before, fresh)).catch(() => withKept(store.get().kept, fresh));
  if (store.get().id === id) store.set({ kept: list });
}

/** The present state of the job under a name, to be had back later. */
export function addPoint(name: string): void {
  const state = store.get();
  store.set({ points: [...state.points, { name, when: Date.now(), job: jobOf(state) }] });
}

/* Where the address leads: a job and a place of it, or the list. */
async function follow(): Promise<void> {
  store.set({ asking: location.hash === ASKING });
  const [, id, name] = /^#([0-9a-z]+)\/([a-z]+)$/.exec(location.hash) ?? [];
  const place = STRETCHES.find((one) => one === name) ?? 'site';
  if (id === undefined) {
    if (store.get().id !== null) await toJobs();
    return;
  }
  if (store.get().id === id) store.set({ place });
  else if (!(await openJob(id, place, true))) await toJobs();
}

/** What the other tabs write: a job that is open here, too, is told. */
function hear({ id, version: theirs }: { id: string; version: number }): void {
  if (store.get().id === id && theirs > version) store.set({ elsewhere: 'newer' });
}

/** Take up what was kept. False: this is a first visit, or the browser keeps nothing. */
export async function takeUp(): Promise<boolean> {
  let known = false;
  try {
    const person = await takePerson();
    known = person !== undefined;
    if (person) store.set(person);
    await listJobs();
    await follow();
  } catch {
    store.set({ saved: 'cannot' });
  }
  return known;
}

/** What of the state belongs to the job, or to the person, and is kept. */
const KEPT = ['sheet', 'trouble', 'about', 'files', 'points', 'photos', 'units', 'light', 'language', 'way'] as const;

export function watchKeep(): void {
  let last = store.get();
  if (typeof BroadcastChannel === 'function') {
    others = new BroadcastChannel('pumpwright');
    others.onmessage = (event) => hear(event.data as { id: string; version: number });
  }
  addEventListener('popstate', () => void follow());
  store.on(() => {
    const now = store.get();
    const same = now.id === last.id;
    const other = same && KEPT.some((key) => now[key] !== last[key]);
    const judged = same && now.id !== null && now.proof.answer !== last.proof.answer && now.proof.answer !== null;
    if (same && now.id !== null && now.place !== last.place) address(now.id, now.place, true);
    last = now;
    if (!other && !judged) return;
    changes++;
    if (other && now.saved !== 'saving' && now.saved !== 'cannot') store.set({ saved: 'saving' });
    clearTimeout(waiting);
    waiting = setTimeout(() => void save(), 300);
  });
  addEventListener('pagehide', () => { if (changes !== written) void save(); });
}
