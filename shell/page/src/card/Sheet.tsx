/* The site sheet as text: the same job, both ways without loss. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { maybe, useWords } from '../i18n/words';
import type { Node } from 'yaml';
import { readSheet, type Path } from '../sheet/plain';
import { setText, store } from '../state/job';
import { useStore } from '../state/store';

let lookedAt: [number, number] | undefined; // what is to be marked when the text is opened

/** Open the text where a value stands; where its part stands, when it is not there itself. */
export function lookInText(where: string): void {
  const { doc } = store.get().sheet;
  const path: Path = [...where.matchAll(/\[(\d+)\]|[^.[\]]+/g)].map(([step, number]) => (number === undefined ? step : Number(number)));
  lookedAt = [0, 0];
  for (let n = path.length; n > 0; n--) {
    const range = (doc.getIn(path.slice(0, n), true) as Node | undefined)?.range;
    if (!range) continue;
    lookedAt = [range[0], range[1]];
    break;
  }
  store.set({ dialog: 'sheet-box' });
}

/* The line in the middle of the box, its words marked. */
function mark(area: HTMLTextAreaElement): void {
  if (!lookedAt) return;
  const [from, to] = lookedAt;
  lookedAt = undefined;
  area.focus();
  area.setSelectionRange(from, to);
  const lines = area.value.split('\n').length;
  const line = area.value.slice(0, from).split('\n').length;
  area.scrollTop = (area.scrollHeight * line) / lines - area.clientHeight / 2;
}

export function SheetText() {
  const t = useWords();
  const language = useStore(store, (state) => state.language);
  const text = useStore(store, (state) => state.sheet.text);
  const [typed, type] = useState(text);
  const [problems, setProblems] = useState(() => readSheet(text).problems);
  const area = useRef<HTMLTextAreaElement>(null);
  useEffect(() => { if (document.activeElement !== area.current) { type(text); setProblems(readSheet(text).problems); } }, [text]);
  useEffect(() => { if (area.current) mark(area.current); }, []);
  const take = (now: string): void => {
    type(now);
    const found = readSheet(now).problems;
    setProblems(found);
    if (found.length === 0) setText(now, 'sheet');
  };
  return (
    <div class="sheet-text">
      <label for="sheet">{t('sheet.label')}</label>
      <textarea id="sheet" ref={area} value={typed} rows={24} spellcheck={false} autocapitalize="off" autocomplete="off" wrap="off"
        aria-describedby="sheet-problems" onInput={(event) => take(event.currentTarget.value)} />
      <div class="problems" id="sheet-problems" aria-live="polite">
        {problems.map((problem) => (
          <p class="error">{t('sheet.line', { line: problem.line, column: problem.column })} {maybe(language, `yaml.${problem.reason}`) ?? ''} {problem.words}</p>
        ))}
        {problems.length > 0 && <p>{t('sheet.kept')}</p>}
      </div>
    </div>
  );
}
