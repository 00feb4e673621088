/* The charts of a simulated run: pressure with the lines of cut-in and cut-out to drag, flow, level. */
import type uPlot from 'uplot';
import { useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { Run, Units } from '../core/door';
import { useWords } from '../i18n/words';
import { settingsIn, settingText, withSetting, type Setting } from '../sheet/settings';
import { digits, inUnits, pretty, siFrom, unitFor } from '../sheet/quantity';
import { dragSentence, timing } from '../state/ask';
import { edit, store } from '../state/job';
import { Store, useStore } from '../state/store';
import { Chart, type Curve } from './Chart';
import { Table } from './Table';
import { Zoom, type Span } from './view';

const roundUp = (value: number): number => {
  if (!(value > 0)) return 1;
  const step = 10 ** Math.floor(Math.log10(value));
  return ([1, 1.5, 2, 3, 4, 5, 6, 8, 10].find((size) => size * step >= value) ?? 10) * step;
};
const most = (values: number[]): number => values.reduce((top, value) => (value > top ? value : top), 0);

export function sentencesOf(site: unknown): string[] {
  const settings = (site as { settings?: unknown } | null)?.settings;
  return Array.isArray(settings) ? settings.map(String) : [];
}

/** `inHand`: it is being dragged, so that the day is to follow at once. False: nothing changed. */
export function setSetting(setting: Setting, value: number, units: Units, inHand = false): boolean {
  const sentence = sentencesOf(store.get().sheet.site)[setting.sentence];
  if (sentence === undefined) return false;
  const text = settingText(setting, value, units);
  const changed = withSetting(sentence, setting, text);
  const gesture = `set${setting.sentence}.${setting.start}`;
  if (inHand) return dragSentence(setting.sentence, changed, gesture);
  if (changed !== sentence) edit.value(['settings', setting.sentence], changed, gesture);
  return changed !== sentence;
}

/* The moment of the job, as the buttons ask for it. */
const JOB_MOMENT = { get: () => ({ hour: store.get().t_ms / 3600e3 }) };

interface Props { run: Run; under?: Run | null; onset?: number; drag?: boolean }

export function DayCharts({ run, under, onset, drag }: Props) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const [frozen, setFrozen] = useState<number | null>(null);
  const samples = run.samples!;
  const data = useMemo(() => {
    const hours = samples.t_ms.map((ms) => ms / 3600e3);
    const pressure = samples.pressure_pa.map((pa) => inUnits(pa, 'pressure', units));
    const pump = samples.pumps_m3s.map((flow) => inUnits(flow, 'flow', units));
    const running = hours.map((_, i) => (samples.pumps.some((each) => each.running[i] === 1) ? 1 : 0));
    const draw = samples.draw_m3s.map((flow) => inUnits(flow, 'flow', units));
    const levels = [...samples.tanks.map((tank) => ({ name: tank.name, values: tank.level_m, tank: true })),
      ...samples.bores.map((bore) => ({ name: bore.name, values: bore.over_intake_m, tank: false }))]
      .map((one) => ({ ...one, values: one.values.map((m) => inUnits(m, 'length', units)) }));
    return { hours, pressure, pump, running, draw, levels };
  }, [samples, units]);
  const other = useMemo(() => (under?.samples ? onto(data.hours, under, units) : null), [data.hours, under, units]);
  const lines = useStore(store, (state) => JSON.stringify(drag ? settingsIn(sentencesOf(state.sheet.site), state.numbers).filter((line) => line.role) : []));
  const settings = JSON.parse(lines) as Setting[];
  const tops = settings.map((line) => inUnits(line.value, 'pressure', units) * 1.15);
  const top = frozen ?? roundUp(Math.max(most(data.pressure), ...tops) * 1.04);
  const marks = onset === undefined ? undefined : [{ hour: onset, colour: 'bad' }];
  const chart = useRef<uPlot | undefined>(undefined);
  const view = useMemo(() => new Store<Span>({ from: null, to: null }), []);
  const all = Math.max(24, data.hours[data.hours.length - 1] ?? 24);
  const [, placed] = useState(0);
  const pressure: Curve[] = [{ label: t('day.pressure'), colour: 'water', values: data.pressure, width: 2 }];
  if (other) pressure.unshift({ label: t('what.healthy'), colour: 'faint', values: other, width: 1.5, dash: [4, 4] });
  const unit = (dimension: 'pressure' | 'flow' | 'length'): string => pretty(unitFor(dimension, units));
  useLayoutEffect(() => { if (drag && timing.shown > 0) queueMicrotask(drawn); }); // the charts draw in microtasks of their own, before this one
  return (
    <div class="charts">
      <Zoom view={view} moment={JOB_MOMENT} all={all} />
      <p class="chart-title">{t('day.pressure')} <small>{unit('pressure')}</small> <span class="key run">{t('day.running')}</span>
        {other && <span class="key faint">{t('what.healthy')}</span>}</p>
      <div class="with-lines">
        <Chart view={view} label={t('day.pressureChart')} hours={data.hours} curves={pressure} height={210} top={top} running={data.running} marks={marks}
          onReady={(made) => { chart.current = made; placed((count) => count + 1); }} />
        {drag && settings.map((setting) => (
          <DragLine key={setting.role!} setting={setting} chart={chart} top={top} hold={(on) => setFrozen(on ? top : null)} />
        ))}
      </div>
      <p class="chart-title">{t('day.flow')} <small>{unit('flow')}</small> <span class="key pump">{t('day.pumpFlow')}</span>
        <span class="key draw">{t('day.drawFlow')}</span></p>
      <Chart view={view} label={t('day.flowChart')} hours={data.hours} height={130} top={roundUp(Math.max(most(data.pump), most(data.draw)) * 1.04)} marks={marks}
        curves={[{ label: t('day.pumpFlow'), colour: 'water', values: data.pump, fill: 'water-wash', width: 1.5 },
          { label: t('day.drawFlow'), colour: 'draw', values: data.draw, width: 1.5 }]} />
      {samples.pumps.length > 1 && <>
        <p class="chart-title">{t('day.which')}</p>
        {samples.pumps.map((pump) => (
          <div class="pump-row" key={pump.name}><span>{pump.name}</span>
            <Chart view={view} label={t('day.whichChart', { name: pump.name })} hours={data.hours} height={22} top={1} bare running={pump.running} marks={marks} curves={[]} />
          </div>
        ))}
      </>}
      {data.levels.map((one) => (
        <div key={one.name}>
          <p class="chart-title">{t(one.tank ? 'day.level' : 'day.boreLevel', { name: one.name })} <small>{unit('length')}</small></p>
          <Chart view={view} label={t(one.tank ? 'day.level' : 'day.boreLevel', { name: one.name })} hours={data.hours} height={110}
            top={roundUp(most(one.values) * 1.05)} marks={marks} curves={[{ label: one.name, colour: 'level', values: one.values, width: 2 }]} />
        </div>
      ))}
      <Table view={view} hours={data.hours} columns={[{ name: t('day.pressure'), unit: unit('pressure'), values: data.pressure },
        ...(other ? [{ name: t('what.healthy'), unit: unit('pressure'), values: other }] : []),
        { name: t('day.pumpFlow'), unit: unit('flow'), values: data.pump }, { name: t('day.drawFlow'), unit: unit('flow'), values: data.draw },
        ...data.levels.map((one) => ({ name: one.name, unit: unit('length'), values: one.values }))]} />
    </div>
  );
}

/* From the question to the drawn day: what a person feels while dragging. */
function drawn(): void {
  if (timing.shown === 0) return;
  performance.measure('pumpwright day', { start: timing.shown, end: performance.now() });
  timing.shown = 0;
}

/* The healthy run's pressure at the moments of another run. */
function onto(hours: number[], under: Run, units: Units): number[] {
  const { t_ms, pressure_pa } = under.samples!;
  let i = 0;
  return hours.map((hour) => {
    while (i + 1 < t_ms.length && t_ms[i + 1]! <= hour * 3600e3) i++;
    return t_ms[t_ms.length - 1]! < hour * 3600e3 ? (null as unknown as number) : inUnits(pressure_pa[i]!, 'pressure', units);
  });
}

interface LineProps { setting: Setting; chart: { current: uPlot | undefined }; top: number; hold(on: boolean): void }

/* A line over the chart that can be dragged, or moved with the arrow keys. */
function DragLine({ setting, chart, top, hold }: LineProps) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const made = chart.current;
  const value = inUnits(setting.value, 'pressure', units);
  const height = made ? made.bbox.height / devicePixelRatio : 1; // not asked of the document, which would lay it out anew
  const offset = made ? made.bbox.top / devicePixelRatio : 0;
  const y = offset + height * (1 - value / top);
  const grabbed = useRef({ y: 0, value: 0 }); // where it was taken hold of
  const latest = useRef({ setting, top });
  latest.current = { setting, top };
  const put = (shown: number, inHand: boolean): void => {
    setSetting(latest.current.setting, Math.max(0, siFrom(shown, 'pressure', units)), units, inHand);
  };
  const move = (event: PointerEvent): void => {
    if (!(event.currentTarget as HTMLElement).hasPointerCapture(event.pointerId)) return;
    put(grabbed.current.value - ((event.clientY - grabbed.current.y) / height) * latest.current.top, true);
  };
  const step = units === 'us' ? 1 : units === 'bar' ? 0.05 : 5;
  return (
    <div class={`drag-line ${setting.role}`} style={{ top: `${y}px` }} role="slider" tabIndex={0} aria-orientation="vertical"
      aria-label={t(setting.role === 'cut-in' ? 'day.cutIn' : 'day.cutOut')} aria-valuemin={0} aria-valuemax={Math.round(top)}
      aria-valuenow={Number(digits(value, 4))} aria-valuetext={`${digits(value, 4)} ${unitFor('pressure', units)}`}
      onPointerDown={(event) => {
        grabbed.current = { y: event.clientY, value };
        event.currentTarget.setPointerCapture(event.pointerId);
        hold(true);
      }}
      onPointerMove={move} onPointerUp={() => hold(false)} onPointerCancel={() => hold(false)}
      onKeyDown={(event) => {
        const size = event.key.startsWith('Page') ? 5 * step : step;
        if (event.key === 'ArrowUp' || event.key === 'PageUp') put(value + size, false);
        else if (event.key === 'ArrowDown' || event.key === 'PageDown') put(value - size, false);
        else return;
        event.preventDefault();
      }}>
      <span class="grip"><span>{t(setting.role === 'cut-in' ? 'day.cutIn' : 'day.cutOut')} <b>{digits(value, 4)}</b></span></span>
    </div>
  );
}
