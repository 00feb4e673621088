/* What goes to the owner and into the file: two or three pages, shown as they are printed, and the full appendix on demand. */
import { told } from 'core:told';
import { useState } from 'preact/hooks';
import { useWords, type Key } from '../i18n/words';
import { sentencesOf } from '../plot/DayCharts';
import { pretty } from '../sheet/quantity';
import { fileName, giveFile, jobFile } from '../state/file';
import { setAbout, store } from '../state/job';
import { useStore } from '../state/store';
import { SectionView } from '../draw/Section';
import { SafetyWords, settingsCautions, siteCautions } from './Caution';
import { Photos, PhotosOnPaper } from './Photos';
import { TakenOnPaper } from './Taken';
import { useFresh } from './Verdict';

const WRITTEN = ['customer', 'address', 'installer', 'date'] as const;

function Fields() {
  const t = useWords();
  const about = useStore(store, (state) => state.about);
  return (
    <div class="fields">
      {WRITTEN.map((key) => (
        <div class="field">
          <label for={`about-${key}`}>{t(`papers.${key}` as Key)}</label>
          {key === 'date' ? <input id={`about-${key}`} type="date" value={about[key] ?? ''} onChange={(event) => setAbout({ [key]: event.currentTarget.value })} />
            : <input id={`about-${key}`} type="text" value={about[key] ?? ''} autocomplete="off" onChange={(event) => setAbout({ [key]: event.currentTarget.value.trim() })} />}
        </div>
      ))}
    </div>
  );
}

function AsFound() {
  const t = useWords();
  const found = useStore(store, (state) => state.about.found ?? '');
  return (
    <p class="row">
      <button type="button" class="quiet" onClick={() => setAbout({ found: sentencesOf(store.get().sheet.site).join('\n') })}>
        {t(found ? 'papers.found.again' : 'papers.found.keep')}</button>
      {found && <button type="button" class="quiet" onClick={() => setAbout({ found: '' })}>{t('papers.found.drop')}</button>}
    </p>
  );
}

function Sentences({ title, sentences }: { title: string; sentences: string[] }) {
  return <><h3>{title}</h3><ol class="typed">{sentences.map((sentence) => <li>{sentence}</li>)}</ol></>;
}

function ProofWords() {
  const t = useWords();
  const { proof, fresh } = useFresh();
  const kind = useStore(store, (state) => state.proof.state);
  const verdict = proof?.verdict;
  if (!proof || !verdict) return <p>{t('wait')}</p>;
  return (
    <>
      <p><b>{verdict.healthy}</b> {verdict.why.join(' ')}</p>
      <p>{verdict.counts}</p>
      {verdict.holes.length > 0 && <><h3>{t('proof.holes')}</h3><ol>{verdict.holes.map((line) => <li>{pretty(line)}</li>)}</ol></>}
      {verdict.type.length > 0 && <><h3>{t('proof.type')}</h3><p>{verdict.proposal}</p><ul>{verdict.type.map((line) => <li>{line}</li>)}</ul></>}
      {!fresh && <p class="warning">{t('proof.stale')}</p>}
      {kind === 'quick' && <p class="warning">{t('papers.quick')}</p>}
      {proof.unseen.length > 0 && <><h3>{t('proof.cannot')}</h3><ul>{proof.unseen.map((entry) => <li><b>{pretty(entry.what)}</b> {entry.next}</li>)}</ul></>}
    </>
  );
}

const dateText = (iso: string | undefined, language: string): string => {
  const date = iso ? new Date(`${iso}T12:00`) : new Date();
  return date.toLocaleDateString(language === 'de' ? 'de-DE' : 'en-GB', { day: 'numeric', month: 'long', year: 'numeric' });
};

/* The paper itself: nothing of the screen's furniture stands in it. */
function Paper() {
  const t = useWords();
  const about = useStore(store, (state) => state.about);
  const language = useStore(store, (state) => state.language);
  const site = useStore(store, (state) => state.sheet.site);
  const found = (about.found ?? '').split('\n').filter(Boolean);
  const sentences = sentencesOf(site);
  const cautions = [...new Set([...siteCautions(site), ...settingsCautions(sentences)])];
  return (
    <article class="paper" aria-label={t('papers.title')}>
      <h2>{String(site?.site ?? t('head.unnamed'))}</h2>
      {site?.invented === true && <p class="warning">{t('papers.invented')}</p>}
      <dl class="who">
        {(['customer', 'address', 'installer'] as const).map((key) => <div><dt>{t(`papers.${key}` as Key)}</dt><dd>{about[key] || ' '}</dd></div>)}
        <div><dt>{t('papers.date')}</dt><dd>{dateText(about.date, language)}</dd></div>
      </dl>
      <ProofWords />
      <div class="paper-section"><SectionView height={240} /></div>
      {found.length > 0 && <Sentences title={t('papers.found')} sentences={found} />}
      <Sentences title={t('papers.left')} sentences={sentences} />
      <PhotosOnPaper />
      <TakenOnPaper />
      <h3>{t('papers.cautions')}</h3>
      <SafetyWords names={cautions} />
      <p class="signing"><span>{t('papers.sign.installer')}</span><span>{t('papers.sign.owner')}</span></p>
      <p class="version">Pumpwright {told.version}</p>
    </article>
  );
}

export function Papers() {
  const t = useWords();
  const html = useStore(store, (state) => state.proof.answer?.html);
  const { fresh } = useFresh();
  const [shown, show] = useState(false);
  return (
    <>
      <p class="says">{t('papers.says')}</p>
      <div class="row">
        <button type="button" class="strong" onClick={() => print()}>{t('papers.print')}</button>
        {html && fresh && <button type="button" class="quiet" onClick={() => giveFile(fileName('proof.html'), html, 'text/html')}>{t('papers.appendix')}</button>}
      </div>
      {!html && <p class="says">{t('papers.appendix.none')}</p>}
      <details class="more" open={shown} onToggle={(event) => show(event.currentTarget.open)}>
        <summary>{t('papers.write')}</summary>
        <Fields />
        <AsFound />
      </details>
      <Photos />
      <Paper />
      <div class="row">
        <button type="button" class="quiet" onClick={() => giveFile(fileName('job.json'), jobFile(), 'application/json')}>{t('job.save')}</button>
        <button type="button" class="quiet" onClick={() => giveFile(fileName('yaml'), store.get().sheet.text, 'text/yaml')}>{t('job.saveSheet')}</button>
      </div>
    </>
  );
}
