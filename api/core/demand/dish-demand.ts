import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { coreError } from '../shared/errors.ts';
import type { CountDistribution } from '../distributions/index.ts';
import { checkCount, quantiles, shifted, tabulate, trimmed } from '../distributions/index.ts';
import { addPortionMasses, noPortions } from './portion-masses.ts';

/** Portions already promised, and the covers they belong to (who then choose nothing else of it). */
export interface ExactPortions {
  readonly label: string;
  readonly portions: number;
  readonly covers: number;
}

export interface DishDemandInput {
  /** Covers of the service. */
  readonly covers: CountDistribution;
  /** The dish's share: see `dishShares`. */
  readonly share: {
    readonly mean: number;
    readonly strength: number;
    readonly dayVariation?: number;
  };
  /**
   * `several` (default): guests may order it more than once or share it; `at-most-one`: at most
   * one portion a cover, which narrows the spread (the share is then at most 1).
   */
  readonly perCover?: 'several' | 'at-most-one';
  /** Pre-orders and set menus, counted exactly. */
  readonly exact?: readonly ExactPortions[];
  readonly levels?: readonly number[];
}

export interface DishDemand {
  readonly mean: number;
  readonly distribution: CountDistribution;
  readonly quantiles: readonly { readonly level: number; readonly portions: number }[];
  /** Mean covers that choose freely. */
  readonly choosingCovers: number;
  /** Portions promised. */
  readonly exactPortions: number;
  /** Σ value × factor = mean, within 1e-9 of it. */
  readonly terms: readonly {
    readonly label: string;
    readonly value: number;
    readonly factor: number;
  }[];
}

/** Upper tail of covers left out: its portions would not show. */
const TAIL = 1e-10;

/**
 * Portions of one dish at one service, as the compound of how many covers come and how many of
 * them order it; its quantiles are those of the compound, never a product of two quantiles.
 *
 * Given n choosing covers and share S, portions are Poisson(n·S) with S gamma (negative binomial),
 * or binomial(n, S) with S beta (beta-binomial). The relative variance of S is 1/(strength·share)
 * for not knowing the share plus its day-to-day variation. Sources: Johnson, Kemp & Kotz,
 * Univariate Discrete Distributions, mixtures of Poisson and binomial (from memory).
 *
 * Errors: `out-of-range` for a share, strength, exact portions or distribution out of bounds.
 */
export function dishDemand(input: DishDemandInput): Result<DishDemand> {
  const fault = faultOf(input);
  if (fault !== undefined) return err(fault);
  const { share } = input;
  const exact = input.exact ?? [];
  const exactPortions = exact.reduce((a, e) => a + e.portions, 0);
  const exactCovers = exact.reduce((a, e) => a + e.covers, 0);
  const covers = tabulate(input.covers, TAIL);
  const relativeVariance =
    share.mean > 0 ? 1 / (share.strength * share.mean) + (share.dayVariation ?? 0) : 0;
  const sum = noPortions();
  let choosingCovers = 0;
  let reached = 0;
  covers.probabilities.forEach((chance, i) => {
    const choosing = Math.max(0, covers.start + i - exactCovers);
    choosingCovers += chance * choosing;
    reached += chance;
    addPortionMasses(
      sum,
      choosing,
      share.mean,
      relativeVariance,
      input.perCover ?? 'several',
      chance,
    );
  });
  // What the cut tail would have added to the mean and the masses is spread over the rest.
  choosingCovers /= reached;
  const { cut, probabilities } = trimmed(
    Array.from(sum.masses.subarray(0, sum.count), (mass) => mass / reached),
  );
  const mean = choosingCovers * share.mean;
  const free: CountDistribution = { kind: 'table', mean, start: cut, probabilities };
  const distribution = shifted(free, exactPortions);
  const levels = input.levels ?? [0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95];
  const found = quantiles(distribution, levels);
  return ok({
    mean: distribution.mean,
    distribution,
    quantiles: levels.map((level, i) => ({ level, portions: found[i] ?? 0 })),
    choosingCovers,
    exactPortions,
    terms: [
      { label: 'covers that choose', value: choosingCovers, factor: share.mean },
      ...exact.map((e) => ({ label: e.label, value: e.portions, factor: 1 })),
    ],
  });
}

function faultOf(input: DishDemandInput) {
  const checked = checkCount(input.covers);
  if (!checked.ok) return { ...checked.error, path: ['covers', ...(checked.error.path ?? [])] };
  const refuse = (message: string, path: (string | number)[], value: unknown) =>
    coreError('out-of-range', message, { path, detail: { value } });
  const { mean, strength, dayVariation } = input.share;
  const most = input.perCover === 'at-most-one' ? 1 : Infinity;
  if (!(mean >= 0 && mean <= most && Number.isFinite(mean))) {
    return refuse(
      'A share is at least 0, and at most 1 where a cover orders at most one.',
      ['share', 'mean'],
      mean,
    );
  }
  if (!(strength > 0))
    return refuse('The strength of a share is above 0.', ['share', 'strength'], strength);
  if (dayVariation !== undefined && !(dayVariation >= 0)) {
    return refuse('Day-to-day variation is at least 0.', ['share', 'dayVariation'], dayVariation);
  }
  for (const [i, e] of (input.exact ?? []).entries()) {
    for (const name of ['portions', 'covers'] as const) {
      if (!(Number.isInteger(e[name]) && e[name] >= 0)) {
        return refuse(
          'Promised portions and covers are whole numbers.',
          ['exact', i, name],
          e[name],
        );
      }
    }
  }
  const bad = (input.levels ?? []).findIndex((l) => !(l > 0 && l < 1));
  if (bad >= 0)
    return refuse('A quantile level lies between 0 and 1.', ['levels', bad], input.levels?.[bad]);
  return undefined;
}
