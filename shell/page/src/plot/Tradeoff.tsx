/* False stops a year against water lost before a fault is seen: each point is a list that can be chosen, by touch or by keys. */
import type { Advice, Trade } from '../core/door';
import { useWords } from '../i18n/words';
import { digits, inUnits, pretty, show, spokenNumber, unitFor } from '../sheet/quantity';
import { store } from '../state/job';
import { useStore } from '../state/store';

const WIDE = 340, HIGH = 230, LEFT = 52, RIGHT = 14, TOP = 12, BOTTOM = 46;

function roundUp(value: number): number {
  if (!(value > 0)) return 1;
  const ten = 10 ** Math.floor(Math.log10(value));
  return ([1, 2, 4, 5, 8, 10].find((size) => size * ten >= value) ?? 10) * ten;
}

interface Props { found: Advice; point: number | null; choose(point: number | null): void }

export function Tradeoff({ found, point, choose }: Props) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const { trade_off: trades, present, advised, years } = found;
  const lost = (trade: Trade): number => inUnits(trade.lost_m3_a, 'volume', units);
  const stops = (trade: Trade): number => trade.years_stopped / years;
  const most = roundUp(Math.max(...[present, advised, ...trades].map(lost)));
  const x = (trade: Trade): number => LEFT + (WIDE - LEFT - RIGHT) * stops(trade);
  const y = (trade: Trade): number => TOP + (HIGH - TOP - BOTTOM) * (1 - lost(trade) / most);
  const words = (trade: Trade): string => t('advice.point', { n: trade.years_stopped, all: years, lost: show(trade.lost_m3_a, 'volume', units, 2), unseen: trade.unseen });
  const chosen = point === null ? advised : trades[point] ?? advised;
  const nearest = (event: MouseEvent): void => {
    const box = (event.currentTarget as Element).getBoundingClientRect();
    const [px, py] = [((event.clientX - box.left) / box.width) * WIDE, ((event.clientY - box.top) / box.height) * HIGH];
    const far = (trade: Trade): number => Math.hypot(x(trade) - px, y(trade) - py);
    const best = trades.reduce((near, trade, i) => (far(trade) < far(trades[near]!) ? i : near), 0);
    choose(trades.length === 0 || far(advised) <= far(trades[best]!) ? null : best);
  };
  return (
    <figure class="trade">
      <svg viewBox={`0 0 ${WIDE} ${HIGH}`} aria-hidden="true" onClick={nearest}>
        {[0, 0.5, 1].map((part) => <g>
          <path class="rule" d={`M${LEFT} ${TOP + (HIGH - TOP - BOTTOM) * (1 - part)}H${WIDE - RIGHT}`} />
          <text x={LEFT - 6} y={TOP + 5 + (HIGH - TOP - BOTTOM) * (1 - part)} text-anchor="end">{spokenNumber(digits(part * most, 3))}</text>
          <text x={LEFT + (WIDE - LEFT - RIGHT) * part} y={HIGH - BOTTOM + 18} text-anchor="middle">{spokenNumber(digits(part, 2))}</text>
        </g>)}
        <text x={LEFT - 6} y={HIGH - BOTTOM + 18} text-anchor="end">{pretty(unitFor('volume', units))}</text>
        <text x={WIDE - RIGHT} y={HIGH - 8} text-anchor="end">{t('advice.axis')}</text>
        <path class="line" d={trades.map((trade, i) => `${i === 0 ? 'M' : 'L'}${x(trade)} ${y(trade)}`).join('')} />
        {trades.map((trade) => <circle class="point" cx={x(trade)} cy={y(trade)} r="5" />)}
        <path class="present" d={`M${x(present) - 7} ${y(present) - 7}l14 14m0-14l-14 14`} />
        <rect class="advised" x={x(advised) - 6} y={y(advised) - 6} width="12" height="12" />
        <circle class="chosen" cx={x(chosen)} cy={y(chosen)} r="11" />
      </svg>
      <figcaption><span class="key-x">{t('advice.present')}</span> <span class="key-square">{t('advice.advised')}</span> <span class="key-ring">{t('advice.chosen')}</span></figcaption>
      <fieldset class="points">
        <legend>{t('advice.choose')}</legend>
        <label class="tick"><input type="radio" name="trade" checked={point === null} onChange={() => choose(null)} /> <span><b>{t('advice.advised')}</b> {words(advised)}</span></label>
        {trades.map((trade, i) => (
          <label class="tick"><input type="radio" name="trade" checked={point === i} onChange={() => choose(i)} /> <span>{words(trade)}</span></label>))}
      </fieldset>
    </figure>
  );
}
