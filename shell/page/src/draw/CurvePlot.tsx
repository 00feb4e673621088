/* A pump's curve and the points where the site makes it work, drawn to the axes' scale. */
interface Props {
  points: { x: number; y: number }[];
  marks: { x: number; y: number; at: string }[];
  xUnit: string;
  yUnit: string;
}

const W = 340;
const H = 190;
const LEFT = 44;
const BOTTOM = 34;

/** Round numbers from nought to a top, about five. */
export function ticks(top: number): number[] {
  const raw = top / 4;
  const size = 10 ** Math.floor(Math.log10(raw || 1));
  const step = ([1, 2, 2.5, 5, 10].find((mult) => mult * size >= raw) ?? 10) * size;
  const made: number[] = [];
  for (let value = 0; value <= top * 1.0001; value += step) made.push(Number(value.toPrecision(4)));
  return made;
}

export function CurvePlot({ points, marks, xUnit, yUnit }: Props) {
  if (points.length < 2) return null;
  const xTop = Math.max(...points.map((point) => point.x)) * 1.05 || 1;
  const yTop = Math.max(...points.map((point) => point.y)) * 1.1 || 1;
  const x = (value: number): number => LEFT + (value / xTop) * (W - LEFT - 8);
  const y = (value: number): number => H - BOTTOM - (value / yTop) * (H - BOTTOM - 8);
  return (
    <svg class="curve-plot" viewBox={`0 0 ${W} ${H}`} aria-hidden="true">
      {ticks(yTop).map((value) => <g><path class="rule" d={`M${LEFT} ${y(value)}H${W - 8}`} /><text x={LEFT - 6} y={y(value) + 4} text-anchor="end">{value}</text></g>)}
      {ticks(xTop).map((value) => <text x={x(value)} y={H - BOTTOM + 16} text-anchor="middle">{value}</text>)}
      <text x={W - 8} y={H - 4} text-anchor="end">{xUnit}</text>
      <text x={4} y={12}>{yUnit}</text>
      <polyline class="pump-curve" points={points.map((point) => `${x(point.x).toFixed(1)},${y(point.y).toFixed(1)}`).join(' ')} />
      {points.map((point) => <circle class="given" cx={x(point.x)} cy={y(point.y)} r="3" />)}
      {marks.filter((mark) => mark.x <= xTop).map((mark) => <circle class="duty" cx={x(mark.x)} cy={y(mark.y)} r="6" />)}
    </svg>
  );
}
