import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { MAX_BASE_AMOUNT, checkRange } from '../quantity/index.ts';
import { MAX_COOKING_GAIN } from './yield-chain.ts';
import { describeSample, isOutlier } from './sample.ts';

/** One weighing on a test day: what went in and what came out, in the same unit. */
export interface YieldWeighing {
  /** Service date, YYYY-MM-DD; only shown, never calculated with. */
  readonly date: string;
  readonly before: number;
  readonly after: number;
}

/** A weighing with its yield and whether it stands far off the rest. */
export interface JudgedWeighing extends YieldWeighing {
  readonly fraction: number;
  readonly outlier: boolean;
}

/** What a series of weighings says. Spread and interval are absent when there are too few. */
export interface MeasuredYield {
  readonly n: number;
  readonly mean: number;
  /** Sample standard deviation (n − 1); absent for one weighing. */
  readonly sd?: number;
  /** 95 % confidence interval of the mean by Student's t; absent for one weighing. */
  readonly interval95?: readonly [number, number];
  readonly weighings: readonly JudgedWeighing[];
  /** One sentence for the lead when weighings stand out. */
  readonly outlierNote?: string;
}

/** A new standard for the lead to accept or not. Nothing changes by proposing. */
export interface YieldProposal {
  readonly proposedFraction: number;
  /** Weighings the proposal rests on: all but the outliers. */
  readonly n: number;
  readonly currentFraction?: number;
  /** proposed − current, when there is a current standard. */
  readonly change?: number;
  /** Whether the current standard lies outside the 95 % interval of the mean. */
  readonly clearlyDifferent?: boolean;
  readonly advice: string;
  readonly source: string;
}

/** Fewer weighings than this give no proposal worth a change. */
export const FEWEST_WEIGHINGS = 3;
const PROPOSAL_DECIMALS = 3;

/**
 * Mean, spread and outliers of a series of weighings. Outliers are marked, never dropped here:
 * modified z-score above 3.5 (Iglewicz and Hoaglin 1993, as in the NIST/SEMATECH e-Handbook
 * 1.3.5.17, from memory), from five weighings on.
 * Errors: `missing-data` for none; `out-of-range` for a weight of 0 or less before, below 0 after, or
 * more than twenty times the weight after than before; the path points at the weighing.
 */
export function summariseWeighings(weighings: readonly YieldWeighing[]): Result<MeasuredYield> {
  if (weighings.length === 0) {
    return err(coreError('missing-data', 'There is no weighing to take a yield from.'));
  }
  const fractions: number[] = [];
  for (const [index, weighing] of weighings.entries()) {
    const before = checkRange(weighing.before, 'The weight before', 0, MAX_BASE_AMOUNT, {
      above: true,
      path: [index, 'before'],
    });
    if (!before.ok) return before;
    const after = checkRange(
      weighing.after,
      'The weight after',
      0,
      weighing.before * MAX_COOKING_GAIN,
      { above: true, path: [index, 'after'] },
    );
    if (!after.ok) return after;
    fractions.push(weighing.after / weighing.before);
  }
  const judged = weighings.map((weighing, index) => {
    const fraction = fractions[index] ?? 0;
    return { ...weighing, fraction, outlier: isOutlier(fraction, fractions) };
  });
  const outliers = judged.filter((weighing) => weighing.outlier);
  const note =
    outliers.length === 0
      ? {}
      : {
          outlierNote: `Far off the rest: ${outliers
            .map((weighing) => `${weighing.date} (${percent(weighing.fraction)})`)
            .join(', ')}. Look at what was different before leaving it out.`,
        };
  return ok({ ...describeSample(fractions), weighings: judged, ...note });
}

/**
 * Proposes a new standard yield: the mean without outliers, to a tenth of a per cent.
 * @param currentFraction the standard in use, when there is one
 * Errors: as summariseWeighings; `missing-data` with fewer than three weighings left.
 */
export function proposeStandardYield(
  weighings: readonly YieldWeighing[],
  currentFraction?: number,
): Result<YieldProposal> {
  const summary = summariseWeighings(weighings);
  if (!summary.ok) return summary;
  const kept = summary.value.weighings.filter((weighing) => !weighing.outlier);
  if (kept.length < FEWEST_WEIGHINGS) {
    return err(
      coreError(
        'missing-data',
        `A standard needs at least ${FEWEST_WEIGHINGS} weighings that agree; there are ${kept.length}.`,
        { detail: { n: kept.length, needed: FEWEST_WEIGHINGS } },
      ),
    );
  }
  const sample = describeSample(kept.map((weighing) => weighing.fraction));
  const proposedFraction = Number(sample.mean.toFixed(PROPOSAL_DECIMALS));
  const source = `measured, ${sample.n} weighings, ${kept[0]?.date ?? ''} to ${kept.at(-1)?.date ?? ''}`;
  const base = { proposedFraction, n: sample.n, source };
  if (currentFraction === undefined) {
    return ok({ ...base, advice: `Take ${percent(proposedFraction)} as the first standard.` });
  }
  const [low, high] = sample.interval95 ?? [sample.mean, sample.mean];
  const clearlyDifferent = currentFraction < low || currentFraction > high;
  return ok({
    ...base,
    currentFraction,
    change: proposedFraction - currentFraction,
    clearlyDifferent,
    advice: clearlyDifferent
      ? `The kitchen gets ${percent(proposedFraction)}, the standard says ${percent(currentFraction)}: change it.`
      : `The standard of ${percent(currentFraction)} fits what was weighed; there is no need to change it.`,
  });
}

function percent(fraction: number): string {
  return `${Number((fraction * 100).toFixed(1))} %`;
}
