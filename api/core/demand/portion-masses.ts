import type { CountDistribution } from '../distributions/index.ts';
import { tabulate } from '../distributions/index.ts';

/**
 * Adds to `masses` (index = portions) the chances of each number of portions ordered by `covers`
 * covers, times `weight`.
 *
 * @param share mean portions per cover
 * @param relativeVariance variance of the share ÷ share², not counting chance within the service
 */
export function addPortionMasses(
  masses: number[],
  covers: number,
  share: number,
  relativeVariance: number,
  perCover: 'several' | 'at-most-one',
  weight: number,
): void {
  if (covers === 0 || share === 0) {
    grow(masses, 0);
    masses[0] = (masses[0] ?? 0) + weight;
    return;
  }
  if (perCover === 'several') {
    const mean = covers * share;
    const dist: CountDistribution =
      relativeVariance > 0
        ? { kind: 'negative-binomial', mean, size: 1 / relativeVariance }
        : { kind: 'poisson', mean };
    const table = tabulate(dist, 1e-13);
    grow(masses, table.start + table.probabilities.length - 1);
    table.probabilities.forEach((p, i) => {
      masses[table.start + i] = (masses[table.start + i] ?? 0) + weight * p;
    });
    return;
  }
  grow(masses, covers);
  betaBinomialMasses(covers, share, relativeVariance).forEach((p, k) => {
    masses[k] = (masses[k] ?? 0) + weight * p;
  });
}

function grow(masses: number[], last: number): void {
  while (masses.length <= last) masses.push(0);
}

/**
 * Masses 0…n of the beta-binomial with mean n·share whose share has the given relative variance;
 * binomial when that is 0. Built up from the mode by the one-step ratio
 * P(k+1)/P(k) = (n−k)(a+k) ÷ ((k+1)(b+n−k−1)) and then made to add up to 1.
 */
export function betaBinomialMasses(n: number, share: number, relativeVariance: number): number[] {
  const masses = new Array<number>(n + 1).fill(0);
  if (share >= 1) {
    masses[n] = 1;
    return masses;
  }
  // Var(S) = s(1−s)/(c+1) = s²·v, so c = (1−s)/(s·v) − 1; never so wide that c falls to 0.
  const c =
    relativeVariance > 0 ? Math.max(1e-3, (1 - share) / (share * relativeVariance) - 1) : Infinity;
  const a = share * c;
  const b = (1 - share) * c;
  const ratio = (k: number) =>
    c === Infinity
      ? ((n - k) * share) / ((k + 1) * (1 - share))
      : ((n - k) * (a + k)) / ((k + 1) * (b + n - k - 1));
  // Logarithms keep both ends in range whatever n is.
  let log = 0;
  let highest = 0;
  const logs = [0];
  for (let k = 0; k < n; k += 1) {
    log += Math.log(ratio(k));
    logs.push(log);
    highest = Math.max(highest, log);
  }
  let total = 0;
  logs.forEach((l, k) => {
    const mass = Math.exp(l - highest);
    masses[k] = mass;
    total += mass;
  });
  return masses.map((m) => m / total);
}
