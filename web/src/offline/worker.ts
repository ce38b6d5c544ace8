// The service worker: keeps the page's own files so that it opens without a network. Data is kept
// by the page itself (see kept.ts); nothing under /v1 passes through here.

interface WorkerEvent extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface FetchEventLike extends WorkerEvent {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}
interface WorkerScope {
  readonly location: Location;
  readonly clients: { claim(): Promise<void> };
  skipWaiting(): Promise<void>;
  addEventListener(name: 'install' | 'activate', act: (event: WorkerEvent) => void): void;
  addEventListener(name: 'fetch', act: (event: FetchEventLike) => void): void;
}

const scope = globalThis as unknown as WorkerScope;
// Both are filled in by the build (vite.config.ts).
const FILES = '__FILES__' as unknown as readonly string[];
const CACHE = `tamis-page-${'__VERSION__'}`;

scope.addEventListener('install', (event) => {
  event.waitUntil(
    caches
      .open(CACHE)
      .then((cache) => cache.addAll([...FILES]))
      .then(() => scope.skipWaiting()),
  );
});

scope.addEventListener('activate', (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) =>
        Promise.all(
          names
            .filter((name) => name.startsWith('tamis-page-') && name !== CACHE)
            .map((name) => caches.delete(name)),
        ),
      )
      .then(() => scope.clients.claim()),
  );
});

scope.addEventListener('fetch', (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== 'GET' || url.origin !== scope.location.origin) return;
  if (!FILES.includes(url.pathname)) return;
  event.respondWith(
    caches
      .open(CACHE)
      .then((cache) => cache.match(url.pathname))
      .then((kept) => kept ?? fetch(event.request)),
  );
});
