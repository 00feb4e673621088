/* What is wrong, and what somebody should look at: each leads to its field, or to its line of the sheet's text. */
import { useWords } from '../i18n/words';
import { HAS_WASM } from '../core/core';
import { isWithin, problemsNow } from '../state/ask';
import { store } from '../state/job';
import { useStore } from '../state/store';
import { lookInText } from './Sheet';

/* A part makes its fields when it is opened: at once, or some frames later when the machine is busy. */
async function opened(part: HTMLDetailsElement): Promise<void> {
  part.open = true;
  for (let frame = 0; frame < 120 && !part.querySelector('[data-path], details.item'); frame++) {
    await new Promise((done) => requestAnimationFrame(done));
  }
}

function fieldOf(part: Element, path: string): HTMLElement | undefined {
  const fields = [...part.querySelectorAll<HTMLElement>('[data-path]')];
  const own = (field: HTMLElement): string => field.dataset.path!;
  return fields.find((field) => own(field) === path) ?? fields.find((field) => isWithin(own(field), path) || isWithin(path, own(field)));
}

function show(what: HTMLElement, focus: HTMLElement | null): void {
  what.scrollIntoView({ block: 'center', behavior: 'auto' });
  focus?.focus({ preventScroll: true });
}

/** Open what has to be opened, and bring the field into view. What has no field is shown in the sheet's text. */
export async function goTo(path: string): Promise<void> {
  const sentence = /^settings\[(\d+)\]/.exec(path);
  const place = /^settings\b/.test(path) ? 'settings' : 'site';
  if (store.get().place !== place) {
    store.set({ place });
    await new Promise((done) => requestAnimationFrame(done));
  }
  if (sentence) {
    const line = document.querySelector<HTMLElement>(`[data-sentence="${sentence[1]}"]`);
    if (line) show(line, line.querySelector('button'));
    return;
  }
  const [, list, nth] = /^([a-z]+)(?:\[(\d+)\])?/.exec(path) ?? [];
  const group = document.getElementById(`group-${list}`) ?? document.getElementById('group-site')!;
  if (group instanceof HTMLDetailsElement) await opened(group);
  const part = nth === undefined ? group : group.querySelectorAll<HTMLDetailsElement>('details.item')[Number(nth)];
  if (part instanceof HTMLDetailsElement) await opened(part);
  const more = part?.querySelector<HTMLDetailsElement>('details.more');
  if (part && !fieldOf(part, path) && more) await opened(more);
  const field = part && fieldOf(part, path);
  if (field) show(field, field);
  else if (nth !== undefined && part && /\]$/.test(path)) show(part, part.querySelector('summary'));
  else lookInText(path);
}

interface Listed { paths: string; words: string }

function List({ of }: { of: Listed[] }) {
  return (
    <ul class="plain">{of.map((entry) => (
      <li><button type="button" class="lead" onClick={() => void goTo(entry.paths)}>{entry.words}</button></li>
    ))}</ul>
  );
}

function useListed(warnings: boolean): Listed[] {
  return JSON.parse(useStore(store, (state) => JSON.stringify(
    problemsNow(state).filter((problem) => problem.warning === warnings).map(({ paths, words }) => ({ paths, words }))))) as Listed[];
}

export function Look() {
  const t = useWords();
  const wrong = useListed(false);
  const odd = useListed(true);
  const text = JSON.parse(useStore(store, (state) => JSON.stringify(state.sheet.problems.map((problem) => (
    `${t('sheet.line', { line: problem.line, column: problem.column })} ${problem.words}`))))) as string[];
  const failure = useStore(store, (state) => state.failure);
  const waiting = useStore(store, (state) => state.waiting);
  const count = wrong.length + text.length;
  return (
    <>
      {(count > 0 || failure || waiting) && (
        <div class="wrong" role="status">
          {failure && <p class="error">{t(failure.key, { why: failure.why })}</p>}
          {failure && failure.key !== 'failure' && HAS_WASM && (
            <p><button type="button" onClick={() => store.set({ way: 'worker', failure: null })}>{t('failure.here')}</button></p>
          )}
          {waiting && !failure && <p class="warning">{t('failure.waiting')}</p>}
          {count > 0 && (
            <details><summary>{t('wrong', { n: count })}</summary>
              {text.length > 0 && <ul class="plain">{text.map((words) => <li>{words}</li>)}</ul>}
              <List of={wrong} />
            </details>
          )}
        </div>
      )}
      {odd.length > 0 && (
        <div class="wrong odd" role="status">
          <details><summary>{t(odd.length === 1 ? 'odd.one' : 'odd', { n: odd.length })}</summary><List of={odd} /></details>
        </div>
      )}
    </>
  );
}

/** The sign at a closed item of a list that something in it is wrong, or to be looked at. */
export function Sign({ path, within = true }: { path: string; within?: boolean }) {
  const t = useWords();
  const sign = useStore(store, (state) => {
    const inside = problemsNow(state).filter((problem) => problem.paths === path || (within && isWithin(problem.paths, path)));
    return inside.some((problem) => !problem.warning) ? 'wrong' : inside.length > 0 ? 'odd' : '';
  });
  if (!sign) return null;
  return <em class={`sign-${sign}`}>{t(sign === 'wrong' ? 'sign.wrong' : 'sign.odd')}</em>;
}
