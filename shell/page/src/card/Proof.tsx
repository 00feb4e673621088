/* The stretch "Proof": fault by severity, who sees it; the leaks that nobody ever sees; false stops. */
import type { Proof as Found, Tried } from '../core/door';
import { useWords, type Key } from '../i18n/words';
import { useState } from 'preact/hooks';
import { digits, fixed, inUnits, pretty, show, showTime, siFrom, unitFor } from '../sheet/quantity';
import { fileName, giveFile } from '../state/file';
import { store } from '../state/job';
import { cancelProof, FULL, prove, QUICK, QUICK_PARTS } from '../state/prove';
import { useStore } from '../state/store';
import { ToType } from './Verdict';

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
  const typed = useStore(store, (state) => state.proof.state === 'full');
  if (!verdict) return null;
  const list = (title: Key, lines: string[]) => lines.length > 0 && <><h3>{t(title)}</h3><ul class="plain">{lines.map((line) => <li>{line}</li>)}</ul></>;
  return (
    <div class="verdict" data-proof="verdict">
      <p><b>{verdict.healthy}</b></p>
      {verdict.why.length > 0 && <ul class="plain">{verdict.why.map((line) => <li>{line}</li>)}</ul>}
      <p>{verdict.counts}</p>
      {list('proof.edges', verdict.edges)}
      {list('proof.worst', verdict.worst)}
      {typed && <ToType proof={proof} />}
    </div>
  );
}

/* How a sort of fault ended over its severities, in signs, from mild to severe. */
function Signs({ tried }: { tried: Tried[] }) {
  const t = useWords();
  const words = (['unseen', 'late', 'caught', 'harmless'] as Mark[]).map((mark) => [mark, tried.filter((entry) => entry.mark === mark).length] as const)
    .filter(([, n]) => n > 0).map(([mark, n]) => `${n} × ${t(`proof.mark.${mark}` as Key)}`).join(', ');
  return (
    <span class="signs" role="img" aria-label={words}>
      {tried.map((entry) => <span class={`outcome ${entry.mark}`} aria-hidden="true">{SIGN[entry.mark]}</span>)}
    </span>
  );
}

/* What the worst of a sort costs a day; found by the core for each fault. */
const lostPerDay = (tried: Tried[]): number => tried.reduce((most, entry) => (
  entry.mark === 'unseen' || entry.mark === 'late' ? Math.max(most, entry.lost_per_day_m3 ?? 0) : most), 0);

function Kind({ what, tried }: { what: string; tried: Tried[] }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const [open, setOpen] = useState(false);
  const next = tried.find((entry) => entry.caught_by === null && entry.next && entry.mark === 'unseen')?.next;
  const lost = lostPerDay(tried);
  return (
    <details class="fault" data-what={what} open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        <h3>{titleOf(what, tried[0]!)}</h3>
        <Signs tried={tried} />
        {lost > 0 && <span class="lost">{t('proof.perDay.short', { lost: show(lost, 'volume', units, 2) })}</span>}
      </summary>
      {open && <>
        <ol class="outcomes" aria-label={t('proof.severities')}>{cellsOf(tried).map((of) => <Cell of={of} />)}</ol>
        {next && <p class="next"><b>{t('proof.next')}</b> {next}</p>}
      </>}
    </details>
  );
}

/* Worst first: what is never seen, then what is seen too late, and among them what loses most water a day. */
const MARKS: Mark[] = ['unseen', 'late', 'caught', 'harmless'];
const rank = (tried: Tried[]): number => MARKS.findIndex((mark) => tried.some((entry) => entry.mark === mark));

/* Faults that do no harm at any size wait behind one line: nobody has to act on them. */
function Table({ proof }: { proof: Found }) {
  const t = useWords();
  const kinds = byKind(proof.faults);
  const isQuiet = ([, tried]: [string, Tried[]]): boolean => tried.every((entry) => entry.mark === 'harmless');
  const loud = kinds.filter((kind) => !isQuiet(kind)).sort(([, a], [, b]) => rank(a) - rank(b) || lostPerDay(b) - lostPerDay(a));
  const quiet = kinds.filter(isQuiet);
  const open = loud.filter(([, tried]) => rank(tried) < MARKS.indexOf('caught'));
  const caught = loud.filter(([, tried]) => rank(tried) === MARKS.indexOf('caught'));
  return (
    <div class="proof-table">
      {open.map(([what, tried]) => <Kind key={what} what={what} tried={tried} />)}
      {caught.length > 0 && (
        <details class="more caught-faults">
          <summary>{t('proof.allCaught', { n: caught.length })}</summary>
          {caught.map(([what, tried]) => <Kind key={what} what={what} tried={tried} />)}
        </details>
      )}
      {quiet.length > 0 && (
        <details class="more quiet-faults">
          <summary>{t('proof.quiet', { n: quiet.length })}</summary>
          {quiet.map(([what, tried]) => <Kind key={what} what={what} tried={tried} />)}
        </details>
      )}
    </div>
  );
}

/* Round sizes of leak along the axis: 1, 2 and 5 of each power of ten within the range, in the shown unit. */
function sizes(first: number, last: number): number[] {
  const made: number[] = [];
  for (let ten = 10 ** Math.floor(Math.log10(first)); ten <= last; ten *= 10) {
    for (const mult of last / first > 300 ? [1] : [1, 3]) if (mult * ten >= first * 0.999 && mult * ten <= last * 1.001) made.push(mult * ten);
  }
  return made;
}

/* Sizes of leak on a scale of equal ratios: the bands that no watch ever sees, as the core found them, and a mark for each size tried. */
function Sweep({ proof }: { proof: Found }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const { sweep, bands } = proof;
  if (sweep.length < 2) return null;
  const first = sweep[0]!.leak_m3s;
  const last = sweep[sweep.length - 1]!.leak_m3s;
  const x = (leak: number): number => 12 + (316 * Math.log(Math.min(last, Math.max(first, leak)) / first)) / Math.log(last / first);
  const inUnit = (leak: number): number => inUnits(leak, 'flow', units);
  const words = bands.length ? bands.map((band) => t('proof.band', { from: band.from, to: band.to })).join('; ') : t('proof.noBand');
  return (
    <figure class="sweep">
      <svg viewBox="0 0 340 92" role="img" aria-label={words}>
        <defs><pattern id="blind" width="8" height="8" patternUnits="userSpaceOnUse"><path d="M0 8 8 0" class="hatch" /></pattern></defs>
        <rect class="seen" x="12" y="22" width="316" height="26" />
        {bands.map((band) => <rect class="blind" x={x(band.from_m3s)} y="22" width={Math.max(1.5, x(band.to_m3s) - x(band.from_m3s))} height="26" />)}
        {bands.map((band, i) => <text class="band" x={Math.min(300, Math.max(40, (x(band.from_m3s) + x(band.to_m3s)) / 2))} y="15" text-anchor="middle">{bands.length > 1 ? i + 1 : ''}</text>)}
        {sweep.map((swept) => <path class={swept.caught_by === null ? 'tried unseen-leak' : 'tried'} d={`M${x(swept.leak_m3s)} 48v6`} />)}
        {sizes(inUnit(first), inUnit(last)).map((size) => {
          const at = x(siFrom(size, 'flow', units));
          return <g><path class="tick" d={`M${at} 54v6`} /><text x={at} y="74" text-anchor="middle">{digits(size, 2)}</text></g>;
        })}
        <text x="328" y="89" text-anchor="end">{t('proof.leakSize', { unit: pretty(unitFor('flow', units)) })}</text>
      </svg>
      <figcaption>{bands.length ? t('proof.bands') : t('proof.noBand')}</figcaption>
      <ol class="bands">{bands.map((band) => (
        <li><b>{t('proof.band', { from: band.from, to: band.to })}</b> {band.lost_most_m3d !== null && t('proof.perDay', { lost: show(band.lost_most_m3d, 'volume', units) })}</li>
      ))}</ol>
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
  const full = progress.parts > QUICK_PARTS;
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
          <h3>{t('proof.each')}</h3>
          <Table proof={answer} />
          <details class="more" open><summary>{t('proof.leaks')}</summary><Sweep proof={answer} /></details>
          {answer.unseen.length > 0 && <details class="more"><summary>{t('proof.cannot')}</summary>
            <ul class="plain">{answer.unseen.map((entry) => <li><b>{pretty(entry.what)}</b> {entry.next}</li>)}</ul>
          </details>}
          <details class="more"><summary>{t('proof.falseStops')}</summary><FalseStops proof={answer} /></details>
          {answer.html && !stale && <button type="button" class="quiet" onClick={() => giveFile(fileName('proof.html'), answer.html!, 'text/html')}>{t('proof.save')}</button>}
        </div>
      )}
    </>
  );
}
