/* The stretch "Print": choose what goes on paper, and print the card as it stands. */
import { useWords, type Key } from '../i18n/words';
import { useState } from 'preact/hooks';
import { fileName, giveFile, jobFile } from '../state/file';
import { store } from '../state/job';

export const PRINTED = ['site', 'fit', 'settings', 'day', 'what', 'proof'] as const;

export function Print() {
  const t = useWords();
  const [left, leave] = useState<string[]>(['what']);
  const toggle = (id: string): void => {
    const now = left.includes(id) ? left.filter((other) => other !== id) : [...left, id];
    leave(now);
  };
  for (const id of PRINTED) document.getElementById(id)?.classList.toggle('not-printed', left.includes(id));
  return (
    <>
      <p class="says">{t('print.says')}</p>
      <div class="checks" role="group" aria-label={t('print.what')}>
        {PRINTED.map((id) => (
          <label class="check"><input type="checkbox" checked={!left.includes(id)} onChange={() => toggle(id)} /> {t(`stretch.${id}` as Key)}</label>
        ))}
      </div>
      <div class="row">
        <button type="button" class="strong" onClick={() => print()}>{t('print.print')}</button>
        <button type="button" class="quiet" onClick={() => giveFile(fileName('job.json'), jobFile(), 'application/json')}>{t('job.save')}</button>
        <button type="button" class="quiet" onClick={() => giveFile(fileName('yaml'), store.get().sheet.text, 'text/yaml')}>{t('job.saveSheet')}</button>
      </div>
    </>
  );
}
