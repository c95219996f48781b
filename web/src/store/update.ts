/** The service worker: the page without a signal, and a newer page only when the person says so. */
import { signal } from '@preact/signals';

export const updateReady = signal(false);
export const offlineReady = signal(false);
let waiting: ServiceWorker | null = null;

/** Starts the worker; without a trusted connection there is none. */
export async function startWorker(): Promise<void> {
  if (!('serviceWorker' in navigator)) return;
  try {
    const found = await navigator.serviceWorker.register(new URL('sw.js', document.baseURI), { scope: './', updateViaCache: 'none' });
    const look = () => {
      waiting = found.waiting;
      updateReady.value = waiting !== null && navigator.serviceWorker.controller !== null;
    };
    found.addEventListener('updatefound', () => found.installing?.addEventListener('statechange', look));
    look();
    await navigator.serviceWorker.ready;
    offlineReady.value = true;
    document.documentElement.dataset.offline = 'ready';
  } catch {
    offlineReady.value = false;
  }
}

/** Goes over to the newer page. */
export function applyUpdate(): void {
  navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
  waiting?.postMessage('apply-update');
}
