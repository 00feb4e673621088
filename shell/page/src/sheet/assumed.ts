/* Values that nobody has measured or typed: a start took them so that there can be an answer at all. Each carries the mark
 * `# assumed` in the sheet's text, so that it goes wherever the sheet goes, and loses it when it is replaced or confirmed. */
import { isMap, isScalar, isSeq, type Scalar } from 'yaml';
import { readSheet, type Path, type Sheet } from './plain';

export const MARK = 'assumed';
/** The mark as it stands behind a value. */
export const MARKED = ` # ${MARK}`;
const BEHIND = new RegExp(`^[ \\t]*# ${MARK}(?=[ \\t]*(\\n|$))`);

export const isAssumed = (node: unknown): node is Scalar => isScalar(node) && node.comment?.trim() === MARK;

/** The paths of all assumed values, in the order of the text. */
export function assumedIn(sheet: Sheet): Path[] {
  const found: Path[] = [];
  if (!sheet.text.includes(`# ${MARK}`)) return found;
  const walk = (node: unknown, path: Path): void => {
    if (isAssumed(node)) found.push(path);
    else if (isMap(node)) for (const pair of node.items) walk(pair.value, [...path, String((pair.key as Scalar).value)]);
    else if (isSeq(node)) node.items.forEach((item, i) => walk(item, [...path, i]));
  };
  walk(sheet.doc.contents, []);
  return found;
}

/** What stands behind a value that is replaced: without its mark. */
export const unmarked = (behind: string): string => behind.replace(BEHIND, '');

/** The text with the mark of one value gone: it is so. */
export function withoutMark(sheet: Sheet, path: Path): string {
  const node = sheet.doc.getIn(path, true);
  const end = isAssumed(node) ? node.range?.[1] : undefined;
  return end === undefined ? sheet.text : settled(sheet.text.slice(0, end) + unmarked(sheet.text.slice(end)), sheet);
}

/** The text as that of a real site: no value is assumed any more, and nothing is invented. */
export function asReal(sheet: Sheet): string {
  const plain = sheet.text.replace(new RegExp(`[ \\t]*# ${MARK}[ \\t]*$`, 'gm'), '');
  return withoutInvented(plain);
}

const withoutInvented = (text: string): string => text.replace(/^invented:[^\n]*\n/m, '');

/** When the last assumed value of a sheet is gone, so is what was invented in it. */
export function settled(text: string, before: Sheet): string {
  if (before.site?.invented !== true || assumedIn(before).length === 0) return text;
  const now = readSheet(text);
  return now.site && assumedIn(now).length === 0 ? withoutInvented(text) : text;
}
