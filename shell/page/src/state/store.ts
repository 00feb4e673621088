/* A small store: one object, replaced in parts; components look at the part that they show and are drawn again only when
 * that part is another. */
import { useLayoutEffect, useReducer, useRef } from 'preact/hooks';

export class Store<T extends object> {
  private listeners = new Set<() => void>();

  constructor(private state: T) {}

  get(): T {
    return this.state;
  }

  set(change: Partial<T>): void {
    this.state = { ...this.state, ...change };
    for (const listener of [...this.listeners]) listener();
  }

  on(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }
}

export function useStore<T extends object, S>(store: Store<T>, pick: (state: T) => S): S {
  const [, redraw] = useReducer((count: number, _: void) => count + 1, 0);
  const latest = useRef<{ pick: (state: T) => S; value: S } | undefined>(undefined);
  const value = pick(store.get());
  latest.current = { pick, value };
  useLayoutEffect(() => {
    const look = (): void => {
      const seen = latest.current!;
      const now = seen.pick(store.get());
      if (!Object.is(now, seen.value)) redraw();
    };
    look();
    return store.on(look);
  }, [store]);
  return value;
}
