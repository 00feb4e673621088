/* A log drawn: of each signal the band between its least and greatest value in each stretch, with what was found marked. */
import { useMemo } from 'preact/hooks';
import type { Diagnosis, LogRead } from '../core/door';
import { useWords, type Key } from '../i18n/words';
import { inUnits, pretty, unitFor } from '../sheet/quantity';
import { SIGNALS } from '../sheet/signals';
import { store } from '../state/job';
import { Store, useStore } from '../state/store';
import { Chart } from './Chart';
import { Table } from './Table';
import { type Span, Zoom } from './view';

/* Pressures that the core found in the log and that belong on its chart. */
const LEVELS: { feature: string; colour: string; words: Key }[] = [
  { feature: 'cut-in', colour: 'draw', words: 'log.cutIn' }, { feature: 'cut-out', colour: 'level', words: 'log.cutOut' }];

const roundUp = (value: number): number => {
  const ten = 10 ** Math.floor(Math.log10(Math.max(value, 1e-9)));
  return ([1, 1.5, 2, 3, 4, 5, 6, 8, 10].find((size) => size * ten >= value) ?? 10) * ten;
};

/* Stretches without a value between two that have one, where the log is no denser than they are: twice the usual, for clocks that wander. */
const joinOf = (values: (number | null)[]): number => 2 * Math.ceil(values.length / Math.max(1, values.filter((value) => value !== null).length));

export function LogCharts({ read, verdict }: { read: LogRead; verdict: Diagnosis | null }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const { from_s: from, until_s: until, signals } = read.drawn;
  const span = useMemo(() => new Store<Span>({ from: null, to: null }), [read]);
  const moment = useMemo(() => new Store<{ hour: number }>({ hour: 0 }), [read]);
  const drawn = useMemo(() => {
    const steps = signals[0]?.low.length ?? 0;
    const hours = Array.from({ length: steps }, (_, i) => ((i + 0.5) / steps) * (until - from) / 3600);
    const all = signals.map(({ signal, low, high }) => {
      const of = SIGNALS[signal]?.of ?? 'number';
      const put = (values: (number | null)[]): (number | null)[] => values.map((value) => (value === null ? null : inUnits(value, of, units)));
      return { signal, unit: pretty(unitFor(of, units)), low: put(low), high: put(high) };
    });
    return { hours, all };
  }, [read, units]);
  const standing = (verdict?.log?.standing ?? []).map((one) => ({ from: (one.begin_s - from) / 3600, to: (one.end_s - from) / 3600 }));
  const judged = verdict?.judged_from_s !== undefined && verdict.judged_from_s > from ? [{ hour: (verdict.judged_from_s - from) / 3600, colour: 'bad' }] : [];
  const levels = LEVELS.flatMap((level) => {
    const pa = verdict?.features?.[level.feature];
    return pa === undefined || pa === null ? [] : [{ ...level, value: inUnits(pa, 'pressure', units) }];
  });
  const bad = Object.entries(verdict?.log?.bad ?? {}).filter(([, count]) => count > 0);
  return (
    <div class="charts" data-log="drawn">
      <h3>{t('log.drawn')}</h3>
      <Zoom view={span} moment={moment} all={(until - from) / 3600} />
      {drawn.all.map((one) => {
        const lines = one.signal === 'pressure' ? levels : [];
        const top = roundUp(1.04 * Math.max(...one.high.map((value) => value ?? 0), ...lines.map((level) => level.value)));
        const join = joinOf(one.low);
        const label = t(`log.signal.${one.signal}` as Key);
        return (
          <div key={one.signal}>
            <p class="chart-title">{label} <small>{one.unit}</small> {lines.map((level) => <span class={`key ${level.colour}`}>{t(level.words)}</span>)}</p>
            <Chart label={t('log.chart', { what: label })} hours={drawn.hours} height={one.signal === 'running' ? 70 : 150} top={top} view={span} moment={moment} whole={(until - from) / 3600}
              curves={[{ label: t('log.least'), colour: 'water', values: one.low as number[], width: 1.2, join }, { label: t('log.greatest'), colour: 'water', values: one.high as number[], width: 1.2, join },
                ...lines.map((level) => ({ label: t(level.words), colour: level.colour, values: drawn.hours.map(() => level.value), width: 1.5, dash: [6, 4] }))]}
              between={[2, 1]} marks={judged} shades={standing} />
          </div>
        );
      })}
      {standing.length > 0 && <p class="found"><span class="key shade">{t('log.standing')}</span></p>}
      {judged.length > 0 && <p class="found"><span class="key bad">{t('log.judgedFrom')}</span></p>}
      {bad.length > 0 && <p>{t('log.bad', { list: bad.map(([what, count]) => `${t(`log.bad.${what}` as Key)}: ${count}`).join('; ') })}</p>}
      <Table view={span} hours={drawn.hours} columns={drawn.all.flatMap((one) => [
        { name: `${t(`log.signal.${one.signal}` as Key)}, ${t('log.least')}`, unit: one.unit, values: one.low }, { name: t('log.greatest'), unit: one.unit, values: one.high }])} />
    </div>
  );
}
