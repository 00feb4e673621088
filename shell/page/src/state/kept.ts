/* Full checks are kept with their job, each with the state of it that it was made for: the sheet, and the measured flows given to the
 * job. A check is never thrown away because the job has changed; whether it holds is a comparison. */
import type { Proof, Units } from '../core/door';
import type { Outcomes } from '../core/proof';
import type { Language, State } from './job';

export interface KeptProof {
  when: number;
  sheet: string;
  files: Record<string, string>;
  /** Units and language of its words. */
  units: Units;
  language: Language;
  answer: Proof;
  /** What the papers are assembled from; null: of a check that was kept before they were. */
  outcomes: Outcomes | null;
}

/** So many of a job stay; the oldest goes first. */
export const MOST_KEPT = 4;

type Now = Pick<State, 'sheet' | 'files' | 'units' | 'language'>;

const sameFiles = (one: Record<string, string>, other: Record<string, string>): boolean => {
  const names = Object.keys(one);
  return names.length === Object.keys(other).length && names.every((name) => one[name] === other[name]);
};

/** The job is still as it was checked. */
export const holds = (kept: KeptProof, now: Now): boolean => kept.sheet === now.sheet.text && sameFiles(kept.files, now.files);

/** The check of the job as it is, in the words that are wanted; undefined: there is none. */
export const keptOf = (list: KeptProof[], now: Now): KeptProof | undefined => (
  list.find((kept) => holds(kept, now) && kept.units === now.units && kept.language === now.language));

/** The list with a new one in front. One of the same state and words gives way. */
export const withKept = (list: KeptProof[], fresh: KeptProof): KeptProof[] => (
  [fresh, ...list.filter((kept) => kept.sheet !== fresh.sheet || !sameFiles(kept.files, fresh.files) || kept.units !== fresh.units
    || kept.language !== fresh.language)].slice(0, MOST_KEPT));
