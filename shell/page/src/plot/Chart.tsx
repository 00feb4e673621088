/* One time series chart on uPlot, fed with new data in place. The moment looked at is drawn as a line and can be dragged. */
import uPlot from 'uplot';
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import { store } from '../state/job';
import { useStore } from '../state/store';
import { colour } from './colours';

export interface Curve { label: string; colour: string; values: number[]; width?: number; dash?: number[]; fill?: string; step?: boolean }

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
  onReady?(chart: uPlot): void;
  onDraw?(chart: uPlot): void;
}

/* Time of day; over several days the number of days since the beginning. */
function hourText(hour: number, last: number): string {
  if (last > 60) return `${Math.round(hour / 24)} d`;
  return hour > 24 ? `+${hour - 24}h` : `${String(hour).padStart(2, '0')}:00`;
}

function axes(): uPlot.Axis[] {
  const common = { stroke: () => colour('ink'), grid: { stroke: () => colour('rule'), width: 1 }, ticks: { show: false }, font: '13px system-ui, sans-serif' };
  return [
    { ...common, size: 26, gap: 2, space: 52, values: (_, splits) => splits.map((h) => hourText(h, splits[splits.length - 1]!)),
      incrs: [1, 2, 3, 4, 6, 8, 12, 24, 48, 72, 96, 168] },
    { ...common, size: 46, gap: 2, space: 34 },
  ];
}

function bareAxes(): uPlot.Axis[] {
  return axes().map((axis, i) => ({ ...axis, size: i === 0 ? 2 : 46, gap: 0, values: () => [], grid: { show: false } }));
}

function drawExtras(chart: uPlot, props: ChartProps): void {
  const { ctx, bbox } = chart;
  const x = (hour: number): number => chart.valToPos(hour, 'x', true);
  const { running, hours } = props;
  if (running) {
    ctx.fillStyle = colour(props.bare ? 'water' : 'run');
    for (let i = 0; i + 1 < hours.length; i++) {
      if (!running[i]) continue;
      const from = x(hours[i]!);
      let j = i;
      while (j + 1 < hours.length && running[j]) j++;
      ctx.fillRect(from, bbox.top, Math.max(1, x(hours[j]!) - from), bbox.height);
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
  line(store.get().t_ms / 3600e3, colour('now'), []);
}

export function Chart(props: ChartProps) {
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
        x: { time: false, range: () => [0, Math.max(24, latest.current.hours[latest.current.hours.length - 1] ?? 24)] },
        y: { range: () => [latest.current.bottom ?? 0, latest.current.top] },
      },
      axes: latest.current.bare ? bareAxes() : axes(),
      series: [{}, ...props.curves.map((curve): uPlot.Series => ({
        label: curve.label, stroke: () => colour(curve.colour), width: curve.width ?? 2, dash: curve.dash, points: { show: false },
        fill: curve.fill ? () => colour(curve.fill!) : undefined, paths: curve.step ? uPlot.paths.stepped!({ align: 1 }) : undefined,
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
    const scrubbing = scrub(made);
    return () => {
      resized.disconnect();
      lights.forEach((media) => media.removeEventListener('change', again));
      scrubbing();
      made.destroy();
      chart.current = undefined;
    };
  }, [shape, light, props.height]);

  // before the next frame, not after it: that frame is what a dragging hand waits for
  useLayoutEffect(() => { chart.current?.setData(dataOf(props)); });
  const t = useStore(store, (state) => state.t_ms);
  useLayoutEffect(() => { chart.current?.redraw(false); }, [t]);

  return <div class="chart" ref={box} role="img" aria-label={props.label} />;
}

function dataOf(props: ChartProps): uPlot.AlignedData {
  return [props.hours, ...props.curves.map((curve) => curve.values)] as uPlot.AlignedData;
}

/* Touch or click a chart to look at that moment; sideways only, so that a thumb can still scroll the page. */
function scrub(chart: uPlot): () => void {
  const over = chart.over;
  const look = (event: PointerEvent): void => {
    const hour = chart.posToVal(event.clientX - over.getBoundingClientRect().left, 'x');
    store.set({ t_ms: Math.max(0, Math.round(hour * 60) * 60e3), playing: false });
  };
  const down = (event: PointerEvent): void => {
    look(event);
    over.setPointerCapture(event.pointerId);
  };
  const move = (event: PointerEvent): void => { if (over.hasPointerCapture(event.pointerId)) look(event); };
  over.addEventListener('pointerdown', down);
  over.addEventListener('pointermove', move);
  return () => {
    over.removeEventListener('pointerdown', down);
    over.removeEventListener('pointermove', move);
  };
}
