/* The job is kept in the browser (IndexedDB) a moment after each change, and taken up again when the page is opened. */
import { jobOf, store, taken, type Job, type Language, type Light, type State } from './job';
import type { Units } from '../core/door';
import type { WayName } from '../core/core';

const NAME = 'pumpwright';
const SHELF = 'jobs';

interface Kept { job: Job; past: Job[]; future: Job[]; units: Units; light: Light; language: Language; way: WayName }

function shelf(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open(NAME, 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore(SHELF);
    opening.onsuccess = () => resolve(opening.result);
    opening.onerror = () => reject(opening.error);
  });
}

async function within<T>(mode: IDBTransactionMode, work: (at: IDBObjectStore) => IDBRequest<T>): Promise<T> {
  const db = await shelf();
  try {
    return await new Promise<T>((resolve, reject) => {
      const step = db.transaction(SHELF, mode);
      const asked = work(step.objectStore(SHELF));
      step.oncomplete = () => resolve(asked.result);
      step.onerror = () => reject(step.error);
      step.onabort = () => reject(step.error);
    });
  } finally {
    db.close();
  }
}

function keptOf(state: State): Kept {
  const { past, future, units, light, language, way } = state;
  return { job: jobOf(state), past: past.slice(-50), future: future.slice(0, 50), units, light, language, way };
}

let changes = 0;

/* What changes while it is being written is not kept yet, whatever the browser says of the write: its own turn comes. */
async function save(): Promise<void> {
  const written = changes;
  try {
    await within('readwrite', (at) => at.put(keptOf(store.get()), 'now'));
    if (written === changes) store.set({ saved: 'saved' });
  } catch {
    store.set({ saved: 'cannot' });
  }
}

let waiting: ReturnType<typeof setTimeout> | undefined;

/** Take up what was kept. False: there is nothing, or the browser keeps nothing. */
export async function takeUp(): Promise<boolean> {
  try {
    const kept = (await within('readonly', (at) => at.get('now'))) as Kept | undefined;
    if (!kept) return false;
    const { job, past, future, units, light, language, way } = kept;
    store.set({ ...taken(job), trouble: job.trouble && { ...job.trouble, days: job.trouble.days ?? 2 }, files: job.files ?? {}, about: job.about ?? {}, past, future, units, light, language, way, saved: 'saved' });
    return true;
  } catch {
    store.set({ saved: 'cannot' });
    return false;
  }
}

export function watchKeep(): void {
  let last = store.get();
  store.on(() => {
    const now = store.get();
    const other = now.sheet !== last.sheet || now.trouble !== last.trouble || now.about !== last.about || now.units !== last.units || now.light !== last.light ||
      now.language !== last.language || now.way !== last.way;
    last = now;
    if (!other) return;
    changes++;
    if (now.saved !== 'saving' && now.saved !== 'cannot') store.set({ saved: 'saving' });
    clearTimeout(waiting);
    waiting = setTimeout(() => void save(), 300);
  });
  addEventListener('pagehide', () => { if (waiting) void save(); });
}
