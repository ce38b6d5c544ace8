/** Whether a newer build of the page waits for a reload. */
export const newerPage = $state({ there: false });

/** Registers the service worker where the address allows one (https, or this very machine). */
export function registerWorker(): void {
  if (!('serviceWorker' in navigator) || import.meta.env.DEV) return;
  const hadOne = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    if (hadOne) newerPage.there = true;
  });
  void navigator.serviceWorker.register('/sw.js').catch(() => undefined);
}

/** False where browsers refuse offline pages: plain http from another machine. */
export const worksOffline = 'serviceWorker' in navigator;
