/* How far a full check is, wherever somebody is meanwhile. */
import { useWords } from '../i18n/words';
import { showTime } from '../sheet/quantity';
import { cancelFull, type FullCheck } from '../state/full';

export function FullProgress({ check, named = false }: { check: FullCheck; named?: boolean }) {
  const t = useWords();
  const { progress, name } = check;
  const title = named ? t('proof.computing.of', { name: name || t('head.unnamed') }) : t('proof.computing');
  return (
    <div class="running-proof full-check">
      <p>{title} {progress ? <b>{Math.round((100 * progress.done) / progress.parts)} %</b> : t('proof.turn')}
        {progress?.left_s != null && <> {t('proof.left', { time: showTime(Math.ceil(progress.left_s)) })}</>}</p>
      <progress max={progress?.parts ?? 1} value={progress?.done ?? 0} aria-label={title} />
      <button type="button" class="quiet" aria-label={`${t('proof.cancel')}: ${title}`} onClick={() => cancelFull(check.id)}>{t('proof.cancel')}</button>
    </div>
  );
}
