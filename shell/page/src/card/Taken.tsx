/* What of the sheet was assumed by a start: each value leads to its field; all of them can be said to be so in one step. */
import { maybe, useWords } from '../i18n/words';
import { assumedIn } from '../sheet/assumed';
import { pathText, valueAt, type Path } from '../sheet/plain';
import { GROUPS, type Question } from '../sheet/questions';
import { shownText, type Dimension } from '../sheet/quantity';
import { edit, store } from '../state/job';
import { useStore } from '../state/store';
import { labelOf } from './Field';
import { goTo } from './Look';

interface Taken { path: Path; name: string; value: string }

/* "vessel: Precharge" and its value in the units that are shown; a sentence is its own name. */
function named(path: Path, language: 'en' | 'de'): Omit<Taken, 'value'> & { dimension?: Dimension } {
  const [list, nth] = path;
  const group = GROUPS.find((one) => one.id === list);
  const inner = path.slice(typeof nth === 'number' ? 2 : 1);
  const item = valueAt(store.get().sheet.site ?? undefined, path.slice(0, 2)) as { name?: unknown; outlet?: unknown } | undefined;
  const whose = typeof nth === 'number' ? String(item?.name ?? item?.outlet ?? maybe(language, `g.${list}`) ?? list) : maybe(language, `g.${list}`) ?? String(list);
  const question = group?.questions.find((one: Question) => one.path.join('/') === inner.join('/'));
  if (list === 'settings') return { path, name: maybe(language, 'stretch.settings') ?? '' };
  const point = inner[0] === 'curve' ? maybe(language, `curve.${String(inner[2])}`) : undefined;
  return { path, name: `${whose}: ${question ? labelOf(language, String(list), question) : `${point ?? String(inner[inner.length - 1])}${point ? ` ${Number(inner[1]) + 1}` : ''}`}`,
    dimension: question?.dimension ?? (point ? ({ flow: 'flow', head: 'length', efficiency: 'fraction' } as const)[String(inner[2]) as 'flow'] : undefined) };
}

export function useTaken(): Taken[] {
  const language = useStore(store, (state) => state.language);
  const units = useStore(store, (state) => state.units);
  const sheet = useStore(store, (state) => state.sheet);
  return assumedIn(sheet).map((path) => {
    const { dimension, ...rest } = named(path, language);
    const text = String(valueAt(sheet.site ?? undefined, path) ?? '');
    return { ...rest, value: dimension ? shownText(text, dimension, units) : text };
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
  return <><h3>{t('assumed.paper')}</h3><p class="taken-list">{taken.map(({ name, value }) => `${name} ${value}`).join('; ')}.</p></>;
}
