/* The stretch "Proof": fault by severity, who sees it; the leaks that nobody ever sees; false stops. */
import type { Proof as Found, Tried } from '../core/door';
import { useWords, type Key } from '../i18n/words';
import { useEffect, useState } from 'preact/hooks';
import { digits, fixed, inUnits, pretty, show, showTime, siFrom, unitFor } from '../sheet/quantity';
import { fileName, giveFile } from '../state/file';
import { store } from '../state/job';
import { FULL, full, fullOf, proveFull } from '../state/full';
import type { KeptProof } from '../state/kept';
import { QUICK } from '../state/prove';
import { useStore } from '../state/store';
import { Kept, stateWords } from './Kept';
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
function VerdictWords({ proof, typed }: { proof: Found; typed: boolean }) {
  const t = useWords();
  const { verdict } = proof;
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

/* Sizes of leak on a scale of equal ratios, in the stretches that the core found: hatched where no sentence sees them, else with the
 * number of the sentence that does; below, a mark for each size tried. */
function Sweep({ proof }: { proof: Found }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const { sweep, bands, stretches } = proof;
  if (stretches.length === 0) return null;
  const first = stretches[0]!.from_m3s;
  const last = stretches[stretches.length - 1]!.to_m3s;
  const x = (leak: number): number => 12 + (316 * Math.log(Math.min(last, Math.max(first, leak)) / first)) / Math.log(last / first);
  const inUnit = (leak: number): number => inUnits(leak, 'flow', units);
  const told = stretches.map(({ from, to, caught_by: by }) => (
    `${t('proof.band', { from: pretty(from), to: pretty(to) })}: ${by === null ? t('proof.unseen') : t('proof.bySentence', { n: by + 1 })}`));
  return (
    <figure class="sweep">
      <svg viewBox="0 0 340 76" role="img" aria-label={told.join('; ')}>
        <defs><pattern id="blind" width="8" height="8" patternUnits="userSpaceOnUse"><path d="M0 8 8 0" class="hatch" /></pattern></defs>
        {stretches.map(({ from_m3s: from, to_m3s: to, caught_by: by }) => {
          const wide = x(to) - x(from);
          return (
            <g data-by={by === null ? 'none' : by + 1}>
              <rect class={by === null ? 'blind' : 'seen'} x={x(from)} y="4" width={Math.max(1.5, wide)} height="28" />
              {by !== null && wide >= 14 && <text class="band" x={(x(from) + x(to)) / 2} y="23" text-anchor="middle">{by + 1}</text>}
            </g>
          );
        })}
        {sweep.map((swept) => <path class={swept.caught_by === null ? 'tried unseen-leak' : 'tried'} d={`M${x(swept.leak_m3s)} 32v6`} />)}
        {sizes(inUnit(first), inUnit(last)).map((size) => {
          const at = x(siFrom(size, 'flow', units));
          return <g><path class="tick" d={`M${at} 38v6`} /><text x={at} y="58" text-anchor="middle">{digits(size, 2)}</text></g>;
        })}
        <text x="328" y="73" text-anchor="end">{t('proof.leakSize', { unit: pretty(unitFor('flow', units)) })}</text>
      </svg>
      <figcaption>{bands.length ? t('proof.bands') : t('proof.noBand')}</figcaption>
      <ol class="bands">{bands.map((band) => (
        <li><b>{t('proof.band', { from: pretty(band.from), to: pretty(band.to) })}</b> {band.lost_most_m3d !== null && t('proof.perDay', { lost: show(band.lost_most_m3d, 'volume', units) })}</li>
      ))}</ol>
      <details class="more"><summary>{t('proof.stretches')}</summary><ul class="plain">{told.map((line) => <li>{line}</li>)}</ul></details>
    </figure>
  );
}

function FalseStops({ proof }: { proof: Found }) {
  const t = useWords();
  const { years, count, upper_per_year: upper } = proof.false_stops;
  if (years === 0) return <p>{t('proof.noYears')}</p>;
  return <p>{t(count === 0 ? 'proof.noFalse' : 'proof.false', { years, count, upper: fixed(upper, 1) })}</p>;
}

/* The quick check, while nothing can be shown yet. */
function Quickly() {
  const t = useWords();
  const progress = useStore(store, (state) => state.proof.progress);
  if (!progress) return null;
  return (
    <div class="running-proof">
      <p>{t('proof.quickly')} <b>{Math.round((100 * progress.done) / progress.parts)} %</b></p>
      <progress max={progress.parts} value={progress.done} aria-label={t('proof.progress')} />
    </div>
  );
}

/* A check whole. `present`: it is for the job as it is now, so its settings can be taken over. */
function Whole({ proof, kind, present }: { proof: Found; kind: 'quick' | 'full'; present: boolean }) {
  const t = useWords();
  return (
    <>
      <VerdictWords proof={proof} typed={kind === 'full' && present} />
      <p class="headline">{t('proof.headline', { caught: proof.counts.caught, tried: proof.counts.tried, unseen: proof.counts.unseen, harmless: proof.counts.harmless })}</p>
      <p class="legend">{(['caught', 'late', 'unseen', 'harmless'] as Mark[]).map((mark) => (
        <span class={`outcome ${mark}`}><span class="sign" aria-hidden="true">{SIGN[mark]}</span> {t(`proof.mark.${mark}` as Key)}</span>
      ))}</p>
      <h3>{t('proof.each')}</h3>
      <Table proof={proof} />
      <details class="more" open><summary>{t('proof.leaks')}</summary><Sweep proof={proof} /></details>
      {proof.unseen.length > 0 && <details class="more"><summary>{t('proof.cannot')}</summary>
        <ul class="plain">{proof.unseen.map((entry) => <li><b>{pretty(entry.what)}</b> {entry.next}</li>)}</ul>
      </details>}
      <details class="more"><summary>{t('proof.falseStops')}</summary><FalseStops proof={proof} /></details>
      {proof.html && <button type="button" class="quiet" onClick={() => giveFile(fileName('proof.html'), proof.html!, 'text/html')}>{t('proof.save')}</button>}
    </>
  );
}

/* What sort of check is shown, and for which state of the job. */
function KindWords({ proof, kind, state }: { proof: Found; kind: 'quick' | 'full'; state: string }) {
  const t = useWords();
  return (
    <p class={`kind ${kind}`}>{t(`proof.kind.${kind}` as Key, { years: proof.options.years, horizon: showTime(proof.options.horizon_s), sweep: proof.options.sweep, was: QUICK.horizon })} {state}</p>
  );
}

export function Proof() {
  const t = useWords();
  const proof = useStore(store, (state) => state.proof);
  const id = useStore(store, (state) => state.id);
  const sheet = useStore(store, (state) => state.sheet.text);
  const units = useStore(store, (state) => state.units);
  const language = useStore(store, (state) => state.language);
  const kept = useStore(store, (state) => state.kept);
  const runs = useStore(full, (state) => fullOf(state.list, id));
  const problem = useStore(full, (state) => (state.problem?.id === id ? state.problem?.words : null));
  const [looked, look] = useState<KeptProof | null>(null);
  useEffect(() => look(null), [id, proof.answer]); // something newer to see
  const { answer } = proof;
  const stale = answer !== null && (proof.sheet !== sheet || proof.units !== units);
  const present = kept.find((one) => one.answer === answer);
  return (
    <>
      <p class="says">{t('proof.says')}</p>
      {!runs && (
        <button type="button" class="strong" disabled={proof.state === 'full' && !stale} onClick={() => void proveFull()}>
          {t('proof.full', { years: FULL.years, days: 14 })}</button>
      )}
      <Quickly />
      {(problem ?? proof.problem) && <p class="error">{problem ?? proof.problem}</p>}
      <Kept shown={looked ?? present ?? null} look={look} />
      {looked ? (
        <div class="stale"><KindWords proof={looked.answer} kind="full" state={stateWords(t, language, looked, store.get())} /><Whole proof={looked.answer} kind="full" present={false} /></div>
      ) : answer && (
        <div class={stale ? 'stale' : ''}>
          <KindWords proof={answer} kind={proof.state === 'full' ? 'full' : 'quick'} state={stale ? t('proof.stale') : present ? stateWords(t, language, present, store.get()) : ''} />
          <Whole proof={answer} kind={proof.state === 'full' ? 'full' : 'quick'} present={!stale} />
        </div>
      )}
    </>
  );
}
