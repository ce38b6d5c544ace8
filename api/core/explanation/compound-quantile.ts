import { dishDemand } from '../demand/index.ts';
import type { CountDistribution } from '../distributions/index.ts';
import { cappedCount } from '../distributions/index.ts';
import type { CoreError } from '../shared/errors.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import type { ExplanationInput } from './explanation-node.ts';

/** Answers already worked out: a plan asks for the same portions at every pass over its levels. */
const answers = new Map<string, number>();
const MOST_ANSWERS = 5000;

type Parameters = Readonly<Record<string, number | string>>;

/**
 * Parameters of a 'compound-quantile' node that describe a covers distribution whose mean is an
 * input of the node. A count cut off by a full room names the count it was cut from and the
 * ceiling; any other table is written out, `start:chance,chance,…`, digit for digit.
 */
export function coversParameters(covers: CountDistribution): Parameters {
  switch (covers.kind) {
    case 'point':
      return { distribution: 'point' };
    case 'poisson':
      return { distribution: 'poisson', floor: covers.floor ?? 0 };
    case 'negative-binomial':
      return { distribution: 'negative-binomial', size: covers.size, floor: covers.floor ?? 0 };
    case 'table':
      return covers.cutFrom === undefined
        ? { distribution: 'table', chances: `${covers.start}:${covers.probabilities.join()}` }
        : { ...coversParameters(covers.cutFrom.count), ceiling: covers.cutFrom.ceiling };
  }
}

/** The mean that `coversParameters` leaves to an input: of a cut count, the one before the cut. */
export function coversMean(covers: CountDistribution): number {
  return covers.kind === 'table' && covers.cutFrom !== undefined
    ? covers.cutFrom.count.mean
    : covers.mean;
}

/**
 * Smallest whole number of portions that is enough with probability `level`, worked out by
 * `core/demand` from the inputs named `covers` (mean), `share` and, where they are there,
 * `strength`, `day-variation` and `exact-covers` (who do not choose). Without a strength the share
 * is taken as certain. Error `broken-explanation` where inputs or parameters are no demand.
 */
export function compoundQuantile(
  terms: readonly number[],
  inputs: readonly ExplanationInput[],
  parameters: Parameters,
): Result<number, CoreError> {
  const named = (role: string): number | undefined => {
    const index = inputs.findIndex((input) => input.role === role);
    return index < 0 ? undefined : terms[index];
  };
  const mean = named('covers');
  const share = named('share');
  const level = parameters['level'];
  if (mean === undefined || share === undefined || typeof level !== 'number') {
    return refuse('A compound quantile needs covers, a share and a level.', { parameters });
  }
  const covers = coversOf(mean, parameters);
  if (covers === undefined) {
    return refuse('The covers of a compound quantile are not a known count.', { parameters });
  }
  const key = JSON.stringify([terms, inputs.map((input) => input.role), parameters]);
  const kept = answers.get(key);
  if (kept !== undefined) return ok(kept);
  const exactCovers = named('exact-covers') ?? 0;
  const demand = dishDemand({
    covers,
    share: {
      mean: share,
      strength: named('strength') ?? Infinity,
      dayVariation: named('day-variation') ?? 0,
    },
    perCover: parameters['perCover'] === 'at-most-one' ? 'at-most-one' : 'several',
    exact: [{ label: 'do not choose', portions: 0, covers: exactCovers }],
    levels: [level],
  });
  if (!demand.ok) return refuse(demand.error.message, { ...demand.error.detail });
  const portions = demand.value.quantiles[0]?.portions ?? Number.NaN;
  if (answers.size >= MOST_ANSWERS) answers.clear();
  answers.set(key, portions);
  return ok(portions);
}

function coversOf(mean: number, parameters: Parameters): CountDistribution | undefined {
  const { distribution: kind, size, ceiling, chances } = parameters;
  const floor = typeof parameters['floor'] === 'number' ? parameters['floor'] : 0;
  let count: CountDistribution;
  // The mean is a sum of terms: its last digits must not make an exact count a broken one.
  const atLeast = Math.max(mean, floor);
  if (kind === 'point') count = { kind, mean: Math.round(mean) };
  else if (kind === 'poisson') count = { kind, mean: atLeast, floor };
  else if (kind === 'negative-binomial' && typeof size === 'number') {
    count = { kind, mean: atLeast, size, floor };
  } else if (kind === 'table' && typeof chances === 'string') {
    const [start, list] = chances.split(':');
    const probabilities = (list ?? '').split(',').map(Number);
    return { kind, mean, start: Number(start), probabilities };
  } else return undefined;
  return typeof ceiling === 'number' ? cappedCount(count, ceiling) : count;
}

function refuse(message: string, detail: Record<string, unknown>): Result<never, CoreError> {
  return err(coreError('broken-explanation', message, { detail }));
}
