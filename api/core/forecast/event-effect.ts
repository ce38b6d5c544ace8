import type { KnownEvent } from './forecast-input.ts';
import { EVENT_PRIOR_VARIANCE } from './learn-service.ts';
import type { LearnedEvent } from './series-state.ts';

/** Variance, log scale, of an uplift that a person states (about 15% either way). */
const STATED_VARIANCE = 0.15 ** 2;

/**
 * The effect of a known event on the log level, with its variance: what past days of the label
 * showed and what is stated, each weighted by how sure it is (normal updating; the learned effect's
 * own vague prior is taken out before a stated factor takes its place).
 */
export function eventEffect(
  learned: Readonly<Record<string, LearnedEvent>>,
  event: KnownEvent | undefined,
): { readonly effect: number; readonly variance: number } {
  if (event === undefined) return { effect: 0, variance: 0 };
  const past = event.label === undefined ? undefined : learned[event.label];
  if (event.factor === undefined) {
    if (past !== undefined) return past;
    return { effect: 0, variance: event.label === undefined ? 0 : EVENT_PRIOR_VARIANCE };
  }
  const stated = Math.log(event.factor);
  if (past === undefined) return { effect: stated, variance: STATED_VARIANCE };
  const shown = Math.max(0, 1 / past.variance - 1 / EVENT_PRIOR_VARIANCE);
  const precision = shown + 1 / STATED_VARIANCE;
  // past.effect = shownMean × shown × past.variance, the vague prior having mean 0.
  const shownSum = past.effect / past.variance;
  return { effect: (shownSum + stated / STATED_VARIANCE) / precision, variance: 1 / precision };
}
