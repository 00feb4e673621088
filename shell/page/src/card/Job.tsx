/* The job as a whole, in a dialog: begin, open, keep, the sheet's text, units, language, light, where it is computed. */
import { useLayoutEffect, useRef } from 'preact/hooks';
import type { ComponentChildren } from 'preact';
import { MAY_HAVE_SERVER, type WayName } from '../core/core';
import type { Units } from '../core/door';
import { useWords, type Key } from '../i18n/words';
import { fileName, giveFile, jobFile } from '../state/file';
import { store, type DialogName, type Language, type Light } from '../state/job';
import { useStore } from '../state/store';
import { OpenFile } from './Jobs';
import { History } from './History';
import { Share } from './Share';
import { SheetText } from './Sheet';

export function Dialog({ id, title, children }: { id: DialogName; title: string; children: ComponentChildren }) {
  const t = useWords();
  const box = useRef<HTMLDialogElement>(null);
  const open = useStore(store, (state) => state.dialog === id);
  useLayoutEffect(() => {
    if (open) box.current?.showModal();
    else box.current?.close();
  }, [open]);
  const close = (): void => { if (store.get().dialog === id) store.set({ dialog: null }); };
  return (
    <dialog id={id} ref={box} aria-labelledby={`${id}-title`} onClose={close}
      onClick={(event) => { if (event.target === box.current) close(); }}>
      {open && (
        <div class="dialog-body">
          <div class="dialog-head">
            <h2 id={`${id}-title`}>{title}</h2>
            <button type="button" class="quiet" onClick={close}>{t('close')}</button>
          </div>
          {children}
        </div>
      )}
    </dialog>
  );
}

export function openDialog(dialog: DialogName | null): void {
  store.set({ dialog });
}

function Pick<T extends string>({ name, label, options, value, take }: { name: string; label: string; options: readonly T[]; value: T; take(value: T): void }) {
  const t = useWords();
  return (
    <fieldset class="pick">
      <legend>{label}</legend>
      {options.map((option) => (
        <label class="check"><input type="radio" name={name} value={option} checked={value === option} onChange={() => take(option)} /> {t(`${name}.${option}` as Key)}</label>
      ))}
    </fieldset>
  );
}

export function JobDialog() {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const light = useStore(store, (state) => state.light);
  const language = useStore(store, (state) => state.language);
  const way = useStore(store, (state) => state.way);
  return (
    <Dialog id="job" title={t('job.title')}>
      <div class="row">
        <button type="button" class="quiet" onClick={() => giveFile(fileName('job.json'), jobFile(), 'application/json')}>{t('job.save')}</button>
        <button type="button" class="quiet" onClick={() => giveFile(fileName('yaml'), store.get().sheet.text, 'text/yaml')}>{t('job.saveSheet')}</button>
        <OpenFile />
      </div>
      <Share />
      <History />
      <Pick name="units" label={t('job.units')} options={['metric', 'bar', 'us'] as const} value={units} take={(value: Units) => store.set({ units: value })} />
      <Pick name="light" label={t('job.light')} options={['auto', 'light', 'dark'] as const} value={light} take={(value: Light) => store.set({ light: value })} />
      <Pick name="language" label={t('job.language')} options={['en', 'de'] as const} value={language} take={(value: Language) => store.set({ language: value })} />
      {MAY_HAVE_SERVER && <Pick name="way" label={t('job.way')} options={['worker', 'server'] as const} value={way} take={(value: WayName) => store.set({ way: value })} />}
    </Dialog>
  );
}

export function SheetDialog() {
  const t = useWords();
  return <Dialog id="sheet-box" title={t('sheet.title')}><p class="says">{t('sheet.says')}</p><SheetText /></Dialog>;
}
