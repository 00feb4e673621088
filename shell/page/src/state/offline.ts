/* The service worker that keeps the page for days without a network, and word of a newer version. */
import { store } from './job';

declare const __ONE_FILE__: boolean;

const WAIT_MOST_MS = 6000;

/* What is stored for later comes after what is wanted now: the first verdict, or some seconds on the list of jobs. */
function afterVerdict(): Promise<void> {
  return new Promise((go) => {
    const late = setTimeout(go, navigator.serviceWorker.controller ? 0 : WAIT_MOST_MS);
    const stop = store.on(() => {
      if (!store.get().proof.answer) return;
      clearTimeout(late);
      stop();
      go();
    });
  });
}

export function keepOffline(): void {
  if (__ONE_FILE__ || !('serviceWorker' in navigator) || !location.protocol.startsWith('http')) return;
  const controlled = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.addEventListener('controllerchange', () => { if (controlled) location.reload(); });
  const begin = (): Promise<ServiceWorkerRegistration> => navigator.serviceWorker.register('service.js');
  void afterVerdict().then(begin).then(async (registration) => {
    const newer = (): void => { if (registration.waiting && registration.active) store.set({ offline: 'newer' }); };
    newer();
    registration.addEventListener('updatefound', () => {
      registration.installing?.addEventListener('statechange', newer);
    });
    await navigator.serviceWorker.ready;
    if (store.get().offline === 'unknown') store.set({ offline: 'ready' });
  }).catch(() => undefined); // without a secure address there is no offline; everything else works
}
