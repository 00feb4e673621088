/* What a place of the sheet is called on the card: "vessel: Precharge"; a sentence by the heading of its list. */
import { maybe } from '../i18n/words';
import { GROUPS } from '../sheet/questions';
import { readSheet, valueAt, type Path, type Plain, type Sheet } from '../sheet/plain';
import type { Dimension } from '../sheet/quantity';
import { labelOf } from './Field';

type Site = { [key: string]: Plain } | null;

const OF_POINT: Record<string, Dimension> = { flow: 'flow', head: 'length', efficiency: 'fraction' };

export interface Named { name: string; dimension: Dimension | undefined }

export function named(path: Path, language: 'en' | 'de', site: Site): Named {
  const [list, nth] = path;
  if (list === 'settings') return { name: maybe(language, 'stretch.settings') ?? '', dimension: undefined };
  const group = GROUPS.find((one) => one.id === list) ?? GROUPS[0]!; // what stands in no list is the site's own
  const own = group.id === 'site';
  const item = valueAt(site ?? undefined, path.slice(0, 2)) as { name?: unknown; outlet?: unknown } | undefined;
  const title = maybe(language, `g.${group.id}`) ?? group.id;
  const whose = group.list ? String(item?.name ?? item?.outlet ?? title) : title;
  const inner = path.slice(own ? 0 : typeof nth === 'number' ? 2 : 1);
  if (inner.length === 0) return { name: whose, dimension: undefined };
  if (inner[0] === 'curve' && typeof inner[1] === 'number') {
    const column = String(inner[2] ?? 'flow');
    return { name: `${whose}: ${maybe(language, `curve.${column}`) ?? column} ${inner[1] + 1}`, dimension: OF_POINT[column] };
  }
  const question = group.questions.find((one) => one.path.join('/') === inner.join('/'));
  return { name: `${whose}: ${question ? labelOf(language, group.id, question) : inner[inner.length - 1]}`, dimension: question?.dimension };
}

/** Where two sites differ first, in the order of the first; null: nowhere. */
export function differs(one: Plain | undefined, other: Plain | undefined, at: Path = []): Path | null {
  if (one === other) return null;
  const plain = (value: Plain | undefined): value is { [key: string]: Plain } | Plain[] => value !== null && typeof value === 'object';
  if (!plain(one) || !plain(other) || Array.isArray(one) !== Array.isArray(other)) return at;
  if (Array.isArray(one) && one.length !== (other as Plain[]).length) return at;
  const keys = new Set([...Object.keys(one), ...Object.keys(other)]);
  for (const key of keys) {
    const found = differs((one as { [key: string]: Plain })[key], (other as { [key: string]: Plain })[key], [...at, Array.isArray(one) ? Number(key) : key]);
    if (found) return found;
  }
  return null;
}

/** What a step to another state of the job changes, by its first place; what stands on the papers, or a fault, has no place in the sheet. */
export function stepName(now: Sheet, job: { sheet: string }, language: 'en' | 'de'): string {
  const path = now.text === job.sheet ? null : differs(now.site ?? undefined, readSheet(job.sheet).site ?? undefined);
  if (path) return path.length > 0 ? named(path, language, now.site).name : maybe(language, 'sheet.title') ?? '';
  return maybe(language, now.text === job.sheet ? 'bar.step.other' : 'sheet.title') ?? '';
}
