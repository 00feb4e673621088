/* The service worker that keeps the page for days without a network, and word of a newer version. */
import { store } from './job';

declare const __ONE_FILE__: boolean;

export function keepOffline(): void {
  if (__ONE_FILE__ || !('serviceWorker' in navigator) || !location.protocol.startsWith('http')) return;
  const controlled = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.addEventListener('controllerchange', () => { if (controlled) location.reload(); });
  navigator.serviceWorker.register('service.js').then(async (registration) => {
    const newer = (): void => { if (registration.waiting && registration.active) store.set({ offline: 'newer' }); };
    newer();
    registration.addEventListener('updatefound', () => {
      registration.installing?.addEventListener('statechange', newer);
    });
    await navigator.serviceWorker.ready;
    if (store.get().offline === 'unknown') store.set({ offline: 'ready' });
  }).catch(() => undefined); // without a secure address there is no offline; everything else works
}
