/* The stretch "What if": one mishap, its severity dragged, and who catches it. */
import { useEffect } from 'preact/hooks';
import type { MishapKind, Run } from '../core/door';
import { maybe, useWords } from '../i18n/words';
import { DayCharts } from '../plot/DayCharts';
import { digits, show, showTime, inUnits, siFrom, unitFor, type Dimension } from '../sheet/quantity';
import { ONSET_MS } from '../state/ask';
import { setTrouble, store } from '../state/job';
import { useStore } from '../state/store';
import { Figures } from './Day';

function dimensionOf(kind: MishapKind): Dimension {
  return kind.unit === '%' ? 'fraction' : kind.unit === 'Hz' ? 'frequency' : 'flow';
}

/* Severities go in equal ratios unless they reach nought. */
function scale(kind: MishapKind): { at(si: number): number; si(at: number): number } {
  const tried = kind.severities!.map((severity) => severity.si);
  const first = tried[0]!;
  const last = tried[tried.length - 1]!;
  if (first > 0 && last > 0 && last / first > 4) {
    return { at: (si) => (100 * Math.log(si / first)) / Math.log(last / first), si: (at) => first * (last / first) ** (at / 100) };
  }
  return { at: (si) => (100 * (si - first)) / (last - first), si: (at) => first + ((last - first) * at) / 100 };
}

function severityText(kind: MishapKind, si: number): string {
  const { units } = store.get();
  const dimension = dimensionOf(kind);
  return `${digits(inUnits(si, dimension, units), 3)} ${unitFor(dimension, units)}`;
}

function severitySi(kind: MishapKind, text: string): number | null {
  const match = /^(-?[\d.]+(?:e-?\d+)?)\s*(.*)$/.exec(text);
  if (!match) return null;
  const dimension = dimensionOf(kind);
  for (const units of ['metric', 'bar', 'us'] as const) {
    if (unitFor(dimension, units) === match[2]) return siFrom(Number(match[1]), dimension, units);
  }
  return null;
}

function choose(kind: MishapKind): void {
  const severities = kind.severities ?? [];
  const middle = severities[Math.floor(severities.length / 2)];
  setTrouble({ what: kind.what, severity: middle && kind.severity ? severityText(kind, middle.si) : null, at: null });
  store.set({ looking: 'what' });
}

function Verdict({ run }: { run: Run }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const first = [...run.firings].sort((a, b) => a.t_ms - b.t_ms)[0];
  const watched = run.length_ms - ONSET_MS;
  if (run.ending === 'hunting') return <p class="verdict bad">{t('what.hunting')}</p>;
  if (!first) {
    const healthy = store.get().day?.totals;
    const starts = healthy ? t('what.starts', { n: run.totals.starts, healthy: healthy.starts * 2 }) : '';
    return <p class="verdict bad"><b>{t('what.unseen', { time: showTime(watched / 1000) })}</b> {t('what.lost', { lost: show(run.totals.leaked_m3 + run.totals.spilled_m3, 'volume', units) })} {starts}</p>;
  }
  const cost = first.since_onset;
  const sentence = run.order.find((line) => line.sentence === first.sentence);
  return (
    <p class="verdict good">
      <b>{t('what.caught', { n: first.sentence + 1, time: showTime((first.t_ms - ONSET_MS) / 1000) })}</b> <i>{sentence?.words}</i>.{' '}
      {t('what.cost', { lost: show(cost.leaked_m3 + cost.spilled_m3, 'volume', units), starts: cost.starts, dry: showTime(cost.dry_s) })}
    </p>
  );
}

export function WhatIf() {
  const t = useWords();
  const language = useStore(store, (state) => state.language);
  const answer = useStore(store, (state) => state.mishaps);
  const trouble = useStore(store, (state) => state.trouble);
  const run = useStore(store, (state) => state.what);
  const day = useStore(store, (state) => state.day);
  useStore(store, (state) => state.units);
  const kinds = answer?.ok ? answer.mishaps.filter((kind) => kind.possible !== false) : [];
  const kind = kinds.find((entry) => entry.what === trouble?.what);
  const si = kind?.severities?.length && trouble?.severity ? severitySi(kind, trouble.severity) : null;
  const on = kind?.severities?.length && kind.severity ? scale(kind) : null;
  useEffect(() => { if (!trouble) store.set({ looking: 'day' }); }, [trouble]);
  return (
    <div onPointerEnter={() => trouble && store.set({ looking: 'what' })} onFocusCapture={() => trouble && store.set({ looking: 'what' })}>
      <p class="says">{t('what.says')}</p>
      <div class="chips" role="group" aria-label={t('what.which')}>
        <button type="button" class="chip" aria-pressed={trouble === null} onClick={() => setTrouble(null)}>{t('what.nothing')}</button>
        {kinds.map((entry) => (
          <button type="button" class="chip" aria-pressed={trouble?.what === entry.what} data-mishap={entry.what} onClick={() => choose(entry)}>
            {maybe(language, `mishap.${entry.what}`) ?? entry.title}</button>
        ))}
      </div>
      {kind && trouble && (
        <>
          {on && si !== null && (
            <div class="setting">
              <label for="severity">{maybe(language, `severity.${kind.what}`) ?? kind.severity}{kind.at ? `, ${kind.at}` : ''}</label>
              <div class="slider">
                <input id="severity" type="range" min={0} max={100} step={0.5} value={on.at(si)} aria-valuetext={trouble.severity ?? ''}
                  onInput={(event) => setTrouble({ ...trouble, severity: severityText(kind, on.si(Number(event.currentTarget.value))) }, 'severity')} />
                <output>{severityText(kind, si)}</output>
              </div>
              <p class="ends" aria-hidden="true"><span>{t('what.mild')}</span><span>{t('what.severe')}</span></p>
            </div>
          )}
          {run ? <><div aria-live="polite"><Verdict run={run} /></div><DayCharts run={run} under={day} onset={ONSET_MS / 3600e3} /><Figures run={run} /></> : <p class="says">{t('wait')}</p>}
        </>
      )}
    </div>
  );
}
