import { invalid } from './refusal.ts';

/** How long ago something may have happened and still be told: two days without a network. */
export const MOST_MINUTES_AGO = 2 * 24 * 60;

/**
 * The moment something really happened, by the service's own clock: tablets say how long ago, never
 * what their clock shows, so that a tablet whose clock is wrong by hours does no harm.
 * @throws Refusal `invalid-input` for what is no plausible length of time
 */
export function momentAgo(now: Date, minutesAgo: number, pointer = '/minutesAgo'): Date {
  if (!Number.isFinite(minutesAgo) || minutesAgo < 0) {
    throw invalid(pointer, 'Say how many minutes ago it was; it cannot lie ahead.');
  }
  if (minutesAgo > MOST_MINUTES_AGO) {
    throw invalid(
      pointer,
      'That is more than two days ago: too long to be told as a tick. Count the fridge instead.',
    );
  }
  return new Date(now.getTime() - Math.round(minutesAgo * 60_000));
}
