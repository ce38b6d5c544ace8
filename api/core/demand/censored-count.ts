import type { CountDistribution } from '../distributions/index.ts';
import { stockOutcome } from '../distributions/index.ts';

/**
 * Expected demand when it is only known to be at least `sold`, because the dish ran out:
 * E[D | D ≥ n] = (n·P(D ≥ n) + E[(D − n)⁺]) ÷ P(D ≥ n), D negative binomial around `mean`.
 * This is the expectation step for censored counts (Dempster, Laird & Rubin 1977, JRSS B 39).
 *
 * @param mean portions expected that day
 * @param dayVariation relative variance beyond chance (1/size); 0 for a Poisson
 * @param sold portions sold before it ran out, a whole number of at least 0
 */
export function expectedWhenSoldOut(mean: number, dayVariation: number, sold: number): number {
  if (sold <= 0 || mean <= 0) return Math.max(mean, sold);
  const dist: CountDistribution =
    dayVariation > 1e-9
      ? { kind: 'negative-binomial', mean, size: 1 / dayVariation }
      : { kind: 'poisson', mean };
  const { shortfall } = stockOutcome(dist, sold);
  const chance = 1 - stockOutcome(dist, sold - 1).chanceEnough;
  // So far above what was expected that the tail is lost in rounding: at least what was sold.
  if (chance < 1e-9) return sold;
  return sold + shortfall / chance;
}
