/* The pump against the site: its curve, the band of what the site asks for (from the easiest case to the hardest), and
 * the points where the two meet. All points come from the core. */
import type { Size } from '../core/door';
import { useWords } from '../i18n/words';
import { inUnits, pretty, show, unitFor } from '../sheet/quantity';
import { store } from '../state/job';
import { useStore } from '../state/store';
import { ticks } from './CurvePlot';

type Point = [number, number];

const W = 360;
const H = 236;
const LEFT = 44;
const RIGHT = 10;
const BOTTOM = 36;
const TOP = 20;

/* The part of a curve below the top of the picture; where it crosses, it ends on the edge. */
function within(curve: Point[], xTop: number, yTop: number): Point[] {
  const kept: Point[] = [];
  for (const [i, point] of curve.entries()) {
    if (point[0] <= xTop && point[1] <= yTop) {
      kept.push(point);
      continue;
    }
    const last = curve[i - 1];
    if (!last || kept.length === 0) break;
    const share = Math.min(point[0] > xTop ? (xTop - last[0]) / (point[0] - last[0]) : 1,
      point[1] > yTop ? (yTop - last[1]) / (point[1] - last[1]) : 1);
    kept.push([last[0] + share * (point[0] - last[0]), last[1] + share * (point[1] - last[1])]);
    break;
  }
  return kept;
}

export function Meeting({ size }: { size: Size }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const { curves, duties } = size;
  const pump = curves.pump;
  if (pump.length < 2 || duties.length === 0) return null;
  const xTop = 1.05 * pump[pump.length - 1]![0];
  const yTop = 1.12 * Math.max(...pump.map(([, head]) => head));
  const x = (flow: number): number => LEFT + (flow / xTop) * (W - LEFT - RIGHT);
  const y = (head: number): number => H - BOTTOM - (Math.max(0, head) / yTop) * (H - BOTTOM - TOP);
  const path = (curve: Point[]): string => curve.map(([flow, head]) => `${x(flow).toFixed(1)} ${y(head).toFixed(1)}`).join('L');
  const [easy, usual, hard] = [curves.easy, curves.usual, curves.hard].map((curve) => within(curve, xTop, yTop)) as [Point[], Point[], Point[]];
  const scale = (dimension: 'flow' | 'length', top: number) => ticks(inUnits(top, dimension, units)).map((value) => (
    { value, at: (value / inUnits(1, dimension, units)) }));
  const first = duties[0]!;
  const last = duties[duties.length - 1]!;
  const words = t('size.meeting.says', {
    flow: show(first.flow_m3s, 'flow', units), head: show(first.head_m, 'length', units),
    flow2: show(last.flow_m3s, 'flow', units), head2: show(last.head_m, 'length', units),
  });
  const same = easy.length > 0 && hard.length > 0 && Math.abs(y(easy[0]![1]) - y(hard[0]![1])) < 18;
  return (
    <figure class="meeting">
      <svg class="curve-plot" viewBox={`0 0 ${W} ${H}`} role="img" aria-label={words}>
        {scale('length', yTop).map(({ value, at }) => (
          <g><path class="rule" d={`M${LEFT} ${y(at)}H${W - RIGHT}`} /><text x={LEFT - 6} y={y(at) + 4} text-anchor="end">{value}</text></g>
        ))}
        {scale('flow', xTop).map(({ value, at }) => <text x={x(at)} y={H - BOTTOM + 16} text-anchor="middle">{value}</text>)}
        <text x={W - RIGHT} y={H - 4} text-anchor="end">{t('fit.flow')}, {pretty(unitFor('flow', units))}</text>
        <text x={4} y={13}>{t('fit.head')}, {pretty(unitFor('length', units))}</text>
        {easy.length > 1 && hard.length > 1 && <path class="asked" d={`M${path(easy)}L${path([...hard].reverse())}Z`} />}
        {[easy, hard].map((curve) => curve.length > 1 && <path class="edge" d={`M${path(curve)}`} />)}
        {usual.length > 1 && <path class="usual" d={`M${path(usual)}`} />}
        <path class="pump-curve" d={`M${path(pump)}`} />
        {duties.map((duty) => <circle class="duty" cx={x(duty.flow_m3s)} cy={y(duty.head_m)} r="5" />)}
        <text class="name" x={x(pump[3]?.[0] ?? pump[0]![0])} y={y(pump[3]?.[1] ?? pump[0]![1]) - 8}>{t('size.meeting.pump')}</text>
        {hard.length > 0 && <text class="name" x={LEFT + 6} y={y(hard[0]![1]) - 6}>{t(same ? 'size.meeting.asked' : 'size.meeting.hard')}</text>}
        {easy.length > 0 && !same && <text class="name" x={LEFT + 6} y={y(easy[0]![1]) + 16}>{t('size.meeting.easy')}</text>}
      </svg>
      <figcaption>{words}</figcaption>
    </figure>
  );
}
