/* Hands on a chart. One finger, or the mouse, looks at a moment (sideways only, so that a thumb can still scroll the page); two fingers, the
 * wheel with Ctrl (which a touchpad's pinch sends), or the wheel alone once the chart has the focus enlarge and move; and keys. */
import type uPlot from 'uplot';
import type { Store } from '../state/store';
import { shownOf, zoomed, type Span } from './view';

interface Hands { view: Store<Span>; all(): number; at(): number; look(hour: number): void }

export function hands(chart: uPlot, box: HTMLElement, { view, all, at, look }: Hands): () => void {
  const { over } = chart;
  const fingers = new Map<number, number>();
  const hourAt = (clientX: number): number => chart.posToVal(clientX - over.getBoundingClientRect().left, 'x');
  const spread = (): [number, number] => {
    const [a = 0, b = 0] = [...fingers.values()];
    return [Math.max(8, Math.abs(a - b)), (a + b) / 2];
  };
  const down = (event: PointerEvent): void => {
    fingers.set(event.pointerId, event.clientX);
    over.setPointerCapture(event.pointerId);
    if (fingers.size === 1) look(hourAt(event.clientX));
  };
  const move = (event: PointerEvent): void => {
    if (!fingers.has(event.pointerId)) return;
    const [before, middle] = spread();
    fingers.set(event.pointerId, event.clientX);
    if (fingers.size < 2) {
      look(hourAt(event.clientX));
      return;
    }
    const [now, centre] = spread();
    zoomed(view, all(), now / before, hourAt(middle), (middle - centre) / over.clientWidth);
  };
  const up = (event: PointerEvent): void => { fingers.delete(event.pointerId); };
  const wheel = (event: WheelEvent): void => {
    if (!event.ctrlKey && document.activeElement !== box) return;
    event.preventDefault();
    const sideways = Math.abs(event.deltaX) > Math.abs(event.deltaY) || event.shiftKey;
    const turn = sideways ? event.deltaX || event.deltaY : event.deltaY;
    zoomed(view, all(), sideways ? 1 : Math.exp(-turn / 300), hourAt(event.clientX), sideways ? turn / 600 : 0);
  };
  const press = (event: KeyboardEvent): void => {
    const [from, to] = shownOf(view.get(), all());
    const step = (to - from) / 50;
    const hour = at();
    if (event.key === '+' || event.key === '=') zoomed(view, all(), 2, hour);
    else if (event.key === '-') zoomed(view, all(), 0.5, hour);
    else if (event.key === '0' || event.key === 'Escape') view.set({ from: null, to: null });
    else if (event.key === 'PageUp') zoomed(view, all(), 1, hour, -0.5);
    else if (event.key === 'PageDown') zoomed(view, all(), 1, hour, 0.5);
    else if (event.key === 'ArrowLeft' || event.key === 'ArrowRight') {
      const next = Math.min(all(), Math.max(0, hour + (event.key === 'ArrowLeft' ? -step : step)));
      look(next);
      if (next < from || next > to) zoomed(view, all(), 1, next, next < from ? -0.25 : 0.25);
    } else return;
    event.preventDefault();
  };
  over.addEventListener('pointerdown', down);
  over.addEventListener('pointermove', move);
  for (const name of ['pointerup', 'pointercancel'] as const) over.addEventListener(name, up);
  box.addEventListener('wheel', wheel, { passive: false });
  box.addEventListener('keydown', press);
  return () => {
    over.removeEventListener('pointerdown', down);
    over.removeEventListener('pointermove', move);
    for (const name of ['pointerup', 'pointercancel'] as const) over.removeEventListener(name, up);
    box.removeEventListener('wheel', wheel);
    box.removeEventListener('keydown', press);
  };
}
