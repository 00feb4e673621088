/* A site as a small picture: its ground, places, and what stands there, from the same layout as the section. */
import type { Plain } from '../sheet/plain';
import { layout } from './layout';

const W = 84;
const H = 56;

export function MiniSection({ site }: { site: { [key: string]: Plain } | null }) {
  const section = site ? layout(site) : null;
  if (!section) return <svg class="mini" viewBox={`0 0 ${W} ${H}`} aria-hidden="true" />;
  const places = [...section.places].sort((a, b) => a.column - b.column);
  const span = section.high_m + 2 - section.low_m || 1;
  const x = (column: number): number => 6 + ((W - 12) * (column + 0.5)) / places.length;
  const y = (level: number): number => 6 + (H - 12) * (1 - (level - section.low_m) / span);
  const ground = places.map((place) => `${x(place.column).toFixed(1)} ${y(place.ground_m).toFixed(1)}`).join('L');
  const first = places[0]!;
  const last = places[places.length - 1]!;
  return (
    <svg class="mini" viewBox={`0 0 ${W} ${H}`} aria-hidden="true">
      <path class="earth" d={`M0 ${y(first.ground_m)}L${ground}L${W} ${y(last.ground_m)}V${H}H0Z`} />
      {section.sources.map((source) => {
        const [at, top] = [x(source.place.column), y(source.place.level_m - source.standing_m)];
        return source.kind === 'bore' ? <rect class="water" x={at - 2} y={top} width="4" height={Math.max(3, y(source.place.level_m - source.intake_m) - top)} />
          : <ellipse class="water" cx={at} cy={top} rx="7" ry="3" />;
      })}
      <path class="turf" d={`M0 ${y(first.ground_m)}L${ground}L${W} ${y(last.ground_m)}`} />
      {places.filter((place) => place.ground_m < place.level_m).map((place) => <path class="built" d={`M${x(place.column) - 4} ${y(place.ground_m)}V${y(place.level_m)}h8V${y(place.ground_m)}`} />)}
      {section.tanks.map((tank) => <rect class="water edge" x={x(tank.place.column) - 5} y={y(tank.place.level_m) - 8} width="10" height="8" />)}
      {section.vessels.map((vessel) => <rect class="edge" x={x(vessel.place.column) - 3} y={y(vessel.place.level_m) - 11} width="6" height="10" rx="3" />)}
      {section.outlets.map((outlet) => <circle class="tap" cx={x(outlet.place.column)} cy={y(outlet.place.level_m) - 4} r="2.5" />)}
    </svg>
  );
}
