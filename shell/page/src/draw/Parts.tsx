/* The things that stand in the section, each drawn once here. Symbols are our own. */
import type { Units } from '../core/door';
import { show, sizeOf } from '../sheet/quantity';
import type { PlaceAt, PumpAt, Section, SourceAt, TankAt, VesselAt } from './layout';
import type { Moment } from './moment';
import type { Scale } from './Section';

const HEAD = sizeOf('m', 'pressure'); // Pa for each metre of water, as the core reads it

export function Bore({ source, scale, water_m, units }: { source: SourceAt; scale: Scale; water_m: number | null; units: Units }) {
  const x = scale.x(source.place);
  const top = scale.y(source.place.level_m) - 10;
  const bottom = scale.y(source.place.level_m - source.intake_m - 1);
  const rest = source.place.level_m - source.standing_m;
  const now = water_m === null ? rest : source.place.level_m - source.intake_m + water_m;
  const y = scale.y(now);
  const rested = scale.y(rest);
  return (
    <g class="bore">
      <path class="cone" d={`M${x - scale.column * 0.5} ${rested}Q${x - 14} ${rested + (y - rested) * 0.2} ${x - 9} ${y}V${rested}Z`} />
      <path class="cone" d={`M${x + scale.column * 0.5} ${rested}Q${x + 14} ${rested + (y - rested) * 0.2} ${x + 9} ${y}V${rested}Z`} />
      <rect class="hollow" x={x - 9} y={top} width="18" height={bottom - top} />
      <rect class="water" x={x - 9} y={Math.min(y, bottom)} width="18" height={Math.max(0, bottom - y)} />
      <path class="casing" d={`M${x - 9} ${top}V${bottom}H${x + 9}V${top}`} />
      <path class="level" d={`M${x - 24} ${rested}H${x - 9}M${x + 9} ${rested}h15`} />
      <path class="riser" d={`M${x} ${top + 14}V${scale.y(source.place.level_m - source.intake_m) - 10}`} />
      <text class="note" x={x + 14} y={y + 14}>{show(source.place.level_m - now, 'length', units)}</text>
    </g>
  );
}

export function Pond({ source, scale }: { source: SourceAt; scale: Scale }) {
  const x = scale.x(source.place);
  const half = scale.column * 0.46;
  const water = scale.y(source.place.level_m - source.standing_m);
  const floor = scale.y(source.place.level_m - source.intake_m - 0.6);
  const edge = scale.y(source.place.level_m) - 1;
  return (
    <g class="pond">
      <path class="hollow" d={`M${x - half} ${edge}Q${x - half * 0.6} ${floor} ${x} ${floor}T${x + half} ${edge}Z`} />
      <path class="water" d={`M${x - half * 0.93} ${water}Q${x - half * 0.55} ${floor} ${x} ${floor}T${x + half * 0.93} ${water}Z`} />
      <path class="level" d={`M${x - half * 0.93} ${water}H${x + half * 0.93}`} />
    </g>
  );
}

export function Mains({ source, scale }: { source: SourceAt; scale: Scale }) {
  const x = scale.x(source.place);
  const y = scale.y(source.place.level_m) + 9;
  return <g class="mains"><path class="pipe" d={`M0 ${y}H${x}`} /><path class="arrow" d={`M${x - 26} ${y - 6}l10 6-10 6z`} /></g>;
}

/* `beside`: how many others stand between the same places, so that each is seen. */
export function PumpMark({ pump, source, scale, running, beside }: { pump: PumpAt; source: SourceAt | undefined; scale: Scale; running: boolean; beside: number }) {
  const down = source?.kind === 'bore';
  const x = (down ? scale.x(pump.from) : (scale.x(pump.from) + 2 * scale.x(pump.to)) / 3) + 18 * beside;
  const level = down ? pump.from.level_m - source.intake_m : (pump.from.level_m + 2 * pump.to.level_m) / 3;
  const y = down ? scale.y(level) - 6 : scale.y(level) + 4;
  return (
    <g class={running ? 'pump running' : 'pump'}>
      <rect x={x - 7} y={y - 12} width="14" height="24" rx="4" />
      <path class="blades" d={`M${x - 4} ${y + 4}l8-3M${x - 4} ${y - 1}l8-3M${x - 4} ${y - 6}l8-3`} />
    </g>
  );
}

/* How full a vessel stands: the gas law of its charge (for the picture only; the figures come from the core). */
export function VesselMark({ vessel, scale, pressure_pa }: { vessel: VesselAt; scale: Scale; pressure_pa: number | null }) {
  const x = scale.x(vessel.place) + 18;
  const y = scale.y(vessel.place.level_m) + 4;
  // A picture, no figure: empty up to its charge, fuller the more the pressure stands above it.
  const full = pressure_pa === null || pressure_pa <= vessel.precharge_pa ? 0 : 1 - vessel.precharge_pa / pressure_pa;
  const h = 40;
  return (
    <g class="vessel">
      <rect class="shell" x={x - 11} y={y - h} width="22" height={h} rx="10" />
      <rect class="water" x={x - 8} y={y - 3 - (h - 6) * full} width="16" height={(h - 6) * full} rx="4" />
      <path class="pipe" d={`M${x} ${y}v4H${x - 18}`} />
    </g>
  );
}

/* What a place stands on that is higher than its ground: legs and braces under a tank, else a building with its floors. */
export function Built({ place, scale, tank }: { place: PlaceAt; scale: Scale; tank: boolean }) {
  const x = scale.x(place);
  const [top, foot] = [scale.y(place.level_m), scale.y(place.ground_m)];
  const half = Math.min(scale.column * 0.46, tank ? 20 : 34);
  if (tank) return <path class="built" d={`M${x - half} ${top}V${foot}M${x + half} ${top}V${foot}M${x - half} ${foot}L${x + half} ${top}M${x + half} ${foot}L${x - half} ${top}M${x - half - 3} ${top}h${2 * half + 6}`} />;
  const roof = top - 26;
  const floors = Math.max(1, Math.min(12, Math.round((foot - roof) / 26)));
  const step = (foot - top) / Math.max(1, floors - 1);
  const lines = Array.from({ length: floors }, (_, i) => `M${x - half} ${foot - i * step}h${2 * half}`).join('');
  return <g class="building"><rect x={x - half} y={roof} width={2 * half} height={foot - roof} /><path class="built" d={`${lines}M${x - half} ${foot}V${roof}h${2 * half}V${foot}`} /></g>;
}

export function TankMark({ tank, scale, level_m }: { tank: TankAt; scale: Scale; level_m: number | null }) {
  const x = scale.x(tank.place);
  const y = scale.y(tank.place.level_m);
  const h = Math.max(26, y - scale.y(tank.place.level_m + tank.depth_m));
  const full = level_m === null ? 0.9 : Math.max(0, Math.min(1, level_m / (tank.depth_m || 1)));
  return (
    <g class="tank">
      <rect class="water" x={x - 20} y={y - h * full} width="40" height={h * full} />
      <path class="shell" d={`M${x - 21} ${y - h}V${y}H${x + 21}V${y - h}`} />
    </g>
  );
}

export function OutletMark({ place, scale, flowing }: { place: PlaceAt; scale: Scale; flowing: boolean }) {
  const x = scale.x(place) - 8;
  const y = scale.y(place.level_m);
  return (
    <g class="outlet">
      <path d={`M${x} ${y + 4}v-20h10q5 0 5 6M${x - 5} ${y - 18}h10`} />
      {flowing && <path class="drop" d={`M${x + 15} ${y - 8}q4 6 0 9q-4-3 0-9z`} />}
    </g>
  );
}

/* Head at a place: its level and the pressure as a height of water. Without the pressures of all places only that of the
 * first sensor is known, and the line is drawn level from there, as water at rest would stand. */
export function Grade({ section, scale, moment, units }: { section: Section; scale: Scale; moment: Moment | null; units: Units }) {
  if (!moment || !section.told) return null;
  const known = moment.places_pa;
  const head = (place: PlaceAt): number => {
    const pa = known?.[place.index];
    if (pa !== null && pa !== undefined) return place.level_m + pa / HEAD;
    return section.told!.level_m + moment.pressure_pa / HEAD;
  };
  const below = new Set(section.sources.filter((source) => source.kind !== 'mains').map((source) => source.place.index));
  const pieces = section.lines.map((line) => `M${scale.x(line.from)} ${scale.y(head(line.from))}L${scale.x(line.to)} ${scale.y(head(line.to))}`);
  const tanks = new Set(section.tanks.map((tank) => tank.place.index));
  const told = section.places.filter((place) => !below.has(place.index) && !tanks.has(place.index) && (known || place === section.told));
  const labels = placed(told.map((place) => {
    const pa = known?.[place.index] ?? (head(place) - place.level_m) * HEAD;
    return { place, x: scale.x(place), y: Math.max(24, scale.y(head(place))), text: show(pa, 'pressure', units) };
  }), scale.width);
  return (
    <g class={known ? 'grade' : 'grade at-rest'}>
      <path d={pieces.join('')} />
      {labels.map(({ place, x, y, at, text }) => (
        <g>
          <path class="rise" d={`M${x} ${scale.y(place.level_m)}V${y}`} />
          <circle cx={x} cy={y} r="4" />
          <text x={inside({ x, text }, scale.width)} y={at} text-anchor="middle">{text}</text>
        </g>
      ))}
    </g>
  );
}

/* The middle of words that are not to hang over the right edge. */
const inside = ({ x, text }: { x: number; text: string }, width: number): number => Math.min(x, width - text.length * 4.6 - 2);

interface Label { place: PlaceAt; x: number; y: number; text: string }

/* Labels that would lie over one another go up, row by row; when there is no room above, below the line. */
function placed(labels: Label[], width: number): (Label & { at: number })[] {
  const done: (Label & { at: number })[] = [];
  const clash = (label: Label, at: number): boolean => done.some((other) => (
    Math.abs(other.at - at) < 16 && Math.abs(inside(other, width) - inside(label, width)) < (other.text.length + label.text.length) * 4.6 + 3));
  for (const label of [...labels].sort((a, b) => a.x - b.x)) {
    const rows = [label.y - 9, label.y - 25, label.y + 19, label.y - 41, label.y + 37, label.y + 55];
    done.push({ ...label, at: rows.find((at) => at > 14 && !clash(label, at)) ?? rows[0]! });
  }
  return done;
}
