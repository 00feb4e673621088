/* The page around a job: what it is called, the verdict that stays in sight, the places to go to, and the place somebody is at.
 * On a wide screen the section and the verdict stand beside. */
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { ComponentChildren } from 'preact';
import { say, useWords, type Key } from '../i18n/words';
import { SectionView } from '../draw/Section';
import { otherLight } from '../plot/colours';
import { redo, store, undo, type Job } from '../state/job';
import { openJob, toJobs } from '../state/jobs';
import { STRETCHES, type StretchName } from '../state/place';
import { useStore } from '../state/store';
import { Advice } from './Advice';
import { Begin } from './Begin';
import { Day, Scrubber, usePlaying } from './Day';
import { JobDialog, openDialog, SheetDialog } from './Job';
import { Fit } from './Fit';
import { Jobs } from './Jobs';
import { OtherLanguage } from './Language';
import { Log } from './Log';
import { Look } from './Look';
import { stepName } from './named';
import { Papers } from './Papers';
import { Settings } from './Settings';
import { Proof } from './Proof';
import { Site } from './Site';
import { VerdictBar, VerdictPanel } from './Verdict';
import { WhatIf } from './WhatIf';

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

/* Made on the first visit, kept afterwards: what was opened stays open, and the way down the page is found again. */
function Stretch({ name, children }: { name: StretchName; children: ComponentChildren }) {
  const t = useWords();
  const here = useStore(store, (state) => state.place === name);
  const been = useRef(false);
  const down = useRef(0);
  been.current ||= here;
  useLayoutEffect(() => {
    if (!here) return;
    scrollTo(0, down.current);
    const note = (): void => { down.current = scrollY; };
    addEventListener('scroll', note, { passive: true });
    return () => removeEventListener('scroll', note);
  }, [here]);
  if (!been.current) return null;
  return (
    <section id={name} class="stretch" aria-labelledby={`${name}-title`} hidden={!here}>
      <h2 id={`${name}-title`} tabIndex={-1}>{t(`stretch.${name}` as Key)}</h2>
      {children}
    </section>
  );
}

/* One step there or back; what it changed is told. */
function take(key: 'bar.undo' | 'bar.redo'): void {
  const state = store.get();
  const job = key === 'bar.undo' ? state.past[state.past.length - 1] : state.future[0];
  if (!job) return;
  const { language } = state;
  const what = stepName(state.sheet, job, language);
  (key === 'bar.undo' ? undo : redo)();
  store.set({ stepped: say(language)(key === 'bar.undo' ? 'bar.undone' : 'bar.redone', { what }) });
}

/* What undo (or redo) would change, in words: "Undo: vessel: Precharge". */
function useStep(key: 'bar.undo' | 'bar.redo', job: Job | undefined): string {
  const t = useWords();
  const language = useStore(store, (state) => state.language);
  const sheet = useStore(store, (state) => state.sheet);
  const [words, write] = useState('');
  useEffect(() => { // a moment later: not while a hand drags something
    const later = setTimeout(() => write(job ? stepName(sheet, job, language) : ''), 400);
    return () => clearTimeout(later);
  }, [job, sheet, language]);
  return job && words ? `${t(key)}: ${words}` : t(key);
}

function Head({ wide }: { wide: boolean }) {
  const t = useWords();
  const name = useStore(store, (state) => String(state.sheet.site?.site ?? ''));
  const invented = useStore(store, (state) => state.sheet.site?.invented === true);
  const saved = useStore(store, (state) => state.saved);
  const offline = useStore(store, (state) => state.offline);
  const renewed = useStore(store, (state) => state.renewed);
  const elsewhere = useStore(store, (state) => state.elsewhere);
  const past = useStore(store, (state) => state.past[state.past.length - 1]);
  const future = useStore(store, (state) => state.future[0]);
  const undoes = useStep('bar.undo', past);
  const redoes = useStep('bar.redo', future);
  const stepped = useStore(store, (state) => state.stepped);
  return (
    <header class="head">
      <button type="button" class="tool to-jobs" onClick={() => void toJobs()}><svg viewBox="0 0 24 24" aria-hidden="true"><path d="M10 5 4 12l6 7M5 12h16" /></svg><span>{t('bar.jobs')}</span></button>
      <h1>{name || t('head.unnamed')}</h1>
      <div class="tools" role="group" aria-label={t('bar.title')}>
        {wide && <OtherLanguage />}
        <button type="button" class="tool" disabled={!past} aria-label={undoes} title={undoes} onClick={() => take('bar.undo')}><svg viewBox="0 0 24 24" aria-hidden="true"><path d="M9 5 4 10l5 5M4 10h9a6 6 0 0 1 0 12h-3" /></svg><span>{t('bar.undo')}</span></button>
        <button type="button" class="tool" disabled={!future} aria-label={redoes} title={redoes} onClick={() => take('bar.redo')}><svg viewBox="0 0 24 24" aria-hidden="true"><path d="m15 5 5 5-5 5M20 10h-9a6 6 0 0 0 0 12h3" /></svg><span>{t('bar.redo')}</span></button>
        <button type="button" class="tool" onClick={() => openDialog('sheet-box')}><svg viewBox="0 0 24 24" aria-hidden="true"><path d="M5 2h14v20H5zM8 7h8M8 11h8M8 15h5" /></svg><span>{t('bar.sheet')}</span></button>
        <button type="button" class="tool" onClick={() => openDialog('job')}><svg viewBox="0 0 24 24" aria-hidden="true"><path d="M3 7h18v13H3zM9 7V3h6v4M3 12h18" /></svg><span>{t('bar.job')}</span></button>
      </div>
      <p class="state">
        {invented && <em class="tag">{t('site.invented')}</em>} <span role="status">{t(`saved.${saved}` as Key)}</span>
        {offline === 'ready' && <span> {t('offline.ready')}</span>}
        {offline === 'newer' && <button type="button" class="quiet" onClick={() => takeNewer()}>{t('offline.newer')}</button>}
      </p>
      {stepped && <p class="says" role="status">{stepped}</p>}
      {elsewhere && <Elsewhere how={elsewhere} />}
      {renewed && <p class="says" role="status">{t('head.renewed')}</p>}
    </header>
  );
}

/* Another tab has this job, too. */
function Elsewhere({ how }: { how: 'newer' | 'copied' }) {
  const t = useWords();
  const id = useStore(store, (state) => state.id);
  return (
    <p class="warning elsewhere" role="status">{t(how === 'newer' ? 'elsewhere.newer' : 'elsewhere.copied')}{' '}
      {how === 'newer' && id !== null && <button type="button" onClick={() => void openJob(id, store.get().place, true)}>{t('elsewhere.take')}</button>}</p>
  );
}

function takeNewer(): void {
  void navigator.serviceWorker.getRegistration().then((registration) => registration?.waiting?.postMessage('take over'));
}

/* Small pictures of the places; drawn for this page. */
const SIGNS: Record<StretchName, string> = {
  site: 'M2 20h20M4 20c3-8 6-3 9-9s5-6 7-7M8 20v-5',
  fit: 'M3 3v18h18M4 6c8 0 12 5 14 13M4 17c6 0 10-3 14-11',
  settings: 'M4 6h16M4 12h16M4 18h16M9 4v4M15 10v4M7 16v4',
  day: 'M2 16c3 0 3-9 6-9s3 9 6 9 3-6 5-6 2 2 3 2M2 21h20',
  what: 'M12 3 22 20H2zM12 9v5M12 17v.5',
  proof: 'M12 2 20 5v7c0 5-4 8-8 10-4-2-8-5-8-10V5zM8 12l3 3 5-6',
  advice: 'M12 2a7 7 0 0 1 4 13v3H8v-3A7 7 0 0 1 12 2zM9 22h6M9 8l3 3 3-3',
  log: 'M3 3v18h18M6 13l3-5 3 7 3-9 3 6M6 17h13',
  papers: 'M6 2h9l4 4v16H6zM9 10h7M9 14h7M9 18h4',
};

function go(name: StretchName): void {
  const again = store.get().place === name;
  store.set({ place: name });
  if (again) scrollTo(0, 0);
  requestAnimationFrame(() => document.getElementById(`${name}-title`)?.focus({ preventScroll: true }));
}

function Nav({ wide }: { wide: boolean }) {
  const t = useWords();
  const place = useStore(store, (state) => state.place);
  const bar = useRef<HTMLElement>(null);
  useLayoutEffect(() => { // on a phone the bar is wider than the screen
    const here = bar.current?.querySelector<HTMLElement>('[aria-current]');
    if (bar.current && here) bar.current.scrollLeft = here.offsetLeft - (bar.current.clientWidth - here.clientWidth) / 2;
  }, [place]);
  return (
    <nav class="bar" ref={bar} aria-label={t('bar.go')}>
      {STRETCHES.map((name) => (
        <button type="button" data-place={name} aria-current={place === name ? 'page' : undefined} onClick={() => go(name)}>
          <svg viewBox="0 0 24 24" aria-hidden="true"><path d={SIGNS[name]} /></svg><span>{t(`${wide ? 'stretch' : 'go'}.${name}` as Key)}</span>
        </button>
      ))}
    </nav>
  );
}

function useKeys(): void {
  useEffect(() => {
    const press = (event: KeyboardEvent): void => {
      const target = event.target as HTMLElement;
      const typing = target.matches('textarea, input[type=text]');
      if (!(event.ctrlKey || event.metaKey) || typing) return;
      const key = event.key.toLowerCase();
      if (key === 'z') take(event.shiftKey ? 'bar.redo' : 'bar.undo');
      else if (key === 'y') take('bar.redo');
      else return;
      event.preventDefault();
    };
    addEventListener('keydown', press);
    return () => removeEventListener('keydown', press);
  }, []);
}

function Beside() {
  const t = useWords();
  return (
    <aside class="beside" aria-label={t('section.beside')}>
      <SectionView height={Math.max(260, Math.min(520, innerHeight - 470))} />
      <Scrubber />
      <VerdictPanel />
    </aside>
  );
}

export function App() {
  const id = useStore(store, (state) => state.id);
  const asking = useStore(store, (state) => state.asking);
  const light = useStore(store, (state) => state.light);
  const language = useStore(store, (state) => state.language);
  const name = useStore(store, (state) => (state.id === null ? '' : String(state.sheet.site?.site ?? '')));
  useEffect(() => {
    document.documentElement.dataset.light = light;
    otherLight();
  }, [light]);
  useEffect(() => { document.documentElement.lang = language; }, [language]);
  useEffect(() => { document.title = name ? `${name} – Pumpwright` : 'Pumpwright'; }, [name]);
  return id !== null ? <OpenJob key={id} /> : asking ? <Begin /> : <Jobs />;
}

function OpenJob() {
  const t = useWords();
  const wide = useWide();
  const place = useStore(store, (state) => state.place);
  usePlaying();
  useKeys();
  const skip = (event: Event): void => {
    event.preventDefault(); // the address is the job's
    document.getElementById(`${place}-title`)?.focus();
  };
  return (
    <>
      <a class="skip" href={`#${place}-title`} onClick={skip}>{t('skip')}</a>
      <Head wide={wide} />
      <Nav wide={wide} />
      {!wide && <VerdictBar />}
      <main class={wide ? 'wide' : ''}>
        {wide && <Beside />}
        <div class="card">
          <Look />
          <Stretch name="site">{!wide && <SectionView height={260} />}<Site /></Stretch>
          <Stretch name="fit"><Fit /></Stretch>
          <Stretch name="settings"><Settings /></Stretch>
          <Stretch name="day"><Day withSection={!wide} /></Stretch>
          <Stretch name="what"><WhatIf /></Stretch>
          <Stretch name="proof"><Proof /></Stretch>
          <Stretch name="advice"><Advice /></Stretch>
          <Stretch name="log"><Log /></Stretch>
          <Stretch name="papers"><Papers /></Stretch>
        </div>
      </main>
      <SheetDialog />
      <JobDialog />
    </>
  );
}
