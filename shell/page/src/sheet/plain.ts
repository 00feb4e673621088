/* From the sheet's YAML to plain values, by the same rules as the program itself (shell/adapt/yaml.c): a plain subset,
 * yes and no are truth values, 08:00 is text, and what a sheet must not hold is said with its line. */
import { isAlias, isMap, isScalar, isSeq, LineCounter, parseDocument, Scalar, visit, type Document, type Node } from 'yaml';

export type Plain = string | number | boolean | null | Plain[] | { [key: string]: Plain };
export type Path = (string | number)[];

export interface SheetProblem { line: number; column: number; reason: string; words: string }

export interface Sheet {
  text: string;
  doc: Document;
  /** null when the YAML itself cannot be read; then problems says why. */
  site: { [key: string]: Plain } | null;
  problems: SheetProblem[];
}

const NUMBER = /^-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][-+]?[0-9]+)?$/;

function plainScalar(node: Scalar): Plain {
  const text = String(node.value ?? '');
  const type = node.type;
  if (type && type !== 'PLAIN') {
    const block = type === 'BLOCK_LITERAL' || type === 'BLOCK_FOLDED';
    return block ? text.replace(/\n+$/, '') : text;
  }
  if (text === '') return null;
  if (/^(yes|true)$/i.test(text)) return true;
  if (/^(no|false)$/i.test(text)) return false;
  if (NUMBER.test(text)) return Number(text);
  return text;
}

export function toPlain(node: unknown): Plain {
  if (isMap(node)) {
    const made: { [key: string]: Plain } = {};
    for (const pair of node.items) {
      const key = isScalar(pair.key) ? String(pair.key.value ?? '') : String(pair.key);
      made[key] = toPlain(pair.value);
    }
    return made;
  }
  if (isSeq(node)) return node.items.map(toPlain);
  if (isScalar(node)) return plainScalar(node);
  return null;
}

const SYNTAX: Record<string, string> = {
  DUPLICATE_KEY: 'duplicate', TAB_AS_INDENT: 'tab', MULTIPLE_DOCS: 'documents', BAD_ALIAS: 'alias',
};

function refuse(doc: Document, lines: LineCounter): SheetProblem[] {
  const problems: SheetProblem[] = [];
  const add = (at: number, reason: string, words: string): void => {
    const { line, col } = lines.linePos(at);
    problems.push({ line, column: col, reason, words });
  };
  for (const error of doc.errors) {
    add(error.pos[0], SYNTAX[error.code] ?? 'syntax', error.message.split('\n')[0]!.replace(/ at line.*$/, ''));
  }
  const look = (node: Node): void => {
    const at = node.range?.[0] ?? 0;
    if (isAlias(node)) add(at, 'alias', `*${node.source}`);
    else if ((node as Scalar).anchor) add(at, 'alias', `&${(node as Scalar).anchor}`);
    if (node.tag && node.tag.startsWith('!')) add(at, 'tag', node.tag);
  };
  visit(doc, { Node: (_key, node) => look(node as Node) });
  return problems;
}

export function readSheet(text: string): Sheet {
  const lines = new LineCounter();
  // failsafe: every scalar stays the text that was written; what it means is decided above
  const doc = parseDocument(text, { lineCounter: lines, schema: 'failsafe', keepSourceTokens: false, merge: false, strict: true });
  const problems = refuse(doc as Document, lines);
  const site = toPlain(doc.contents);
  const isSite = site !== null && typeof site === 'object' && !Array.isArray(site);
  if (problems.length === 0 && !isSite) problems.push({ line: 1, column: 1, reason: 'empty', words: '' });
  return { text, doc: doc as Document, site: problems.length === 0 && isSite ? site : null, problems };
}

export function valueAt(site: Plain | undefined, path: Path): Plain | undefined {
  let at: Plain | undefined = site;
  for (const step of path) {
    if (at === null || typeof at !== 'object') return undefined;
    at = Array.isArray(at) ? at[step as number] : at[step as string];
  }
  return at;
}

/** The core's way to write a place: pumps[0].curve[2].head */
export function pathText(path: Path): string {
  return path.map((step, i) => (typeof step === 'number' ? `[${step}]` : (i ? '.' : '') + step)).join('');
}
