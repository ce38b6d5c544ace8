import type { CountDistribution } from './count-distribution.ts';
import { walkMasses } from './count-masses.ts';

/**
 * What a stock of `quantity` meets: expected shortfall E[(D − q)⁺] and expected leftover
 * E[(q − D)⁺], in the count's unit, and P(D ≤ q). Uses E[(D − q)⁺] = E[D] − q + E[(q − D)⁺], so
 * only the masses up to q are needed and the identity holds to rounding.
 *
 * @param quantity real number of at least 0
 */
export function stockOutcome(
  dist: CountDistribution,
  quantity: number,
): { readonly shortfall: number; readonly leftover: number; readonly chanceEnough: number } {
  const walk = walkMasses(dist);
  let leftover = 0;
  let chanceEnough = 0;
  while (walk.at <= quantity) {
    const k = walk.at;
    const mass = walk.next();
    leftover += (quantity - k) * mass;
    chanceEnough += mass;
    if (k > dist.mean && mass < 1e-20) break;
  }
  return {
    shortfall: Math.max(0, dist.mean - quantity + leftover),
    leftover,
    chanceEnough: Math.min(1, chanceEnough),
  };
}

/**
 * The count cut at a ceiling: whatever is above `ceiling` happens at `ceiling` (a full room).
 * Gives back `dist` itself when less than `negligible` of its mass lies above.
 */
export function cappedCount(
  dist: CountDistribution,
  ceiling: number,
  negligible = 1e-6,
): CountDistribution {
  const cap = Math.floor(ceiling);
  if (isFarAbove(dist, cap, negligible)) return dist;
  const outcome = stockOutcome(dist, cap);
  if (outcome.chanceEnough > 1 - negligible) return dist;
  const walk = walkMasses(dist);
  let start = Math.min(walk.at, cap);
  const probabilities: number[] = [];
  let below = 0;
  while (walk.at < cap) {
    const mass = walk.next();
    below += mass;
    if (probabilities.length === 0 && mass < 1e-15) start = walk.at;
    else probabilities.push(mass);
  }
  probabilities.push(Math.max(0, 1 - below));
  const cut = { kind: 'table', mean: cap - outcome.leftover, start, probabilities } as const;
  return dist.kind === 'negative-binomial' || dist.kind === 'poisson'
    ? { ...cut, cutFrom: { count: dist, ceiling: cap } }
    : cut;
}

/**
 * True when the chance of a Poisson or negative binomial count above the ceiling is surely under
 * `negligible`, without adding it up: Chernoff's bound P(X ≥ a) ≤ e^−I(a) above the mean, with
 * I = a·ln(a/m) − a + m for a Poisson of mean m, and a·ln(a/m) − (a + k)·ln((a + k)/(m + k)) for a
 * negative binomial of size k (Chernoff 1952; the exponents worked out from the generating functions).
 */
function isFarAbove(dist: CountDistribution, ceiling: number, negligible: number): boolean {
  if (dist.kind === 'table' || dist.kind === 'point') return false;
  const floor = dist.floor ?? 0;
  const m = dist.mean - floor;
  const a = ceiling + 1 - floor;
  if (!(a > m && m > 0)) return false;
  const towards =
    dist.kind === 'poisson'
      ? m - a
      : -(a + dist.size) * Math.log((a + dist.size) / (m + dist.size));
  return a * Math.log(a / m) + towards > -Math.log(negligible);
}
