/* The site sheet as text: the same job, both ways without loss. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { maybe, useWords } from '../i18n/words';
import { readSheet } from '../sheet/plain';
import { setText, store } from '../state/job';
import { useStore } from '../state/store';

export function SheetText() {
  const t = useWords();
  const language = useStore(store, (state) => state.language);
  const text = useStore(store, (state) => state.sheet.text);
  const [typed, type] = useState(text);
  const [problems, setProblems] = useState(() => readSheet(text).problems);
  const area = useRef<HTMLTextAreaElement>(null);
  useEffect(() => { if (document.activeElement !== area.current) { type(text); setProblems(readSheet(text).problems); } }, [text]);
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
