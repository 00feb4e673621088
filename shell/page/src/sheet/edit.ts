/* Editing a sheet in place. A value that changes is cut out of the text and the new one put there, so that not one
 * other character moves; what is added or removed goes through the document, which keeps all comments. */
import { isMap, isScalar, isSeq, Pair, Scalar, stringify, YAMLMap, YAMLSeq, type Document, type Node } from 'yaml';
import { unmarked } from './assumed';
import { readSheet, valueAt, type Path, type Plain, type Sheet } from './plain';

const STRINGIFY = { lineWidth: 0, flowCollectionPadding: false } as const;

/** A value as it is written in a sheet: quoted only when it must be. */
function written(value: Plain, inFlow: boolean): string {
  if (value === true) return 'yes';
  if (value === false) return 'no';
  if (value === null) return '';
  if (typeof value === 'number') return String(value);
  const text = String(value);
  const looksOther = /^(yes|no|true|false)$/i.test(text) || text === '' || /[\n\t]/.test(text);
  const special = /^[\s\-?:,[\]{}#&*!|>'"%@`]|: |:$| #|\s$/.test(text) || (inFlow && /[,[\]{}]/.test(text));
  if (!looksOther && !special) return text;
  return stringify(text, { defaultStringType: 'QUOTE_DOUBLE', lineWidth: 0 }).trimEnd();
}

function nodeOf(value: Plain): Node {
  if (Array.isArray(value)) {
    const seq = new YAMLSeq();
    for (const item of value) seq.add(nodeOf(item));
    if (value.every((item) => item === null || typeof item !== 'object')) seq.flow = true;
    return seq;
  }
  if (value !== null && typeof value === 'object') {
    const map = new YAMLMap();
    for (const [key, item] of Object.entries(value)) map.add(new Pair(new Scalar(key), nodeOf(item)));
    return map;
  }
  const scalar = new Scalar(value === true ? 'yes' : value === false ? 'no' : value === null ? '' : String(value));
  if (typeof value === 'string' && /^(yes|no|true|false)$/i.test(value)) scalar.type = 'QUOTE_DOUBLE';
  return scalar;
}

function insideFlow(doc: Document, path: Path): boolean {
  for (let n = 0; n < path.length; n++) {
    const node = doc.getIn(path.slice(0, n), true);
    if ((isMap(node) || isSeq(node)) && node.flow) return true;
  }
  return false;
}

/* Indentation of list items below their key, which the text's author chose. */
function indentOf(text: string): boolean {
  return !/^[\w ]+:\s*(#.*)?\n- /m.test(text);
}

function rewritten(doc: Document, text: string): string {
  return doc.toString({ ...STRINGIFY, indentSeq: indentOf(text) });
}

/** The sheet's text with the value at path changed, added, or (undefined) removed. */
export function withValue(sheet: Sheet, path: Path, value: Plain | undefined): string {
  const node = sheet.doc.getIn(path, true) as Node | undefined;
  const single = value !== undefined && (value === null || typeof value !== 'object');
  if (single && isScalar(node) && node.range && node.type !== 'BLOCK_LITERAL' && node.type !== 'BLOCK_FOLDED') {
    const [start, end] = node.range;
    if (end > start) return sheet.text.slice(0, start) + written(value, insideFlow(sheet.doc, path)) + unmarked(sheet.text.slice(end));
  }
  const doc = readSheet(sheet.text).doc; // a copy of its own: documents are shared by reference
  if (value === undefined) {
    doc.deleteIn(path);
    tidyUp(doc, path);
  } else {
    openUp(doc, path);
    doc.setIn(path, nodeOf(value));
  }
  return rewritten(doc, sheet.text);
}

/* Make what is missing on the way: a map under a name, a list under a number. */
function openUp(doc: Document, path: Path): void {
  for (let n = 1; n < path.length; n++) {
    const at = doc.getIn(path.slice(0, n), true);
    if (isMap(at) || isSeq(at)) continue;
    doc.setIn(path.slice(0, n), typeof path[n] === 'number' ? new YAMLSeq() : new YAMLMap());
  }
}

/* A list or map that became empty goes too, except the lists that a sheet must have. */
function tidyUp(doc: Document, path: Path): void {
  const parent = path.slice(0, -1);
  const node = parent.length ? doc.getIn(parent, true) : undefined;
  if ((isMap(node) || isSeq(node)) && node.items.length === 0 && parent.length <= 2 && typeof path[path.length - 1] === 'number') {
    doc.deleteIn(parent);
  }
}

/** The whole item at path replaced, in the way in which its text was written. */
export function withMap(sheet: Sheet, path: Path, item: { [key: string]: Plain }): string {
  let now = sheet;
  const old = valueOf(sheet, path);
  const step = (key: string, value: Plain | undefined): void => { now = readSheet(withValue(now, [...path, key], value)); };
  for (const key of Object.keys(old)) if (!(key in item)) step(key, undefined);
  for (const [key, value] of Object.entries(item)) if (JSON.stringify(old[key]) !== JSON.stringify(value)) step(key, value);
  return now.text;
}

function valueOf(sheet: Sheet, path: Path): { [key: string]: Plain } {
  const found = valueAt(sheet.site ?? undefined, path);
  return found !== null && typeof found === 'object' && !Array.isArray(found) ? found : {};
}

/** A new item at the end of a list (or before position `at`). */
export function withItem(sheet: Sheet, list: Path, item: Plain, at?: number): string {
  const doc = readSheet(sheet.text).doc;
  const found = doc.getIn(list, true);
  let seq: YAMLSeq;
  if (isSeq(found)) {
    seq = found as YAMLSeq;
  } else {
    seq = new YAMLSeq();
    doc.setIn(list, seq);
  }
  const node = nodeOf(item);
  if (seq.items.some((other) => isMap(other) && other.flow) && isMap(node)) node.flow = true;
  seq.items.splice(at ?? seq.items.length, 0, node);
  return rewritten(doc, sheet.text);
}

/** An item moved within its list. */
export function withMoved(sheet: Sheet, list: Path, from: number, to: number): string {
  const doc = readSheet(sheet.text).doc;
  const seq = doc.getIn(list, true);
  if (!isSeq(seq)) return sheet.text;
  const [item] = seq.items.splice(from, 1);
  seq.items.splice(to, 0, item as Node);
  return rewritten(doc, sheet.text);
}

/** Another list of sentences; those that stand as they were (`was`, by their number) keep their comments. */
export function withSentences(sheet: Sheet, sentences: { words: string; was: number | null; differs: boolean }[]): string {
  const doc = readSheet(sheet.text).doc;
  const seq = doc.getIn(['settings'], true);
  if (!isSeq(seq)) return sheet.text;
  const old = [...seq.items];
  seq.items = sentences.map(({ words, was, differs }) => {
    const node = was === null ? undefined : old[was];
    if (isScalar(node) && differs) node.value = words;
    return node ?? new Scalar(words);
  });
  return rewritten(doc, sheet.text);
}

const REFERENCES: Record<string, { list: string; key: string }[]> = {
  places: ['sources.at', 'pumps.from', 'pumps.to', 'lines.from', 'lines.to', 'vessels.at', 'tanks.at', 'outlets.at', 'sensors.at']
    .map((text) => ({ list: text.split('.')[0]!, key: text.split('.')[1]! })),
  outlets: [{ list: 'demand', key: 'outlet' }],
  pumps: [{ list: 'sensors', key: 'pump' }],
  lines: [{ list: 'sensors', key: 'line' }, { list: 'filters', key: 'line' }],
  filters: [{ list: 'sensors', key: 'filter' }],
};

/** A name changed, and with it wherever the sheet refers to it (sentences are left to the reader's eye). */
export function withName(sheet: Sheet, list: string, index: number, name: string): string {
  const site = sheet.site;
  const items = site?.[list];
  const old = Array.isArray(items) ? (items[index] as { name?: Plain })?.name : undefined;
  let now = sheet;
  const put = (path: Path): void => { now = readSheet(withValue(now, path, name)); };
  put([list, index, 'name']);
  if (!old || !name) return now.text;
  for (const reference of REFERENCES[list] ?? []) {
    const others = site?.[reference.list];
    if (!Array.isArray(others)) continue;
    others.forEach((other, i) => {
      if ((other as { [key: string]: Plain })[reference.key] === old) put([reference.list, i, reference.key]);
    });
  }
  return now.text;
}

/** A sheet of an earlier version of the page: its settings stood under `order`. Not one other character moves. */
export function modern(text: string): string {
  if (!/\border\b/.test(text)) return text;
  const { doc, site } = readSheet(text);
  if (!site || !('order' in site) || 'settings' in site || !isMap(doc.contents)) return text;
  const key = doc.contents.items.map((pair) => pair.key).find((entry): entry is Scalar => isScalar(entry) && entry.value === 'order');
  if (!key?.range) return text;
  const [start, end] = key.range;
  return text.slice(0, start) + text.slice(start, end).replace('order', 'settings') + text.slice(end);
}
