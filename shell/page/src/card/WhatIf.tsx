/* The stretch "What if": one fault, its severity dragged, and who catches it. */
import { useEffect, useState } from 'preact/hooks';
import type { FaultKind, Run } from '../core/door';
import { useWords } from '../i18n/words';
import { DayCharts } from '../plot/DayCharts';
import { digits, show, showTime, inUnits, siOf, unitFor, type Dimension } from '../sheet/quantity';
import { timeText } from '../sheet/settings';
import { ONSET_MS } from '../state/ask';
import { setTrouble, store } from '../state/job';
import { useStore } from '../state/store';
import { Figures } from './Day';

/* What a severity measures, as the core says; lengths of faults are shown as lengths of the site are. */
const dimensionOf = (kind: FaultKind): Dimension => (kind.dimension ?? 'number') as Dimension;

/* Severities go in equal ratios unless they reach nought. */
function scale(kind: FaultKind): { at(si: number): number; si(at: number): number } {
  const tried = kind.severities!.map((severity) => severity.si);
  const first = tried[0]!;
  const last = tried[tried.length - 1]!;
  if (first > 0 && last > 0 && last / first > 4) {
    return { at: (si) => (100 * Math.log(si / first)) / Math.log(last / first), si: (at) => first * (last / first) ** (at / 100) };
  }
  return { at: (si) => (100 * (si - first)) / (last - first), si: (at) => first + ((last - first) * at) / 100 };
}

function severityText(kind: FaultKind, si: number): string {
  const { units } = store.get();
  const dimension = dimensionOf(kind);
  if (dimension === 'time') return timeText(si < 120 ? Number(digits(si, 2)) : Math.round(si / 60) * 60);
  return `${digits(inUnits(si, dimension, units), 3)} ${unitFor(dimension, units)}`;
}

const severitySi = (kind: FaultKind, text: string): number | null => siOf(text, dimensionOf(kind));

/* Shown at once; the others are one tap away. */
const USUAL = ['slow leak', 'burst', 'dry source', 'lost air', 'float valve passing', 'chattering flow switch', 'closed delivery valve', 'contactor welded'];

function choose(kind: FaultKind): void {
  const severities = kind.severities ?? [];
  const middle = severities[Math.floor(severities.length / 2)];
  const days = store.get().trouble?.days ?? 2;
  setTrouble({ what: kind.what, severity: middle && kind.severity ? severityText(kind, middle.si) : null, at: null, days });
  store.set({ looking: 'what' });
}

/* What was noticed, and when: facts of the simulation. What they are worth is judged by the core, under "Proof". */
function Noticed({ run }: { run: Run }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const first = [...run.firings].sort((a, b) => a.t_ms - b.t_ms)[0];
  const watched = run.length_ms - ONSET_MS;
  if (run.ending === 'hunting') return <p class="verdict">{t('what.hunting')}</p>;
  if (!first) {
    const healthy = store.get().day?.totals;
    const starts = healthy ? t('what.starts', { n: run.totals.starts, healthy: Math.round((healthy.starts * run.length_ms) / 86400e3) }) : '';
    return <p class="verdict"><b>{t('what.unseen', { time: showTime(watched / 1000) })}</b> {t('what.lost', { lost: show(run.totals.leaked_m3 + run.totals.spilled_m3, 'volume', units) })} {starts}</p>;
  }
  const cost = first.since_onset;
  const sentence = run.settings.find((line) => line.sentence === first.sentence);
  return (
    <p class="verdict">
      <b>{t('what.caught', { n: first.sentence + 1, time: showTime((first.t_ms - ONSET_MS) / 1000) })}</b> <i>{sentence?.told ?? sentence?.words}</i>.{' '}
      {t('what.cost', { lost: show(cost.leaked_m3 + cost.spilled_m3, 'volume', units), starts: cost.starts, dry: showTime(cost.dry_s) })}
    </p>
  );
}

export function WhatIf() {
  const t = useWords();
  const answer = useStore(store, (state) => state.faults);
  const trouble = useStore(store, (state) => state.trouble);
  const run = useStore(store, (state) => state.what);
  const day = useStore(store, (state) => (state.trouble ? state.day : null));
  useStore(store, (state) => state.units);
  const kinds = answer?.ok ? answer.faults.filter((kind) => kind.possible !== false) : [];
  const [more, setMore] = useState(false);
  const seldom = more || (trouble !== null && !USUAL.includes(trouble.what));
  const chip = (entry: FaultKind) => (
    <button type="button" class="chip" aria-pressed={trouble?.what === entry.what} data-fault={entry.what} onClick={() => choose(entry)}>
      {entry.title}</button>
  );
  const kind = kinds.find((entry) => entry.what === trouble?.what);
  const si = kind?.severities?.length && trouble?.severity ? severitySi(kind, trouble.severity) : null;
  const on = kind?.severities?.length && kind.severity ? scale(kind) : null;
  useEffect(() => { if (!trouble) store.set({ looking: 'day' }); }, [trouble]);
  return (
    <div onPointerEnter={() => trouble && store.set({ looking: 'what' })} onFocusCapture={() => trouble && store.set({ looking: 'what' })}>
      <p class="says">{t('what.says')}</p>
      <div class="chips" role="group" aria-label={t('what.which')}>
        <button type="button" class="chip" aria-pressed={trouble === null} onClick={() => setTrouble(null)}>{t('what.nothing')}</button>
        {kinds.filter((entry) => USUAL.includes(entry.what)).map(chip)}
      </div>
      {kinds.some((entry) => !USUAL.includes(entry.what)) && (
        <details class="more" open={seldom} onToggle={(event) => setMore(event.currentTarget.open)}>
          <summary>{t('what.more')}</summary>
          <div class="chips" role="group" aria-label={t('what.more')}>{kinds.filter((entry) => !USUAL.includes(entry.what)).map(chip)}</div>
        </details>
      )}
      {kind && trouble && (
        <>
          {on && si !== null && (
            <div class="setting">
              <label for="severity">{kind.severity}{kind.at ? `, ${kind.at}` : ''}</label>
              <div class="slider">
                <input id="severity" type="range" min={0} max={100} step={0.5} value={on.at(si)} aria-valuetext={trouble.severity ?? ''}
                  onInput={(event) => setTrouble({ ...trouble, severity: severityText(kind, on.si(Number(event.currentTarget.value))) }, 'severity')} />
                <output>{severityText(kind, si)}</output>
              </div>
              <p class="ends" aria-hidden="true"><span>{t('what.mild')}</span><span>{t('what.severe')}</span></p>
            </div>
          )}
          <div class="chips" role="group" aria-label={t('what.watched')}>
            <p class="label" aria-hidden="true">{t('what.watched')}</p>
            {[2, 14].map((days) => (
              <button type="button" class="chip" aria-pressed={trouble.days === days} onClick={() => setTrouble({ ...trouble, days })}>{t('what.days', { n: days })}</button>
            ))}
          </div>
          {run ? <><div aria-live="polite"><Noticed run={run} /></div><DayCharts run={run} under={day} onset={ONSET_MS / 3600e3} /><Figures run={run} /></> : <p class="says">{t('wait')}</p>}
        </>
      )}
    </div>
  );
}
