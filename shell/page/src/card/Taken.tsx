/* What of the sheet was assumed by a start: each value leads to its field; all of them can be said to be so in one step. */
import { useWords } from '../i18n/words';
import { assumedIn } from '../sheet/assumed';
import type { Units } from '../core/door';
import { pathText, valueAt, type Path, type Sheet } from '../sheet/plain';
import { shownText } from '../sheet/quantity';
import { edit, store, type Language, type State } from '../state/job';
import { useStore } from '../state/store';
import { goTo } from './Look';
import { named } from './named';

interface Taken { path: Path; name: string; value: string }

function takenOf(sheet: Sheet, language: Language, units: Units): Taken[] {
  return assumedIn(sheet).map((path) => {
    const { dimension, name } = named(path, language, sheet.site);
    const text = String(valueAt(sheet.site ?? undefined, path) ?? '');
    return { path, name, value: dimension ? shownText(text, dimension, units) : text };
  });
}

export function useTaken(): Taken[] {
  const language = useStore(store, (state) => state.language);
  const units = useStore(store, (state) => state.units);
  const sheet = useStore(store, (state) => state.sheet);
  return takenOf(sheet, language, units);
}

export function TakenPanel() {
  const t = useWords();
  const taken = useTaken();
  if (taken.length === 0) return null;
  return (
    <section class="taken">
      <details>
        <summary><em class="tag">{t('assumed.mark')}</em> <b>{t('assumed.title', { n: taken.length })}</b></summary>
        <ul class="plain">{taken.map(({ path, name, value }) => (
          <li><button type="button" class="lead" onClick={() => void goTo(pathText(path))}>{name}: <b>{value}</b></button></li>))}</ul>
      </details>
      <p class="says">{t('assumed.says')}</p>
      <p class="row"><button type="button" onClick={edit.real}>{t('assumed.real')}</button></p>
    </section>
  );
}

/** As it is told on the paper. */
export const takenWords = (state: State): string[] => takenOf(state.sheet, state.language, state.units)
  .map(({ name, value }) => `${name}${name.includes(':') ? ' =' : ':'} ${value}`);
