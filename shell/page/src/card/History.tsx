/* The history of a job: states of it that somebody gave a name, to go back to. */
import { useRef } from 'preact/hooks';
import { useWords } from '../i18n/words';
import { backTo, store } from '../state/job';
import { addPoint } from '../state/jobs';
import { useStore } from '../state/store';

export function History() {
  const t = useWords();
  const points = useStore(store, (state) => state.points);
  const language = useStore(store, (state) => state.language);
  const box = useRef<HTMLInputElement>(null);
  const when = (at: number): string => new Date(at).toLocaleString(language === 'de' ? 'de-DE' : 'en-GB', { dateStyle: 'medium', timeStyle: 'short' });
  const add = (): void => {
    const name = box.current!.value.trim();
    if (name === '') return;
    addPoint(name);
    box.current!.value = '';
  };
  return (
    <section class="history">
      <h3>{t('history.title')}</h3>
      <form class="row" onSubmit={(event) => { event.preventDefault(); add(); }}>
        <input ref={box} type="text" aria-label={t('history.name')} placeholder={t('history.name')} autocomplete="off" />
        <button type="submit">{t('history.add')}</button>
      </form>
      <ul class="plain">{[...points].reverse().map((point) => (
        <li class="row"><span><b>{point.name}</b> <small>{when(point.when)}</small></span>
          <button type="button" class="quiet" aria-label={t('history.back.of', { name: point.name })} onClick={() => backTo(point.job)}>{t('history.back')}</button></li>
      ))}</ul>
    </section>
  );
}
