/* The site as a section through the ground at one moment: heights to scale, water where it stands, the hydraulic grade
 * line, pressures at the places. */
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import { useWords } from '../i18n/words';
import type { Sheet } from '../sheet/plain';
import { inUnits, show, siFrom, sizeOf, unitFor } from '../sheet/quantity';
import { store } from '../state/job';
import { useStore } from '../state/store';
import { layout, type PlaceAt, type PumpAt, type Section as Layout } from './layout';
import { momentOf, type Moment } from './moment';
import { Bore, Built, Grade, Mains, OutletMark, Pond, PumpMark, TankMark, VesselMark } from './Parts';

export interface Scale {
  x(place: PlaceAt): number;
  y(level_m: number): number;
  width: number;
  height: number;
  column: number;
  rows: number;    // of names of places
  bottom: number;  // where the ground ends and the names begin
}

const MARKS = 44;  // height of the marks of vessels and outlets, px
const STAFF = 42;  // width of the levelling staff at the left, where the heights are read

function scaleOf(section: Layout, width: number, height: number, top_m: number): Scale {
  const low = section.low_m - 2;
  const lowest = Math.max(section.high_m + 5, top_m);
  const columns = section.places.length;
  const column = (width - STAFF - 4) / Math.max(columns, 1);
  const rows = columns < 4 ? 1 : column < 62 ? 3 : 2;
  const bottom = height - 10 - 18 * rows;
  const high = Math.max(lowest, low + ((section.high_m - low) * (bottom - 20)) / (bottom - 20 - MARKS)); // what stands there is not cut off
  return {
    width, height, column, rows, bottom,
    x: (place) => STAFF + column * (place.column + 0.5),
    y: (level) => 12 + (bottom - 20) * (1 - (level - low) / (high - low)),
  };
}

/* The surface of the ground through the places, drawn as an even curve. */
function groundPath(section: Layout, scale: Scale): string {
  const sorted = [...section.places].sort((a, b) => a.column - b.column);
  const points = sorted.map((place) => [scale.x(place), scale.y(place.ground_m)] as const);
  let path = `M${STAFF} ${points[0]![1]}L${points[0]![0]} ${points[0]![1]}`;
  for (let i = 1; i < points.length; i++) {
    const [x0, y0] = points[i - 1]!;
    const [x1, y1] = points[i]!;
    const bend = (x1 - x0) / 2;
    path += `C${x0 + bend} ${y0} ${x1 - bend} ${y1} ${x1} ${y1}`;
  }
  return `${path}L${scale.width} ${points[points.length - 1]![1]}`;
}

function pipePath(from: PlaceAt, to: PlaceAt, scale: Scale): string {
  const [x0, y0, x1, y1] = [scale.x(from), scale.y(from.ground_m) + 9, scale.x(to), scale.y(to.ground_m) + 9];
  const bend = (x1 - x0) / 2;
  const up = (place: PlaceAt): string => (place.ground_m < place.level_m ? `V${scale.y(place.level_m) + 4}` : '');
  const down = from.ground_m < from.level_m ? `M${x0} ${scale.y(from.level_m) + 4}V${y0}` : `M${x0} ${y0}`;
  return `${down}C${x0 + bend} ${y0} ${x1 - bend} ${y1} ${x1} ${y1}${up(to)}`;
}

function ticksOf(low: number, high: number): number[] {
  const step = [1, 2, 5, 10, 20, 50, 100, 200].find((size) => (high - low) / size <= 8) ?? 500;
  const made: number[] = [];
  for (let level = Math.ceil(low / step) * step; level <= high; level += step) made.push(level);
  return made;
}

const LETTER = 8.2; // mean width of a letter at this size, in px
const GAP = 8;      // between names in a row, in px

const cut = (name: string, letters: number): string => (name.length > letters ? `${name.slice(0, Math.max(3, letters - 1)).trimEnd()}…` : name);

/* Names of places under their columns, in rows when they are many; of two that would touch, the longer is cut. */
function Names({ section, scale }: { section: Layout; scale: Scale }) {
  const { rows } = scale;
  const names = [...section.places].sort((a, b) => a.column - b.column).map((place) => ({ place, name: place.name, row: place.column % rows }));
  const half = (entry: { name: string }): number => (entry.name.length * LETTER) / 2;
  const x = (entry: { name: string; place: PlaceAt }): number => (
    Math.max(Math.min(scale.x(entry.place), scale.width - half(entry) - 4), STAFF + half(entry)));
  for (let row = 0; row < rows; row++) {
    const line = names.filter((entry) => entry.row === row);
    for (let i = 1; i < line.length; i++) {
      const [left, right] = [line[i - 1]!, line[i]!];
      for (let tries = 0; tries < 60 && x(left) + half(left) + GAP > x(right) - half(right); tries++) {
        const longer = left.name.length >= right.name.length ? left : right;
        if (longer.name.length <= 4) break;
        longer.name = cut(longer.place.name, longer.name.length - 1);
      }
    }
  }
  return <>{names.map((entry) => (
    <text class="place" x={x(entry)} y={scale.bottom + 18 + 18 * entry.row} text-anchor="middle">{entry.name}</text>
  ))}</>;
}

/* A levelling staff: heights are read off it. */
function Staff({ scale, low, high }: { scale: Scale; low: number; high: number }) {
  const units = useStore(store, (state) => state.units);
  const marks = ticksOf(inUnits(low, 'length', units), inUnits(high, 'length', units)).map((value) => ({ value, y: scale.y(siFrom(value, 'length', units)) }));
  const { bottom } = scale;
  return (
    <g class="staff">
      <rect class="board" x="0" y="0" width={STAFF} height={bottom} />
      {marks.map(({ y }, i) => {
        const next = marks[i + 1]?.y ?? y;
        return <rect class="block" x={STAFF - 8} y={(y + next) / 2} width="8" height={(y - next) / 2} />;
      })}
      {marks.map(({ value, y }) => <g><path d={`M${STAFF - 8} ${y}h8`} /><text x={STAFF - 11} y={y + 4} text-anchor="end">{value}</text></g>)}
      <text x="4" y={bottom + 18}>{unitFor('length', units)}</text>
    </g>
  );
}

const STILL_M3S = 1e-7;

/* Water that moves in a pipe: along it or against, the faster the more it carries of the most that flows now. At rest nothing moves. */
function Flow({ line, scale, flow_m3s, most_m3s }: { line: PumpAt; scale: Scale; flow_m3s: number; most_m3s: number }) {
  if (Math.abs(flow_m3s) <= STILL_M3S) return null;
  const seconds = Math.min(8, most_m3s / Math.abs(flow_m3s));
  return <path class={flow_m3s < 0 ? 'pipe-flow back' : 'pipe-flow'} style={{ animationDuration: `${seconds.toFixed(2)}s` }} data-line={line.name} d={pipePath(line.from, line.to, scale)} />;
}

function Drawing({ section, scale, moment }: { section: Layout; scale: Scale; moment: Moment | null }) {
  const units = useStore(store, (state) => state.units);
  const frame = useId(); // of its own: there can be two drawings of unlike height on the card
  const ground = groundPath(section, scale);
  const most = Math.max(1e-9, ...(moment?.lines_m3s ?? []).map(Math.abs), ...(moment?.pumps_m3s ?? []).map(Math.abs));
  const { bottom } = scale;
  const bores = section.sources.filter((source) => source.kind === 'bore');
  return (
    <>
      <defs>
        <pattern id={`${frame}earth`} width="22" height="16" patternUnits="userSpaceOnUse">
          <path class="earth-mark" d="M2 5h5M13 12h6M10 3l3 2" />
        </pattern>
        <clipPath id={frame}><rect x={STAFF} y="0" width={scale.width - STAFF} height={bottom} /></clipPath>
      </defs>
      <g clip-path={`url(#${frame})`}>
        <path class="earth" d={`${ground}V${bottom}H${STAFF}Z`} />
        <path class="earth-texture" fill={`url(#${frame}earth)`} d={`${ground}V${bottom}H${STAFF}Z`} />
        {section.sources.map((source) => (source.kind === 'open' ? <Pond source={source} scale={scale} /> : null))}
        <path class="turf" d={ground} />
        {section.places.filter((place) => place.ground_m < place.level_m).map((place) => (
          <Built place={place} scale={scale} tank={section.tanks.some((tank) => tank.place === place)} />))}
        {section.sources.map((source) => (source.kind === 'bore'
          ? <Bore source={source} scale={scale} water_m={moment?.bores_m[bores.indexOf(source)] ?? null} units={units} />
          : source.kind === 'mains' ? <Mains source={source} scale={scale} /> : null))}
        {section.lines.map((line) => <path class="pipe" d={pipePath(line.from, line.to, scale)} />)}
        {section.pumps.map((pump) => <path class="pipe" d={pipePath(pump.from, pump.to, scale)} />)}
        {section.lines.map((line) => <Flow line={line} scale={scale} flow_m3s={moment?.lines_m3s?.[line.index] ?? 0} most_m3s={most} />)}
        {section.pumps.map((pump) => <Flow line={pump} scale={scale} flow_m3s={moment?.pumps_m3s[pump.index] ?? 0} most_m3s={most} />)}
      </g>
      <Staff scale={scale} low={section.low_m - 2} high={section.high_m + 5} />
      <Grade section={section} scale={scale} moment={moment} units={units} />
      {section.outlets.map((outlet) => <OutletMark place={outlet.place} scale={scale} flowing={(moment?.outlets_m3s ? moment.outlets_m3s[outlet.index] ?? 0 : moment?.draw_m3s ?? 0) > STILL_M3S} />)}
      {section.tanks.map((tank, i) => <TankMark tank={tank} scale={scale} level_m={moment?.tanks_m[i] ?? null} />)}
      {section.vessels.map((vessel) => <VesselMark vessel={vessel} scale={scale} pressure_pa={moment?.pressure_pa ?? null} />)}
      {section.pumps.map((pump, i) => (
        <PumpMark pump={pump} beside={section.pumps.slice(0, i).filter((other) => other.from === pump.from && other.to === pump.to).length} source={section.sources.find((source) => source.place === pump.from)} scale={scale} running={moment?.running[i] ?? false} />
      ))}
      <Names section={section} scale={scale} />
    </>
  );
}

/** The site of the job at the moment that is looked at; `of`: another one, at rest. */
export function SectionView({ height, of }: { height: number; of?: Sheet['site'] }) {
  const t = useWords();
  const box = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(340);
  const site = useStore(store, (state) => (of === undefined ? state.sheet.site : of));
  const run = useStore(store, (state) => (of !== undefined ? null : state.looking === 'what' && state.what ? state.what : state.day));
  const t_ms = useStore(store, (state) => state.t_ms);
  const units = useStore(store, (state) => state.units);
  const playing = useStore(store, (state) => state.playing);
  useEffect(() => {
    const watch = new ResizeObserver(() => { if (box.current) setWidth(Math.max(280, box.current.clientWidth)); });
    watch.observe(box.current!);
    return () => watch.disconnect();
  }, []);
  const section = site ? layout(site) : null;
  const moment = run ? momentOf(run, Math.min(t_ms, run.length_ms)) : null;
  const highest = run ? run.totals.pressure_max_pa / sizeOf('m', 'pressure') : 0;
  const scale = section ? scaleOf(section, width, height, (section.told?.level_m ?? 0) + highest + 3) : null;
  const names = section && moment ? section.pumps.filter((_, i) => moment.running[i]).map((pump) => pump.name) : [];
  const many = (section?.pumps.length ?? 0) > 1;
  const words = moment ? t(names.length === 0 ? (many ? 'section.restAll' : 'section.rests') : many ? 'section.run' : 'section.runs', {
    names: names.join(', '), pressure: show(moment.pressure_pa, 'pressure', units), flow: show(Math.max(0, moment.pump_m3s), 'flow', units),
    draw: show(moment.draw_m3s, 'flow', units),
  }) : t('section.none');
  return (
    <div class="section-box" ref={box}>
      <svg class={playing ? 'section playing' : 'section'} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={`${t('section.title')} ${words}`}>
        {section && scale && <Drawing section={section} scale={scale} moment={moment} />}
      </svg>
    </div>
  );
}
