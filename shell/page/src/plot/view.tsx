/* The part of the time axis that several charts show together: enlarged and moved by two fingers, the wheel, keys or buttons. */
import { useWords } from '../i18n/words';
import type { Store } from '../state/store';
import { useStore } from '../state/store';

/** In hours; null: all of it. */
export interface Span { from: number | null; to: number | null }
export interface Moment { hour: number }

const LEAST = 1 / 30; // two minutes

/** The span that is shown of a whole that begins at 0. */
export function shownOf(view: Span, all: number): [number, number] {
  return [view.from ?? 0, view.to ?? all];
}

/** Larger (by > 1) about an hour, or smaller; moved by a part of what is shown. Within the whole. */
export function zoomed(view: Store<Span>, all: number, by: number, about: number, move = 0): void {
  const [from, to] = shownOf(view.get(), all);
  const length = Math.min(all, Math.max(Math.min(LEAST, all), (to - from) / by));
  const part = to > from ? (about - from) / (to - from) : 0.5;
  const start = Math.min(all - length, Math.max(0, about - part * length + move * length));
  view.set(length >= all ? { from: null, to: null } : { from: start, to: start + length });
}

/** Buttons for all charts that share a view. */
export function Zoom({ view, moment, all }: { view: Store<Span>; moment: { get(): Moment }; all: number }) {
  const t = useWords();
  const whole = useStore(view, (state) => state.from === null);
  const about = (): number => {
    const [from, to] = shownOf(view.get(), all);
    const { hour } = moment.get();
    return hour >= from && hour <= to ? hour : (from + to) / 2;
  };
  return (
    <p class="row zoom" role="group" aria-label={t('chart.zoom')}>
      <button type="button" aria-label={t('chart.larger')} onClick={() => zoomed(view, all, 2, about())}>+</button>
      <button type="button" aria-label={t('chart.smaller')} disabled={whole} onClick={() => zoomed(view, all, 0.5, about())}>−</button>
      <button type="button" aria-label={t('chart.earlier')} disabled={whole} onClick={() => zoomed(view, all, 1, about(), -0.5)}>←</button>
      <button type="button" aria-label={t('chart.later')} disabled={whole} onClick={() => zoomed(view, all, 1, about(), 0.5)}>→</button>
      <button type="button" disabled={whole} onClick={() => view.set({ from: null, to: null })}>{t('chart.whole')}</button>
    </p>
  );
}
