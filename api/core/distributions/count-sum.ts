import type { CountDistribution } from './count-distribution.ts';
import { floorOf, pointCount } from './count-distribution.ts';
import { tabulate } from './count-masses.ts';

/** Masses below this are cut from the ends of a computed table. */
const NEGLIGIBLE = 1e-16;

/**
 * Distribution of the sum of independent counts.
 *
 * Exact in closed form when it has one: certain parts add; Poissons add their means; negative
 * binomials with the same success probability p = size/(size + mean − floor) add means and sizes
 * (so n like days have size n·k, not k). Otherwise the tables are convolved.
 */
export function sumIndependent(parts: readonly CountDistribution[]): CountDistribution {
  let shift = 0;
  let poissonMean = 0;
  const binomials = new Map<string, { mean: number; size: number }>();
  const tables: { start: number; probabilities: readonly number[]; mean: number }[] = [];
  for (const part of parts) {
    if (part.kind === 'table') {
      tables.push(part);
      continue;
    }
    const floor = floorOf(part);
    const mean = part.mean - floor;
    shift += floor;
    if (part.kind === 'point' || mean <= 0) continue;
    if (part.kind === 'poisson') {
      poissonMean += mean;
      continue;
    }
    const key = (part.size / (part.size + mean)).toPrecision(12);
    const group = binomials.get(key) ?? { mean: 0, size: 0 };
    binomials.set(key, { mean: group.mean + mean, size: group.size + part.size });
  }
  const closed: CountDistribution[] = [...binomials.values()].map((g) => ({
    kind: 'negative-binomial',
    mean: g.mean,
    size: g.size,
  }));
  if (poissonMean > 0) closed.push({ kind: 'poisson', mean: poissonMean });
  const only = closed[0];
  if (tables.length === 0) {
    if (only === undefined) return pointCount(shift);
    if (closed.length === 1) return shifted(only, shift);
  }
  const mean = parts.reduce((sum, part) => sum + part.mean, 0);
  const all = [...tables, ...closed.map((c) => ({ ...tabulate(c), mean: c.mean }))].sort(
    (a, b) => a.probabilities.length - b.probabilities.length,
  );
  let start = shift;
  let probabilities: readonly number[] = [1];
  for (const table of all) {
    start += table.start;
    const sum = trimmed(convolveMasses(probabilities, table.probabilities));
    start += sum.cut;
    probabilities = sum.probabilities;
  }
  return { kind: 'table', mean, start, probabilities };
}

/** `dist` plus a certain whole number of at least 0. */
export function shifted(dist: CountDistribution, by: number): CountDistribution {
  if (by === 0) return dist;
  switch (dist.kind) {
    case 'point':
      return pointCount(dist.mean + by);
    case 'table':
      return {
        kind: 'table',
        mean: dist.mean + by,
        start: dist.start + by,
        probabilities: dist.probabilities,
      };
    default:
      return { ...dist, mean: dist.mean + by, floor: (dist.floor ?? 0) + by };
  }
}

/** Masses of the sum of two independent counts given by their masses from 0. */
export function convolveMasses(a: readonly number[], b: readonly number[]): number[] {
  const sum = new Array<number>(a.length + b.length - 1).fill(0);
  for (let i = 0; i < a.length; i += 1) {
    const p = a[i] ?? 0;
    if (p === 0) continue;
    for (let j = 0; j < b.length; j += 1) sum[i + j] = (sum[i + j] ?? 0) + p * (b[j] ?? 0);
  }
  return sum;
}

/** Cuts negligible masses from both ends; `cut` is how many were cut from the start. */
export function trimmed(masses: readonly number[]): { cut: number; probabilities: number[] } {
  let first = 0;
  let last = masses.length - 1;
  while (first < last && (masses[first] ?? 0) < NEGLIGIBLE) first += 1;
  while (last > first && (masses[last] ?? 0) < NEGLIGIBLE) last -= 1;
  return { cut: first, probabilities: masses.slice(first, last + 1) };
}
