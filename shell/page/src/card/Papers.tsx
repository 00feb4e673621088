/* What goes to the owner and into the file: two or three sheets, or the whole hand-over. Both are the core's, shown as they are printed. */
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import { useWords, type Key } from '../i18n/words';
import { sentencesOf } from '../plot/DayCharts';
import { fileName, giveFile, jobFile } from '../state/file';
import { setAbout, store, type Light } from '../state/job';
import { paper, type PaperKind } from '../state/paper';
import { useStore } from '../state/store';
import { Photos } from './Photos';
import { useFresh } from './Verdict';

const WRITTEN = ['customer', 'address', 'installer', 'date', 'call'] as const;

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

function KindPick() {
  const t = useWords();
  const kind = useStore(paper, (state) => state.kind);
  return (
    <fieldset class="pick">
      <legend>{t('papers.kind')}</legend>
      {(['short', 'whole'] as PaperKind[]).map((one) => (
        <label class="check"><input type="radio" name="paper-kind" value={one} checked={kind === one} onChange={() => paper.set({ kind: one })} /> {t(`papers.kind.${one}` as Key)}</label>
      ))}
    </fieldset>
  );
}

const DARK = '(prefers-color-scheme:dark)';
const STYLE_OF: Record<Light, string> = { auto: DARK, light: 'not all', dark: 'all' };

/* The paper as the core made it. It keeps its own look to itself, and the page's rules away. */
function Paper() {
  const t = useWords();
  const html = useStore(paper, (state) => state.html);
  const light = useStore(store, (state) => state.light);
  const place = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    const host = place.current;
    if (!host || html === null) return;
    const inside = host.shadowRoot ?? host.attachShadow({ mode: 'open' });
    const rules: string[] = [];
    const bare = html.replace(/<style>([^<]*)<\/style>/g, (_, one: string) => { rules.push(one); return ''; }); // a strict server allows no style in a page
    const style = new CSSStyleSheet();
    style.replaceSync((rules[rules.length - 1] ?? '').replaceAll(DARK, STYLE_OF[light])); // the first is of the page around the paper
    inside.adoptedStyleSheets = [style];
    const article = new DOMParser().parseFromString(bare, 'text/html').querySelector('article');
    inside.replaceChildren(...(article ? [document.adoptNode(article)] : []));
  }, [html, light]);
  return <div ref={place} class="paper" role="region" aria-label={t('papers.title')} />;
}

export function Papers() {
  const t = useWords();
  const report = useStore(store, (state) => state.proof.answer?.html);
  const quick = useStore(store, (state) => state.proof.state === 'quick');
  const { fresh: proven } = useFresh();
  const { html, fresh, kind, problem } = useStore(paper, (state) => state);
  const [shown, show] = useState(false);
  return (
    <>
      <p class="says">{t('papers.says')}</p>
      <KindPick />
      <div class="row">
        <button type="button" class="strong" disabled={!fresh} onClick={() => print()}>{t('papers.print')}</button>
        <button type="button" class="quiet" disabled={!fresh || html === null} onClick={() => giveFile(fileName(`${kind === 'short' ? 'paper' : 'handover'}.html`), html!, 'text/html')}>{t('papers.file')}</button>
        {report && proven && <button type="button" class="quiet" onClick={() => giveFile(fileName('proof.html'), report, 'text/html')}>{t('papers.appendix')}</button>}
      </div>
      {!report && <p class="says">{t('papers.appendix.none')}</p>}
      {quick && <p class="warning">{t('papers.quick')}</p>}
      {problem && <p class="error" role="alert">{problem}</p>}
      <details class="more" open={shown} onToggle={(event) => show(event.currentTarget.open)}>
        <summary>{t('papers.write')}</summary>
        <Fields />
        <AsFound />
      </details>
      <Photos />
      {!fresh && !problem && <p role="status">{t('wait')}</p>}
      <Paper />
      <div class="row">
        <button type="button" class="quiet" onClick={() => giveFile(fileName('job.json'), jobFile(), 'application/json')}>{t('job.save')}</button>
        <button type="button" class="quiet" onClick={() => giveFile(fileName('yaml'), store.get().sheet.text, 'text/yaml')}>{t('job.saveSheet')}</button>
      </div>
    </>
  );
}
