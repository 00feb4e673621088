/* One time series chart on uPlot, fed with new data in place. The moment looked at is drawn as a line and can be dragged; the values there
 * stand over the chart. Charts that share a view are enlarged and moved together. */
import uPlot from 'uplot';
import { useEffect, useLayoutEffect, useMemo, useRef } from 'preact/hooks';
import { useWords } from '../i18n/words';
import { digits, spokenNumber } from '../sheet/quantity';
import { store } from '../state/job';
import { Store, useStore } from '../state/store';
import { colour } from './colours';
import { hands } from './gestures';
import { shownOf, type Moment, type Span } from './view';

export interface Curve { label: string; colour: string; values: number[]; width?: number; dash?: number[]; fill?: string; step?: boolean;
  join?: number } // so many samples without a value are bridged: as far apart as values usually are

export interface ChartProps {
  label: string;
  hours: number[];
  curves: Curve[];
  height: number;
  top: number;               // of the y scale; the bottom is `bottom` or 0
  bottom?: number;
  running?: number[];        // shaded while the pump runs
  bare?: boolean;            // nothing but the shading, at the width of the other charts
  marks?: { hour: number; colour: string }[];
  shades?: { from: number; to: number }[]; // stretches that were found
  between?: [number, number]; // two curves, from 1, with the room between them filled
  view?: Store<Span>;        // shared with other charts
  moment?: Store<Moment>;    // the moment looked at; without it that of the job
  whole?: number;            // hours of the time axis; without it those of the data, a day at least
  onReady?(chart: uPlot): void;
  onDraw?(chart: uPlot): void;
}

/** A moment: time of day, with the days since the beginning before it. */
export function timeText(hour: number): string {
  const minutes = Math.round(hour * 60);
  const clock = `${String(Math.floor(minutes / 60) % 24).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
  return minutes >= 1440 ? `${Math.floor(minutes / 1440)} d ${clock}` : clock;
}

/* On the axis: time of day, days where they are whole. `step`: hours from one mark to the next. */
function hourText(hour: number, step: number): string {
  if (step >= 24 || (hour > 24 && hour % 24 === 0)) return `${Math.round(hour / 24)} d`;
  const minutes = Math.round(hour * 60);
  return `${String(hour === 24 ? 24 : Math.floor(minutes / 60) % 24).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
}

function axes(): uPlot.Axis[] {
  const common = { stroke: () => colour('ink'), grid: { stroke: () => colour('rule'), width: 1 }, ticks: { show: false }, font: '13px system-ui, sans-serif' };
  return [
    { ...common, size: 26, gap: 2, space: 52, values: (_, splits) => splits.map((h) => hourText(h, splits.length > 1 ? splits[1]! - splits[0]! : 1)),
      incrs: [1 / 60, 1 / 30, 1 / 12, 1 / 6, 0.25, 0.5, 1, 2, 3, 4, 6, 8, 12, 24, 48, 72, 96, 168] },
    { ...common, size: 46, gap: 2, space: 34 },
  ];
}

function bareAxes(): uPlot.Axis[] {
  return axes().map((axis, i) => ({ ...axis, size: i === 0 ? 2 : 46, gap: 0, values: () => [], grid: { show: false } }));
}

/* Of the gaps of a curve those that are longer than values usually stand apart. */
function realGaps(chart: uPlot, hours: number[], join: number, gaps: uPlot.Series.Gaps): uPlot.Series.Gaps {
  const step = chart.valToPos(hours[1] ?? 1, 'x', true) - chart.valToPos(hours[0] ?? 0, 'x', true);
  return gaps.filter(([from, to]) => to - from > (join + 1.5) * step);
}

function drawExtras(chart: uPlot, props: ChartProps): void {
  const { ctx, bbox } = chart;
  const x = (hour: number): number => Math.min(bbox.left + bbox.width, Math.max(bbox.left, chart.valToPos(hour, 'x', true)));
  ctx.fillStyle = colour('bad-wash');
  for (const shade of props.shades ?? []) ctx.fillRect(x(shade.from), bbox.top, x(shade.to) - x(shade.from), bbox.height);
  const { running, hours } = props;
  if (running) {
    ctx.fillStyle = colour(props.bare ? 'water' : 'run');
    for (let i = 0; i + 1 < hours.length; i++) {
      if (!running[i]) continue;
      const from = x(hours[i]!);
      let j = i;
      while (j + 1 < hours.length && running[j]) j++;
      const to = x(hours[j]!);
      if (to > bbox.left && from < bbox.left + bbox.width) ctx.fillRect(from, bbox.top, Math.max(1, to - from), bbox.height);
      i = j;
    }
  }
}

function drawNow(chart: uPlot, props: ChartProps): void {
  const { ctx, bbox } = chart;
  const line = (hour: number, tint: string, dash: number[]): void => {
    const at = Math.round(chart.valToPos(hour, 'x', true));
    if (at < bbox.left || at > bbox.left + bbox.width) return;
    ctx.save();
    ctx.strokeStyle = tint;
    ctx.lineWidth = 2 * devicePixelRatio;
    ctx.setLineDash(dash);
    ctx.beginPath();
    ctx.moveTo(at, bbox.top);
    ctx.lineTo(at, bbox.top + bbox.height);
    ctx.stroke();
    ctx.restore();
  };
  for (const mark of props.marks ?? []) line(mark.hour, colour(mark.colour), [6, 4]);
  line(momentOf(props), colour('now'), []);
}

const momentOf = (props: ChartProps): number => props.moment?.get().hour ?? store.get().t_ms / 3600e3;
const wholeOf = (props: ChartProps): number => props.whole ?? Math.max(24, props.hours[props.hours.length - 1] ?? 24);

/* The values at the moment that is looked at: of the last sample before it. */
function Readout({ props, hour }: { props: ChartProps; hour: number }) {
  const { hours, curves } = props;
  let low = 0;
  let high = hours.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (hours[middle]! <= hour) low = middle;
    else high = middle - 1;
  }
  return (
    <p class="chart-read"><span>{timeText(hour)}</span>{curves.map((curve) => {
      let at = low;
      while (at > Math.max(0, low - (curve.join ?? 0)) && (curve.values[at] ?? null) === null) at--;
      const value = curve.values[at];
      return <span class={`value ${curve.colour}`}>{curve.label} <b>{value === null || value === undefined ? '–' : spokenNumber(digits(Math.abs(value) < props.top * 1e-4 ? 0 : value, 3))}</b></span>;
    })}</p>
  );
}

export function Chart(props: ChartProps) {
  const t = useWords();
  const alone = useMemo(() => new Store<Span>({ from: null, to: null }), []);
  const view = props.view ?? alone;
  const box = useRef<HTMLDivElement>(null);
  const chart = useRef<uPlot | undefined>(undefined);
  const latest = useRef(props);
  latest.current = props;
  const light = useStore(store, (state) => state.light);
  const shape = props.curves.map((curve) => curve.label + curve.colour).join();

  useEffect(() => {
    const element = box.current!;
    const options: uPlot.Options = {
      width: Math.max(200, element.clientWidth), height: props.height, legend: { show: false }, padding: [6, 20, 0, 0],
      cursor: { y: false, drag: { x: false, y: false }, points: { show: false }, x: false },
      scales: {
        x: { time: false, range: () => shownOf(view.get(), wholeOf(latest.current)) },
        y: { range: () => [latest.current.bottom ?? 0, latest.current.top] },
      },
      bands: props.between ? [{ series: props.between.slice() as [number, number], fill: () => colour('water-wash') }] : [],
      axes: latest.current.bare ? bareAxes() : axes(),
      series: [{}, ...props.curves.map((curve): uPlot.Series => ({
        label: curve.label, stroke: () => colour(curve.colour), width: curve.width ?? 2, dash: curve.dash, points: { show: false },
        fill: curve.fill ? () => colour(curve.fill!) : undefined, paths: curve.step ? uPlot.paths.stepped!({ align: 1 }) : undefined,
        ...(curve.join && { gaps: (u: uPlot, _series: number, _from: number, _to: number, gaps: uPlot.Series.Gaps) => realGaps(u, latest.current.hours, curve.join!, gaps) }),
      }))],
      hooks: {
        drawClear: [(u) => drawExtras(u, latest.current)],
        draw: [(u) => { drawNow(u, latest.current); latest.current.onDraw?.(u); }],
      },
    };
    const made = new uPlot(options, dataOf(latest.current), element);
    chart.current = made;
    props.onReady?.(made);
    const resized = new ResizeObserver(() => made.setSize({ width: Math.max(200, element.clientWidth), height: props.height }));
    resized.observe(element);
    const again = (): void => made.redraw(false, true);
    const lights = ['(prefers-color-scheme: dark)', 'print'].map((query) => matchMedia(query));
    lights.forEach((media) => media.addEventListener('change', again));
    const look = (hour: number): void => {
      const at = Math.max(0, hour);
      const own = latest.current.moment;
      if (own) own.set({ hour: at });
      else store.set({ t_ms: Math.round(at * 60) * 60e3, playing: false });
    };
    const letGo = hands(made, element, { view, all: () => wholeOf(latest.current), at: () => momentOf(latest.current), look });
    const moved = view.on(() => made.setData(dataOf(latest.current)));
    return () => {
      resized.disconnect();
      lights.forEach((media) => media.removeEventListener('change', again));
      letGo();
      moved();
      made.destroy();
      chart.current = undefined;
    };
  }, [shape, light, props.height, view]);

  // before the next frame, not after it: that frame is what a dragging hand waits for
  useLayoutEffect(() => { chart.current?.setData(dataOf(props)); });
  const job = useStore(store, (state) => state.t_ms / 3600e3);
  const own = useStore(props.moment ?? NO_MOMENT, (state) => state.hour);
  const hour = props.moment ? own : job;
  useLayoutEffect(() => { chart.current?.redraw(false); }, [hour]);

  return (
    <>
      <div class="chart" ref={box} role="img" tabIndex={props.bare ? undefined : 0} aria-label={props.bare ? props.label : `${props.label} ${t('chart.keys')}`} />
      {!props.bare && <Readout props={props} hour={hour} />}
    </>
  );
}

const NO_MOMENT = new Store<Moment>({ hour: 0 });

function dataOf(props: ChartProps): uPlot.AlignedData {
  return [props.hours, ...props.curves.map((curve) => curve.values)] as uPlot.AlignedData;
}
