import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { MAX_BASE_AMOUNT, checkRange } from '../quantity/index.ts';

/** What takes weight away (or, cooking only, adds some). */
export type YieldKind =
  'trim' | 'peel' | 'stone' | 'cooking' | 'evaporation' | 'sieve' | 'pan-loss';

/** Whether a text names a kind of loss. */
export function isYieldKind(text: string): text is YieldKind {
  return Object.hasOwn(NAMES, text);
}

/**
 * One loss or gain. `fraction` is what is left of 1: 0.9 after a tenth is thrown away; cooking may
 * gain (pearl barley 2.6). `source` says where the figure comes from: a table, a test day, a habit.
 */
export interface YieldStep {
  readonly kind: YieldKind;
  readonly fraction: number;
  readonly source: string;
}

/** A yield step with what is left after it of what came in at the start of the chain. */
export interface ChainedYield extends YieldStep {
  readonly cumulativeFraction: number;
}

/** The whole chain: the product of the fractions, and each step on the way. */
export interface YieldChain {
  readonly fraction: number;
  readonly steps: readonly ChainedYield[];
}

/** The most cooking may multiply a weight by: dried pulses and gelatine stay well under it. */
export const MAX_COOKING_GAIN = 20;

const LARGEST_FRACTION: Readonly<Record<YieldKind, number>> = {
  trim: 1,
  peel: 1,
  stone: 1,
  cooking: MAX_COOKING_GAIN,
  evaporation: 1,
  sieve: 1,
  'pan-loss': 1,
};

const NAMES: Readonly<Record<YieldKind, string>> = {
  trim: 'A trim yield',
  peel: 'A peeling yield',
  stone: 'A stoning yield',
  cooking: 'A cooking yield',
  evaporation: 'What is left after evaporation',
  sieve: 'What passes the sieve',
  'pan-loss': 'What comes out of the pan',
};

/**
 * Multiplies the yields of a line or a step, in order. An empty chain keeps everything.
 * Errors: `out-of-range` for a fraction of 0 or less, or above 1 (cooking: above 20), or a step
 * without a source; the path points at the step.
 */
export function chainYields(steps: readonly YieldStep[]): Result<YieldChain> {
  let fraction = 1;
  const chained: ChainedYield[] = [];
  for (const [index, step] of steps.entries()) {
    const checked = checkRange(step.fraction, NAMES[step.kind], 0, LARGEST_FRACTION[step.kind], {
      above: true,
      path: [index, 'fraction'],
    });
    if (!checked.ok) return checked;
    if (step.source.trim() === '') {
      return err(
        coreError('missing-data', `${NAMES[step.kind]} needs to say where it comes from.`, {
          path: [index, 'source'],
        }),
      );
    }
    fraction *= step.fraction;
    chained.push({ ...step, cumulativeFraction: fraction });
  }
  if (!(fraction > 0)) {
    return err(coreError('out-of-range', 'The yields leave nothing over.', { path: [] }));
  }
  return ok({ fraction, steps: chained });
}

/**
 * As-purchased amount for an edible amount: AP = EP / (product of yields), in the same unit.
 * @param edibleAmount what the recipe weighs, at least 0
 * Errors: as chainYields, and `out-of-range` for a bad or absurd amount.
 */
export function asPurchased(edibleAmount: number, steps: readonly YieldStep[]): Result<number> {
  const checked = checkRange(edibleAmount, 'The edible amount', 0, MAX_BASE_AMOUNT);
  if (!checked.ok) return checked;
  const chain = chainYields(steps);
  if (!chain.ok) return chain;
  return checkRange(edibleAmount / chain.value.fraction, 'The amount to buy', 0, MAX_BASE_AMOUNT);
}

/** Edible amount left of a purchased one: EP = AP · (product of yields), in the same unit. Errors: as asPurchased. */
export function ediblePortion(
  purchasedAmount: number,
  steps: readonly YieldStep[],
): Result<number> {
  const checked = checkRange(purchasedAmount, 'The purchased amount', 0, MAX_BASE_AMOUNT);
  if (!checked.ok) return checked;
  const chain = chainYields(steps);
  if (!chain.ok) return chain;
  return checkRange(purchasedAmount * chain.value.fraction, 'The amount', 0, MAX_BASE_AMOUNT);
}

/** What one line brings to the bowl: the weight as the recipe states it, and its losses before the bowl. */
export interface YieldedLine {
  readonly massG: number;
  /** Losses between the stated weight and the bowl; empty when the recipe weighs ready prepared goods. */
  readonly yields: readonly YieldStep[];
}

/** The finished weight of a batch, with what was in the bowl before the losses of the steps. */
export interface BatchYield {
  readonly bowlG: number;
  readonly finishedG: number;
  /** finished / bowl. */
  readonly stepFraction: number;
}

/**
 * The finished weight in g: each line's weight after its own yields, added up, then the yields of
 * the steps (baking, boiling down, sieving, what stays in the pan), which act on the whole batch.
 * Errors: as chainYields, with a path into `lines` or `steps`; `out-of-range` for a bad weight.
 */
export function batchYield(
  lines: readonly YieldedLine[],
  steps: readonly YieldStep[],
): Result<BatchYield> {
  let bowlG = 0;
  for (const [index, line] of lines.entries()) {
    const edible = ediblePortion(line.massG, line.yields);
    if (!edible.ok) return inside(edible, ['lines', index]);
    bowlG += edible.value;
  }
  const chain = chainYields(steps);
  if (!chain.ok) return inside(chain, ['steps']);
  return ok({
    bowlG,
    finishedG: bowlG * chain.value.fraction,
    stepFraction: chain.value.fraction,
  });
}

function inside(refused: Result<never>, path: readonly (string | number)[]): Result<never> {
  if (refused.ok) return refused;
  const { error } = refused;
  return err({ ...error, path: [...path, ...(error.path ?? [])] });
}
