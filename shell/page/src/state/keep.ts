/* Jobs are kept in the browser (IndexedDB), a record each, a moment after each change. What belongs to the person and not to a
 * job (light, language, where it is computed) is kept beside them. */
import type { Units } from '../core/door';
import type { WayName } from '../core/core';
import type { Job, Language, Light } from './job';
import type { KeptProof } from './kept';
import type { Photo } from './photos';

const NAME = 'pumpwright';
const SHELF = 'jobs';       // settings of the person; in the first version also the only job, under 'now'
const RECORDS = 'records';
const PROOFS = 'proofs';    // full checks by the job's id: larger than the job, and written more rarely

/** A state of a job that somebody gave a name. */
export interface Point { name: string; when: number; job: Job }

/** The verdict as it was when the job was left, for the list. */
export interface Left { light: 'good' | 'bad' | 'open'; unseen: number; tried: number }

export interface JobRecord {
  id: string; changed: number; version: number; units: Units; job: Job; past: Job[]; future: Job[]; points: Point[]; left: Left | null;
  photos?: Photo[]; // not there in a record of before
}

export interface Person { light: Light; language: Language; way: WayName; units: Units }
interface Old extends Person { job: Job; past: Job[]; future: Job[] }

function shelf(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open(NAME, 3);
    opening.onupgradeneeded = () => {
      const db = opening.result;
      if (!db.objectStoreNames.contains(SHELF)) db.createObjectStore(SHELF);
      if (!db.objectStoreNames.contains(RECORDS)) db.createObjectStore(RECORDS, { keyPath: 'id' });
      if (!db.objectStoreNames.contains(PROOFS)) db.createObjectStore(PROOFS);
    };
    opening.onsuccess = () => {
      opening.result.onversionchange = () => opening.result.close();
      resolve(opening.result);
    };
    opening.onerror = () => reject(opening.error);
  });
}

/* One transaction; `work` may ask several things of it, each after the other, and tells its result. */
async function within<T>(store: string, mode: IDBTransactionMode, work: (at: IDBObjectStore, done: (value: T) => void) => void): Promise<T> {
  const db = await shelf();
  try {
    return await new Promise<T>((resolve, reject) => {
      const step = db.transaction(store, mode);
      let found: T;
      work(step.objectStore(store), (value) => { found = value; });
      step.oncomplete = () => resolve(found);
      step.onerror = () => reject(step.error);
      step.onabort = () => reject(step.error);
    });
  } finally {
    db.close();
  }
}

const ask = <T>(store: string, mode: IDBTransactionMode, what: (at: IDBObjectStore) => IDBRequest): Promise<T> => (
  within<T>(store, mode, (at, done) => { const asked = what(at); asked.onsuccess = () => done(asked.result as T); }));

export const newId = (): string => Array.from(crypto.getRandomValues(new Uint8Array(6)), (byte) => byte.toString(36).padStart(2, '0')).join('').slice(0, 10);

export const allRecords = (): Promise<JobRecord[]> => ask(RECORDS, 'readonly', (at) => at.getAll());
export const oneRecord = (id: string): Promise<JobRecord | undefined> => ask(RECORDS, 'readonly', (at) => at.get(id));
export const dropRecord = (id: string): Promise<void> => ask(RECORDS, 'readwrite', (at) => at.delete(id));
export const putRecord = (record: JobRecord): Promise<void> => ask(RECORDS, 'readwrite', (at) => at.put(record));

/** Write a record, but not over one that somebody else has written since `version`. False: it was, and nothing was written. */
export function writeRecord(record: JobRecord, version: number): Promise<boolean> {
  return within<boolean>(RECORDS, 'readwrite', (at, done) => {
    const asked = at.get(record.id);
    asked.onsuccess = () => {
      const there = asked.result as JobRecord | undefined;
      if (there && there.version !== version) {
        done(false);
        return;
      }
      at.put(record);
      done(true);
    };
  });
}

export const takeProofs = async (id: string): Promise<KeptProof[]> => await ask<KeptProof[] | undefined>(PROOFS, 'readonly', (at) => at.get(id)) ?? [];
export const putProofs = (id: string, list: KeptProof[]): Promise<void> => ask(PROOFS, 'readwrite', (at) => at.put(list, id));
export const dropProofs = (id: string): Promise<void> => ask(PROOFS, 'readwrite', (at) => at.delete(id));

/** One more, in one transaction: another tab may have finished one, too. The list as it is then. */
export function addProof(id: string, change: (list: KeptProof[]) => KeptProof[]): Promise<KeptProof[]> {
  return within<KeptProof[]>(PROOFS, 'readwrite', (at, done) => {
    const asked = at.get(id);
    asked.onsuccess = () => {
      const list = change(asked.result as KeptProof[] | undefined ?? []);
      at.put(list, id);
      done(list);
    };
  });
}

export const putPerson = (person: Person): Promise<void> => ask(SHELF, 'readwrite', (at) => at.put(person, 'person'));

/** Answers to the questions that begin a job, until it is begun. */
export const putBegun = (begun: unknown): Promise<void> => ask(SHELF, 'readwrite', (at) => (begun === undefined ? at.delete('begun') : at.put(begun, 'begun')));
export const takeBegun = <T>(): Promise<T | undefined> => ask<T | undefined>(SHELF, 'readonly', (at) => at.get('begun'));

/** What was kept of the person. A job of the first version, which kept only one, becomes a record. */
export async function takePerson(): Promise<Person | undefined> {
  const old = await ask<Old | undefined>(SHELF, 'readonly', (at) => at.get('now'));
  if (old) {
    const { job, past, future, units, light, language, way } = old;
    await putRecord({ id: newId(), changed: Date.now(), version: 1, units, job, past, future, points: [], left: null });
    await putPerson({ light, language, way, units });
    await ask(SHELF, 'readwrite', (at) => at.delete('now'));
  }
  return ask<Person | undefined>(SHELF, 'readonly', (at) => at.get('person'));
}
