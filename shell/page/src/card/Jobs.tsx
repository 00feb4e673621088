/* The list of jobs: where the page opens. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { useWords, type Key } from '../i18n/words';
import { Picture } from '../draw/Picture';
import { MiniSection } from '../draw/Mini';
import { readSheet, type Plain } from '../sheet/plain';
import { STARTS } from '../sheet/starts';
import { allFile, giveFile, openFile, type Sort } from '../state/file';
import { full } from '../state/full';
import { nameOf, store } from '../state/job';
import { addJob, beginAsking, bringBack, duplicate, openJob, remove, rename } from '../state/jobs';
import type { JobRecord } from '../state/keep';
import { useStore } from '../state/store';
import { FullProgress } from './FullProgress';
import { KeepApp } from './KeepApp';
import { OtherLanguage } from './Language';

type Item = { [key: string]: Plain };

function pictureOf(site: Item): string {
  const source = Array.isArray(site.sources) ? String((site.sources[0] as Item)?.kind ?? 'bore') : 'bore';
  return source === 'bore' && !Array.isArray(site.vessels) ? 'tanks' : source;
}

/* A sheet with nothing in it but its name: all of it is walked and written down. */
const blank = (name: string): string => `site: ${JSON.stringify(name)}\n`;

function Starts() {
  const t = useWords();
  return (
    <ul class="starts">
      {STARTS.map((start) => {
        const site = readSheet(start.text).site ?? {};
        return (
          <li>
            <button type="button" class="start" data-start={start.id} onClick={() => void addJob({ sheet: start.text, trouble: null, files: {}, about: {} })}>
              <Picture of={pictureOf(site)} />
              <span><b>{String(site.site ?? start.id)}</b> <em class="tag">{t('site.invented')}</em><br />
                <small>{String(site.note ?? '')}</small></span>
            </button>
          </li>
        );
      })}
    </ul>
  );
}

/* A file that is opened becomes a job beside the others; nothing is replaced. */
export function OpenFile() {
  const t = useWords();
  const picker = useRef<HTMLInputElement>(null);
  const [bad, setBad] = useState<{ name: string; sort: Sort } | null>(null);
  return (
    <>
      <button type="button" class="quiet" onClick={() => picker.current?.click()}>{t('job.open')}</button>
      <input ref={picker} id="job-file" type="file" class="unseen" tabIndex={-1} aria-label={t('job.open')} accept=".json,.yaml,.yml,.txt"
        onChange={(event) => {
          const file = event.currentTarget.files?.[0];
          event.currentTarget.value = '';
          if (file) void openFile(file).then((sort) => setBad(sort && { name: file.name, sort }));
        }} />
      {bad && <p class="error" role="alert">{t('job.bad', { name: bad.name, what: t(`sort.${bad.sort}` as Key) })}</p>}
    </>
  );
}

function ago(when: number, language: string): string {
  return new Date(when).toLocaleString(language === 'de' ? 'de-DE' : 'en-GB', { day: 'numeric', month: 'short', year: 'numeric', hour: '2-digit', minute: '2-digit' });
}

function Rename({ record, done }: { record: JobRecord; done(): void }) {
  const t = useWords();
  const box = useRef<HTMLInputElement>(null);
  useEffect(() => box.current?.select(), []);
  return (
    <form class="row" onSubmit={(event) => { event.preventDefault(); void rename(record, box.current!.value.trim()).then(done); }}>
      <input ref={box} type="text" defaultValue={nameOf(record.job)} aria-label={t('jobs.name')} autocomplete="off" />
      <button type="submit" class="strong">{t('jobs.rename')}</button>
    </form>
  );
}

function State({ record }: { record: JobRecord }) {
  const t = useWords();
  const { left } = record;
  if (!left) return <span class="left open">{t('jobs.left.none')}</span>;
  const key: Key = left.light === 'good' ? 'jobs.left.good' : left.light === 'bad' ? 'jobs.left.bad' : 'jobs.left.open';
  return <span class={`left ${left.light}`}>{t(key)}{left.light !== 'open' && `, ${t('verdict.unseen', { unseen: left.unseen, tried: left.tried })}`}</span>;
}

function JobRow({ record }: { record: JobRecord }) {
  const t = useWords();
  const language = useStore(store, (state) => state.language);
  const [naming, setNaming] = useState(false);
  const name = nameOf(record.job) || t('head.unnamed');
  const site = readSheet(record.job.sheet).site;
  return (
    <li class="job" data-job={name}>
      <button type="button" class="job-open" onClick={() => void openJob(record.id)}>
        <MiniSection site={site} />
        <span class="words"><b>{name}</b>{site?.invented === true && <> <em class="tag">{t('site.invented')}</em></>}
          <State record={record} /><small>{ago(record.changed, language)}</small></span>
      </button>
      {naming ? <Rename record={record} done={() => setNaming(false)} /> : (
        <div class="row">
          <button type="button" class="quiet" aria-label={t('jobs.rename.of', { name })} onClick={() => setNaming(true)}>{t('jobs.rename')}</button>
          <button type="button" class="quiet" aria-label={t('jobs.copy.of', { name })} onClick={() => void duplicate(record)}>{t('jobs.copy')}</button>
          <button type="button" class="quiet" aria-label={t('jobs.delete.of', { name })} onClick={() => void remove(record)}>{t('jobs.delete')}</button>
        </div>
      )}
    </li>
  );
}

function Deleted() {
  const t = useWords();
  const deleted = useStore(store, (state) => state.deleted);
  if (!deleted) return null;
  return (
    <p class="deleted" role="status">{t('jobs.deleted', { name: nameOf(deleted.record.job) || t('head.unnamed') })}{' '}
      <button type="button" class="strong" onClick={() => void bringBack()}>{t('jobs.back')}</button></p>
  );
}

/* Full checks go on while the list is shown. */
function Checking() {
  const list = useStore(full, (state) => state.list);
  return <>{list.map((check) => <FullProgress key={check.id} check={check} named />)}</>;
}

export function Jobs() {
  const t = useWords();
  const jobs = useStore(store, (state) => state.jobs);
  const badLink = useStore(store, (state) => state.badLink);
  const saved = useStore(store, (state) => state.saved);
  const [sought, seek] = useState('');
  const found = jobs.filter((record) => record.job.sheet.toLowerCase().includes(sought.toLowerCase().trim()));
  return (
    <main class="jobs">
      <header class="jobs-head"><p class="brand">Pumpwright</p><OtherLanguage /><h1 tabIndex={-1}>{t('jobs.title')}</h1></header>
      <KeepApp />
      {badLink && <p class="error" role="alert">{t('jobs.badLink')}</p>}
      {saved === 'cannot' && <p class="warning" role="status">{t('saved.cannot')}</p>}
      <Deleted />
      <Checking />
      {jobs.length > 3 && (
        <div class="field"><label for="find-job">{t('jobs.find')}</label>
          <input id="find-job" type="search" value={sought} autocomplete="off" onInput={(event) => seek(event.currentTarget.value)} /></div>
      )}
      {jobs.length > 0 && <ul class="plain job-list">{found.map((record) => <JobRow key={record.id} record={record} />)}</ul>}
      {jobs.length > 0 && found.length === 0 && <p class="says">{t('jobs.notFound')}</p>}
      <div class="row">
        <OpenFile />
        {jobs.length > 0 && <button type="button" class="quiet" onClick={() => giveFile('jobs.json', allFile(), 'application/json')}>{t('jobs.saveAll')}</button>}
      </div>
      <h2>{t('jobs.new')}</h2>
      <div class="row new-ways">
        <button type="button" class="strong" onClick={beginAsking}>{t('jobs.six')}</button>
        <button type="button" class="quiet" onClick={() => void addJob({ sheet: blank(t('begin.name.site')), trouble: null, files: {}, about: {} })}>{t('jobs.blank')}</button>
      </div>
      <p class="says">{t('jobs.six.says')}</p>
      <h3>{t('jobs.usual')}</h3>
      <p class="says">{t('jobs.new.says')}</p>
      <Starts />
    </main>
  );
}
