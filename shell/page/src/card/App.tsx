/* The job card: one page from top to bottom. On a wide screen the section stands beside it and moves with the time. */
import { useEffect, useState } from 'preact/hooks';
import type { ComponentChildren } from 'preact';
import { useWords, type Key } from '../i18n/words';
import { SectionView } from '../draw/Section';
import { otherLight } from '../plot/colours';
import { redo, store, undo } from '../state/job';
import { useStore } from '../state/store';
import { Day, Scrubber, usePlaying } from './Day';
import { Dialog, JobDialog, openDialog, SheetDialog } from './Job';
import { Fit } from './Fit';
import { Look } from './Look';
import { Settings } from './Settings';
import { Print } from './Print';
import { Proof } from './Proof';
import { Site } from './Site';
import { WhatIf } from './WhatIf';

const STRETCHES = ['site', 'fit', 'settings', 'day', 'what', 'proof', 'print'] as const;
type StretchName = (typeof STRETCHES)[number];

function useWide(): boolean {
  const query = '(min-width: 1000px)';
  const [wide, setWide] = useState(() => matchMedia(query).matches);
  useEffect(() => {
    const media = matchMedia(query);
    const look = (): void => setWide(media.matches);
    media.addEventListener('change', look);
    return () => media.removeEventListener('change', look);
  }, []);
  return wide;
}

function Stretch({ name, children }: { name: StretchName; children: ComponentChildren }) {
  const t = useWords();
  return (
    <section id={name} class="stretch" aria-labelledby={`${name}-title`}>
      <h2 id={`${name}-title`} tabIndex={-1}>{t(`stretch.${name}` as Key)}</h2>
      {children}
    </section>
  );
}

function Head() {
  const t = useWords();
  const name = useStore(store, (state) => String(state.sheet.site?.site ?? ''));
  const invented = useStore(store, (state) => state.sheet.site?.invented === true);
  const saved = useStore(store, (state) => state.saved);
  const offline = useStore(store, (state) => state.offline);
  const renewed = useStore(store, (state) => state.renewed);
  const language = useStore(store, (state) => state.language);
  return (
    <header class="head">
      <p class="brand">Pumpwright</p>
      <button type="button" class="quiet language" lang={language === 'en' ? 'de' : 'en'} onClick={() => store.set({ language: language === 'en' ? 'de' : 'en' })}>{t('head.language')}</button>
      <h1>{name || t('head.unnamed')}</h1>
      <p class="state">
        {invented && <em class="tag">{t('site.invented')}</em>} <span role="status">{t(`saved.${saved}` as Key)}</span>
        {offline === 'ready' && <span> {t('offline.ready')}</span>}
        {offline === 'newer' && <button type="button" class="quiet" onClick={() => takeNewer()}>{t('offline.newer')}</button>}
      </p>
      {renewed && <p class="says" role="status">{t('head.renewed')}</p>}
    </header>
  );
}

function takeNewer(): void {
  void navigator.serviceWorker.getRegistration().then((registration) => registration?.waiting?.postMessage('take over'));
}

function Bar() {
  const t = useWords();
  const past = useStore(store, (state) => state.past.length > 0);
  const future = useStore(store, (state) => state.future.length > 0);
  return (
    <nav class="bar" aria-label={t('bar.title')}>
      <button type="button" disabled={!past} onClick={undo}><svg viewBox="0 0 24 24" aria-hidden="true"><path d="M9 5 4 10l5 5M4 10h9a6 6 0 0 1 0 12h-3" /></svg><span>{t('bar.undo')}</span></button>
      <button type="button" disabled={!future} onClick={redo}><svg viewBox="0 0 24 24" aria-hidden="true"><path d="m15 5 5 5-5 5M20 10h-9a6 6 0 0 0 0 12h3" /></svg><span>{t('bar.redo')}</span></button>
      <button type="button" onClick={() => openDialog('places')}><svg viewBox="0 0 24 24" aria-hidden="true"><path d="M6 2v20M6 5h6M6 12h12M6 19h9" /></svg><span>{t('bar.go')}</span></button>
      <button type="button" onClick={() => openDialog('sheet-box')}><svg viewBox="0 0 24 24" aria-hidden="true"><path d="M5 2h14v20H5zM8 7h8M8 11h8M8 15h5" /></svg><span>{t('bar.sheet')}</span></button>
      <button type="button" onClick={() => openDialog('job')}><svg viewBox="0 0 24 24" aria-hidden="true"><path d="M3 7h18v13H3zM9 7V3h6v4M3 12h18" /></svg><span>{t('bar.job')}</span></button>
    </nav>
  );
}

function Places() {
  const t = useWords();
  const go = (name: StretchName): void => {
    (document.getElementById('places') as HTMLDialogElement).close(); // at once: closing gives the focus back, and it is to go on
    openDialog(null);
    const title = document.getElementById(`${name}-title`)!;
    title.scrollIntoView({ behavior: matchMedia('(prefers-reduced-motion: reduce)').matches ? 'auto' : 'smooth' });
    title.focus({ preventScroll: true });
  };
  return (
    <Dialog id="places" title={t('bar.go')}>
      <ol class="go">{STRETCHES.map((name) => <li><button type="button" onClick={() => go(name)}>{t(`stretch.${name}` as Key)}</button></li>)}</ol>
    </Dialog>
  );
}

function useKeys(): void {
  useEffect(() => {
    const press = (event: KeyboardEvent): void => {
      const target = event.target as HTMLElement;
      const typing = target.matches('textarea, input[type=text]');
      if (!(event.ctrlKey || event.metaKey) || typing) return;
      const key = event.key.toLowerCase();
      if (key === 'z') (event.shiftKey ? redo : undo)();
      else if (key === 'y') redo();
      else return;
      event.preventDefault();
    };
    addEventListener('keydown', press);
    return () => removeEventListener('keydown', press);
  }, []);
}

export function App() {
  const t = useWords();
  const wide = useWide();
  const light = useStore(store, (state) => state.light);
  const language = useStore(store, (state) => state.language);
  const name = useStore(store, (state) => String(state.sheet.site?.site ?? ''));
  usePlaying();
  useKeys();
  useEffect(() => {
    document.documentElement.dataset.light = light;
    otherLight();
  }, [light]);
  useEffect(() => { document.documentElement.lang = language; }, [language]);
  useEffect(() => { document.title = name ? `${name} – Pumpwright` : 'Pumpwright'; }, [name]);
  return (
    <>
      <a class="skip" href="#site-title">{t('skip')}</a>
      <Head />
      <main class={wide ? 'wide' : ''}>
        {wide && <aside class="beside" aria-label={t('section.beside')}><SectionView height={Math.max(320, Math.min(620, innerHeight - 310))} /><Scrubber /></aside>}
        <div class="card">
          <Look />
          <Stretch name="site">{!wide && <SectionView height={300} />}<Site /></Stretch>
          <Stretch name="fit"><Fit /></Stretch>
          <Stretch name="settings"><Settings /></Stretch>
          <Stretch name="day"><Day withSection={!wide} /></Stretch>
          <Stretch name="what"><WhatIf /></Stretch>
          <Stretch name="proof"><Proof /></Stretch>
          <Stretch name="print"><Print /></Stretch>
        </div>
      </main>
      <Bar />
      <Places />
      <SheetDialog />
      <JobDialog />
    </>
  );
}
