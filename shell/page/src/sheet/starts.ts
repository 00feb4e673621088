/* Sheets to begin with: the project's examples and a few more of the usual kinds. All of them are invented and say so. */
import { files } from 'starts:files';

declare const __MEASURED_URL__: string;

export interface Start { id: string; text: string }

export const STARTS: Start[] = files.starts;

/** Files that sheets refer to by name (measured flows): all in the one file; else fetched when the first sheet names one. */
export let MEASURED: Record<string, string> = files.measured;

let fetched: Promise<void> | undefined;

export const isMeasured = (name: string): boolean => files.names.includes(name);

/** Null: this file is there, or none of ours. */
export function fetchMeasured(name: string): Promise<void> | null {
  if (!isMeasured(name) || name in MEASURED) return null;
  fetched ??= fetch(__MEASURED_URL__).then((response) => response.json()).then((all: Record<string, string>) => { MEASURED = all; });
  fetched.catch(() => { fetched = undefined; });
  return fetched;
}
