/* The stretch "Proof": fault by severity, who sees it; the leaks that nobody ever sees; false stops. */
import type { Proof as Found, Swept, Tried } from '../core/door';
import { useWords, type Key } from '../i18n/words';
import { fixed, pretty, show, showTime } from '../sheet/quantity';
import { fileName, giveFile } from '../state/file';
import { store } from '../state/job';
import { cancelProof, FULL, prove, QUICK } from '../state/prove';
import { useStore } from '../state/store';

/* Four kinds of end, each with a sign of its own so that colour alone never has to tell. */
type Mark = Tried['mark'];
const SIGN: Record<Mark, string> = { caught: '✓', late: '!', unseen: '✕', harmless: '·' };

function byKind(faults: Tried[]): [string, Tried[]][] {
  const groups = new Map<string, Tried[]>();
  for (const tried of faults) groups.set(tried.what, [...(groups.get(tried.what) ?? []), tried]);
  return [...groups];
}

/* Severities next to each other that all do no harm share a cell: they are many, and nobody has to act on them. */
function cellsOf(tried: Tried[]): Tried[][] {
  const cells: Tried[][] = [];
  for (const entry of tried) {
    const last = cells[cells.length - 1];
    if (last && entry.mark === 'harmless' && last[0]!.mark === 'harmless') last.push(entry);
    else cells.push([entry]);
  }
  return cells;
}

const UNPROTECTED = 'protection lost';
const OUTLASTED = 'no harm within the horizon';

/* Nothing noticed it: what that means, as the core found. */
function unseenWords({ finding, mark }: Tried): Key {
  if (finding === UNPROTECTED) return 'proof.unprotected';
  if (finding === OUTLASTED) return 'proof.outlasted';
  return mark === 'harmless' ? 'proof.harmless' : 'proof.unseen';
}

function Cell({ of }: { of: Tried[] }) {
  const t = useWords();
  const tried = of[0]!;
  const { mark, typed } = tried;
  const lost = tried.lost && mark !== 'harmless' && !/^0 /.test(tried.lost) ? `, ${t('proof.lost', { lost: pretty(tried.lost) })}` : '';
  const told = typed ? t(mark === 'caught' ? 'proof.refused' : 'proof.warned') : tried.caught_by === null ? t(unseenWords(tried))
    : t('proof.by', { n: tried.caught_by + 1, after: tried.after ?? showTime(tried.seconds ?? 0) });
  return (
    <li class={`outcome ${mark}${of.length > 2 ? ' several' : ''}`}>
      <span class="sign" aria-hidden="true">{SIGN[mark]}</span>
      <span class="what">{of.map((entry) => pretty(entry.severity_words ?? '')).filter(Boolean).join(', ') || t('proof.anySize')}</span>
      <span class="told">{told}{mark === 'late' && !typed ? `, ${t('proof.late')}` : ''}{lost}</span>
    </li>
  );
}

const titleOf = (what: string, tried: Tried): string => {
  const { faults } = store.get();
  return (faults?.ok ? faults.faults.find((kind) => kind.what === what)?.title : undefined) ?? tried.title;
};

/* The verdict as the core words it: the healthy day first, then the worst that nobody sees, then what to type. */
function VerdictWords({ proof }: { proof: Found }) {
  const t = useWords();
  const { verdict } = proof;
  if (!verdict) return null;
  const list = (title: Key, lines: string[]) => lines.length > 0 && <><h3>{t(title)}</h3><ul class="plain">{lines.map((line) => <li>{line}</li>)}</ul></>;
  return (
    <section class="verdict" data-proof="verdict" aria-label={t('proof.verdict')}>
      <p><b>{verdict.healthy}</b></p>
      {verdict.why.length > 0 && <ul class="plain">{verdict.why.map((line) => <li>{line}</li>)}</ul>}
      <p>{verdict.counts}</p>
      {list('proof.holes', verdict.holes)}
      {list('proof.edges', verdict.edges)}
      {verdict.proposal && <p>{verdict.proposal}</p>}
      {list('proof.type', verdict.type)}
      {verdict.unproposed && <p>{verdict.unproposed}</p>}
    </section>
  );
}

function Kind({ what, tried }: { what: string; tried: Tried[] }) {
  const t = useWords();
  const next = tried.find((entry) => entry.caught_by === null && entry.next && entry.mark === 'unseen')?.next;
  return (
    <section class="fault" data-what={what}>
      <h3>{titleOf(what, tried[0]!)}</h3>
      <ol class="outcomes" aria-label={t('proof.severities')}>{cellsOf(tried).map((of) => <Cell of={of} />)}</ol>
      {next && <p class="next"><b>{t('proof.next')}</b> {next}</p>}
    </section>
  );
}

/* Faults that do no harm at any size wait behind one line: nobody has to act on them. */
function Table({ proof }: { proof: Found }) {
  const t = useWords();
  const kinds = byKind(proof.faults);
  const isQuiet = ([, tried]: [string, Tried[]]): boolean => tried.every((entry) => entry.mark === 'harmless');
  const loud = kinds.filter((kind) => !isQuiet(kind));
  const quiet = kinds.filter(isQuiet);
  return (
    <div class="proof-table">
      {loud.map(([what, tried]) => <Kind key={what} what={what} tried={tried} />)}
      {quiet.length > 0 && (
        <details class="more quiet-faults">
          <summary>{t('proof.quiet', { n: quiet.length })}</summary>
          {quiet.map(([what, tried]) => <Kind key={what} what={what} tried={tried} />)}
        </details>
      )}
    </div>
  );
}

/* The leaks tried, small to large, on a scale of equal ratios; hatched where no watch ever sees them. */
function Sweep({ proof }: { proof: Found }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const { sweep, bands } = proof;
  if (sweep.length < 2) return null;
  const first = Math.log(sweep[0]!.leak_m3s);
  const last = Math.log(sweep[sweep.length - 1]!.leak_m3s);
  const x = (leak: number): number => 4 + (332 * (Math.log(leak) - first)) / (last - first);
  const middle = (a: Swept, b: Swept): number => x(Math.sqrt(a.leak_m3s * b.leak_m3s));
  return (
    <figure class="sweep">
      <svg viewBox="0 0 340 74" role="img" aria-label={bands.length ? bands.map((band) => t('proof.band', { from: band.from, to: band.to })).join('; ') : t('proof.noBand')}>
        <defs><pattern id="blind" width="8" height="8" patternUnits="userSpaceOnUse"><path d="M0 8 8 0" class="hatch" /></pattern></defs>
        {sweep.map((swept, i) => {
          const from = i ? middle(sweep[i - 1]!, swept) : 4;
          const to = i + 1 < sweep.length ? middle(swept, sweep[i + 1]!) : 336;
          return <rect class={swept.caught_by === null ? 'blind' : 'seen'} x={from} y="14" width={to - from + 0.5} height="30" />;
        })}
        {sweep.map((swept) => swept.caught_by !== null && (
          <text class="by" x={x(swept.leak_m3s)} y="34" text-anchor="middle">{sweep.length > 20 ? '' : swept.caught_by + 1}</text>
        ))}
        <text x="4" y="64">{show(sweep[0]!.leak_m3s, 'flow', units, 2)}</text>
        <text x="336" y="64" text-anchor="end">{show(sweep[sweep.length - 1]!.leak_m3s, 'flow', units, 2)}</text>
      </svg>
      <figcaption>{bands.length ? t('proof.bands') : t('proof.noBand')}</figcaption>
      <ul class="plain">{bands.map((band) => (
        <li><b>{t('proof.band', { from: band.from, to: band.to })}</b> {band.lost_most_m3d !== null && t('proof.perDay', { lost: show(band.lost_most_m3d, 'volume', units) })}</li>
      ))}</ul>
    </figure>
  );
}

function FalseStops({ proof }: { proof: Found }) {
  const t = useWords();
  const { years, count, upper_per_year: upper } = proof.false_stops;
  if (years === 0) return <p>{t('proof.noYears')}</p>;
  return <p>{t(count === 0 ? 'proof.noFalse' : 'proof.false', { years, count, upper: fixed(upper, 1) })}</p>;
}

function Running() {
  const t = useWords();
  const progress = useStore(store, (state) => state.proof.progress);
  const shown = useStore(store, (state) => state.proof.state);
  if (!progress) return null;
  const full = progress.parts > 10;
  return (
    <div class="running-proof">
      <p>{t(full ? 'proof.computing' : 'proof.quickly')} <b>{Math.round((100 * progress.done) / progress.parts)} %</b>
        {full && progress.left_s !== null && <> {t('proof.left', { time: showTime(Math.ceil(progress.left_s)) })}</>}</p>
      <progress max={progress.parts} value={progress.done} aria-label={t('proof.progress')} />
      {(full || shown === 'none') && <button type="button" class="strong" onClick={cancelProof}>{t('proof.cancel')}</button>}
    </div>
  );
}

export function Proof() {
  const t = useWords();
  const proof = useStore(store, (state) => state.proof);
  const sheet = useStore(store, (state) => state.sheet.text);
  const units = useStore(store, (state) => state.units);
  const { answer } = proof;
  const stale = answer !== null && (proof.sheet !== sheet || proof.units !== units);
  return (
    <>
      <p class="says">{t('proof.says')}</p>
      {!proof.progress && (
        <button type="button" class="strong" disabled={proof.state === 'full' && !stale} onClick={() => void prove('full')}>
          {t('proof.full', { years: FULL.years, days: 14 })}</button>
      )}
      <Running />
      {proof.problem && <p class="error">{proof.problem}</p>}
      {answer && (
        <div class={stale ? 'stale' : ''}>
          <p class={`kind ${proof.state}`}>{t(`proof.kind.${proof.state}` as Key, { years: answer.options.years, horizon: showTime(answer.options.horizon_s), sweep: answer.options.sweep, was: QUICK.horizon })}
            {stale && <> {t('proof.stale')}</>}</p>
          <VerdictWords proof={answer} />
          <p class="headline">{t('proof.headline', { caught: answer.counts.caught, tried: answer.counts.tried, unseen: answer.counts.unseen, harmless: answer.counts.harmless })}</p>
          <p class="legend">{(['caught', 'late', 'unseen', 'harmless'] as Mark[]).map((mark) => (
            <span class={`outcome ${mark}`}><span class="sign" aria-hidden="true">{SIGN[mark]}</span> {t(`proof.mark.${mark}` as Key)}</span>
          ))}</p>
          <Table proof={answer} />
          <h3>{t('proof.leaks')}</h3>
          <Sweep proof={answer} />
          {answer.unseen.length > 0 && <>
            <h3>{t('proof.cannot')}</h3>
            <ul class="plain">{answer.unseen.map((entry) => <li><b>{entry.what}</b> {entry.next}</li>)}</ul>
          </>}
          <h3>{t('proof.falseStops')}</h3>
          <FalseStops proof={answer} />
          {answer.html && !stale && <button type="button" class="quiet" onClick={() => giveFile(fileName('proof.html'), answer.html!, 'text/html')}>{t('proof.save')}</button>}
        </div>
      )}
    </>
  );
}
