/* What of the sheet was assumed by a start: each value leads to its field; all of them can be said to be so in one step. */
import { useWords } from '../i18n/words';
import { assumedIn } from '../sheet/assumed';
import { pathText, valueAt, type Path } from '../sheet/plain';
import { shownText } from '../sheet/quantity';
import { edit, store } from '../state/job';
import { useStore } from '../state/store';
import { goTo } from './Look';
import { named } from './named';

interface Taken { path: Path; name: string; value: string }

export function useTaken(): Taken[] {
  const language = useStore(store, (state) => state.language);
  const units = useStore(store, (state) => state.units);
  const sheet = useStore(store, (state) => state.sheet);
  return assumedIn(sheet).map((path) => {
    const { dimension, name } = named(path, language, sheet.site);
    const text = String(valueAt(sheet.site ?? undefined, path) ?? '');
    return { path, name, value: dimension ? shownText(text, dimension, units) : text };
  });
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

/** On the paper: what stands there and was never measured. */
export function TakenOnPaper() {
  const t = useWords();
  const taken = useTaken();
  if (taken.length === 0) return null;
  return <><h3>{t('assumed.paper')}</h3><p class="taken-list">{taken.map(({ name, value }) => `${name}${name.includes(':') ? ' =' : ':'} ${value}`).join('; ')}.</p></>;
}
