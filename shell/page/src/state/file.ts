/* The whole job as one file, out and in; and the plain sheet, which is a file too. */
import { jobOf, openJob, store, type Job } from './job';

const KIND = 'pumpwright job';

export function jobFile(): string {
  const state = store.get();
  const name = typeof state.sheet.site?.site === 'string' ? state.sheet.site.site : '';
  return JSON.stringify({ file: KIND, version: 1, name, units: state.units, ...jobOf(state) }, null, 1) + '\n';
}

export function fileName(ending: string): string {
  const name = String(store.get().sheet.site?.site ?? 'site');
  const plain = name.normalize('NFKD').replace(/[^\w]+/g, '-').replace(/^-+|-+$/g, '').toLowerCase();
  return `${plain || 'site'}.${ending}`;
}

/** A job from a file's text: a job file, or a site sheet in YAML or JSON. Null: neither. */
export function jobFrom(text: string): Job | null {
  try {
    const value = JSON.parse(text) as { file?: string; sheet?: unknown; trouble?: Job['trouble']; files?: unknown; about?: unknown };
    if (value?.file === KIND) {
      const trouble = value.trouble && typeof value.trouble.what === 'string' ? { ...value.trouble, days: value.trouble.days === 14 ? 14 : 2 } : null;
      return typeof value.sheet === 'string' ? { sheet: value.sheet, trouble, files: textsOf(value.files), about: textsOf(value.about) } : null;
    }
  } catch {
    // not JSON: a sheet in YAML
  }
  return /^["{]|^\s*site\s*:/m.test(text) ? { sheet: text, trouble: null, files: {}, about: {} } : null;
}

function textsOf(value: unknown): Record<string, string> {
  if (value === null || typeof value !== 'object') return {};
  return Object.fromEntries(Object.entries(value as object).filter(([, text]) => typeof text === 'string')) as Record<string, string>;
}

export async function openFile(file: File): Promise<boolean> {
  if (file.size > 8e6) return false;
  const job = jobFrom(await file.text());
  if (job) openJob(job);
  return job !== null;
}

export function giveFile(name: string, text: string, type: string): void {
  const url = URL.createObjectURL(new Blob([text], { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10e3);
}
