// Whether the service answers. Said in words at the top of every screen.
import { hearTime } from './service-clock.ts';

/** How often to ask whether the service is back, and whether it is still there. */
const ASK_WHEN_LOST_S = 5;
const ASK_WHEN_THERE_S = 30;
const WAIT_FOR_ANSWER_MS = 5_000;

export const connection = $state({ there: true, lostAt: null as number | null });
let onReturn: readonly (() => void)[] = [];
/** Counted by the page itself: the device's clock may be set while we wait. */
let secondsSinceAsked = 0;

/** @param act called each time the service answers again after it did not @returns stop */
export function whenBack(act: () => void): () => void {
  onReturn = [...onReturn, act];
  return () => {
    onReturn = onReturn.filter((one) => one !== act);
  };
}

/** The service answered. */
export function reached(): void {
  secondsSinceAsked = 0;
  if (connection.there) return;
  connection.there = true;
  connection.lostAt = null;
  for (const act of onReturn) act();
}

/** Nothing answered. */
export function lost(): void {
  secondsSinceAsked = 0;
  if (!connection.there) return;
  connection.there = false;
  connection.lostAt = Date.now();
}

/** Asks the service whether it is there, and hears its time. */
export async function ask(): Promise<void> {
  secondsSinceAsked = 0;
  try {
    const response = await fetch('/healthz', {
      cache: 'no-store',
      signal: AbortSignal.timeout(WAIT_FOR_ANSWER_MS),
    });
    if (response.ok) hearTime(response.headers.get('date'));
    if (response.ok) reached();
    else lost();
  } catch {
    lost();
  }
}

/** Starts watching. */
export function watchConnection(): void {
  window.addEventListener('online', () => void ask());
  window.addEventListener('offline', () => lost());
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') void ask();
  });
  setInterval(() => {
    if (document.visibilityState !== 'visible') return;
    secondsSinceAsked += 1;
    const every = connection.there ? ASK_WHEN_THERE_S : ASK_WHEN_LOST_S;
    if (secondsSinceAsked >= every) void ask();
  }, 1_000);
}
