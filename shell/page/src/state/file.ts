/* Jobs as files, out and in: one, or all of them; and the plain sheet, which is a file too. */
import type { Units } from '../core/door';
import { addJob, listJobs } from './jobs';
import { jobOf, nameOf, store, type Job } from './job';
import type { Point } from './keep';
import { photosOf, type Photo } from './photos';

const KIND = 'pumpwright job';
const KINDS = 'pumpwright jobs';

interface Carried extends Job { units: Units; points: Point[]; photos: Photo[] }

const carried = (job: Job, units: Units, points: Point[], photos: Photo[]): object => ({ file: KIND, version: 1, name: nameOf(job), units, ...job, points, photos });

export function jobFile(): string {
  const state = store.get();
  return JSON.stringify(carried(jobOf(state), state.units, state.points, state.photos), null, 1) + '\n';
}

/** All jobs of the list in one file. */
export function allFile(): string {
  return JSON.stringify({ file: KINDS, version: 1, jobs: store.get().jobs.map((record) => carried(record.job, record.units, record.points, record.photos ?? [])) }, null, 1) + '\n';
}

export function fileName(ending: string): string {
  const name = String(store.get().sheet.site?.site ?? 'site');
  const plain = name.normalize('NFKD').replace(/[^\w]+/g, '-').replace(/^-+|-+$/g, '').toLowerCase();
  return `${plain || 'site'}.${ending}`;
}

const UNITS: Units[] = ['metric', 'bar', 'us'];

/** A job out of what a file or a link held. Null: it is none. */
export function jobOut(value: unknown): Carried | null {
  const { file, units, points, photos } = (value ?? {}) as Record<string, unknown>;
  const job = file === KIND ? stateOut(value) : null;
  return job && { ...job, units: UNITS.find((known) => known === units) ?? store.get().units, points: pointsOf(points), photos: photosOf(photos) };
}

/* What undo and named states hold of a job. */
function stateOut(value: unknown): Job | null {
  const { sheet, trouble, files, about } = (value ?? {}) as Record<string, unknown>;
  if (typeof sheet !== 'string') return null;
  const fault = trouble as Job['trouble'];
  return { sheet, trouble: fault && typeof fault.what === 'string' ? { ...fault, days: fault.days === 14 ? 14 : 2 } : null, files: textsOf(files), about: textsOf(about) };
}

function pointsOf(value: unknown): Point[] {
  if (!Array.isArray(value)) return [];
  return (value as Partial<Point>[]).flatMap((point) => {
    const job = stateOut(point?.job);
    return job && typeof point.name === 'string' ? [{ name: point.name, when: Number(point.when) || 0, job }] : [];
  });
}

/** The jobs of a file's text: a job file, one of many, or a site sheet in YAML or JSON. */
export function jobsFrom(text: string): Carried[] {
  let value = null as { file?: unknown; jobs?: unknown } | null;
  try {
    value = JSON.parse(text) as { file?: unknown };
  } catch {
    // not JSON: a sheet in YAML
  }
  if (value?.file === KIND) return [jobOut(value)].flatMap((job) => job ?? []);
  if (value?.file === KINDS) return Array.isArray(value.jobs) ? value.jobs.flatMap((one) => jobOut(one) ?? []) : [];
  const isSheet = value ? typeof value === 'object' && 'site' in value : /^\s*["']?site["']?\s*:/m.test(text);
  return isSheet ? [{ sheet: text, trouble: null, files: {}, about: {}, units: store.get().units, points: [], photos: [] }] : [];
}

export type Sort = 'empty' | 'big' | 'pdf' | 'picture' | 'archive' | 'page' | 'table' | 'data' | 'binary' | 'text';

/** What a file is that is no job, as far as its beginning tells. */
export function sortOf(text: string): Sort {
  if (text.trim() === '') return 'empty';
  if (text.startsWith('%PDF')) return 'pdf';
  if (/^(\uFFFDPNG|GIF8|\uFFFD{3,4}..(JFIF|Exif)|RIFF)/s.test(text) || /^.{0,12}(JFIF|Exif|WEBP|ftyp)/s.test(text)) return 'picture';
  if (/^(PK\x03\x04|\x1f)/.test(text)) return 'archive';
  if (/^\s*<(!doctype|html|\?xml|svg)/i.test(text)) return 'page';
  if (/[\x00-\x08\uFFFD]/.test(text.slice(0, 4000))) return 'binary';
  if (/^\s*[[{]/.test(text)) return 'data';
  const lines = text.split(/\r?\n/).slice(0, 5).filter((line) => line !== '');
  const table = [';', '\t', ','].some((sign) => lines.length > 1 && lines.every((line) => line.includes(sign) && line.split(sign).length === lines[0]!.split(sign).length));
  if (table) return 'table';
  return 'text';
}

function textsOf(value: unknown): Record<string, string> {
  if (value === null || typeof value !== 'object') return {};
  return Object.fromEntries(Object.entries(value as object).filter(([, text]) => typeof text === 'string')) as Record<string, string>;
}

const MOST_BYTES = 32e6;

/** The jobs of a file become jobs of the list, beside those that are there; a single one is opened. What it is instead, when it holds none. */
export async function openFile(file: File): Promise<Sort | null> {
  if (file.size > MOST_BYTES) return 'big';
  const text = await file.text();
  const jobs = jobsFrom(text);
  if (jobs.length === 0) return sortOf(text);
  for (const { units, points, photos, ...job } of jobs) await addJob(job, units, jobs.length === 1, { points, photos });
  if (jobs.length > 1) await listJobs();
  return null;
}

export function giveFile(name: string, text: string, type: string): void {
  const url = URL.createObjectURL(new Blob([text], { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10e3);
}
