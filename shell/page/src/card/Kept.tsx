/* Full checks that stay with the job: when each was made, for which state of the job, and the way back to it. */
import { useWords, type Say } from '../i18n/words';
import { setText, store, type Language, type State } from '../state/job';
import { holds, type KeptProof } from '../state/kept';
import { useStore } from '../state/store';
import { stepName } from './named';

const whenOf = (when: number, language: Language): string => new Date(when).toLocaleString(language === 'de' ? 'de-DE' : 'en-GB', { dateStyle: 'medium', timeStyle: 'short' });

/** For which state of the job a check holds: as it is now, or for an earlier one, with what has changed since. */
export function stateWords(t: Say, language: Language, kept: KeptProof, now: Pick<State, 'sheet' | 'files' | 'points'>): string {
  const when = whenOf(kept.when, language);
  if (holds(kept, { ...now, units: kept.units, language: kept.language })) return t('kept.holds', { when });
  const point = now.points.find((one) => one.job.sheet === kept.sheet);
  const since = t('kept.since', { when, what: stepName(now.sheet, { sheet: kept.sheet }, language) });
  return point ? `${since} ${t('kept.point', { name: point.name })}` : since;
}

export function Kept({ shown, look }: { shown: KeptProof | null; look(kept: KeptProof | null): void }) {
  const t = useWords();
  const kept = useStore(store, (state) => state.kept);
  const language = useStore(store, (state) => state.language);
  const sheet = useStore(store, (state) => state.sheet);
  const files = useStore(store, (state) => state.files);
  const points = useStore(store, (state) => state.points);
  const others = kept.filter((one) => one !== shown);
  if (others.length === 0) return null;
  return (
    <details class="more kept" open={shown === null}>
      <summary>{t('kept.title', { n: others.length })}</summary>
      <ul class="plain">{others.map((one) => {
        const { counts } = one.answer;
        const when = whenOf(one.when, language);
        return (
          <li><p>{stateWords(t, language, one, { sheet, files, points })} {t('proof.headline', { caught: counts.caught, tried: counts.tried, unseen: counts.unseen, harmless: counts.harmless })}</p>
            <p class="row">
              <button type="button" class="quiet" aria-label={t('kept.look.of', { when })} onClick={() => look(one)}>{t('kept.look')}</button>
              {one.sheet !== sheet.text && <button type="button" class="quiet" aria-label={t('kept.back.of', { when })} onClick={() => setText(one.sheet)}>{t('kept.back')}</button>}
            </p></li>
        );
      })}</ul>
    </details>
  );
}
