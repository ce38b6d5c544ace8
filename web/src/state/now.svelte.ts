// The device's clock, read twice a minute: start-by words and cutoffs follow it.
const READ_EVERY_MS = 30_000;

export const clock = $state({ now: Date.now() });

export function watchClock(): void {
  setInterval(() => (clock.now = Date.now()), READ_EVERY_MS);
  document.addEventListener('visibilitychange', () => (clock.now = Date.now()));
}
