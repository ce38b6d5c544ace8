import { quantile as exactQuantile } from '../distributions/index.ts';
import type { CoreError } from '../shared/errors.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { compoundQuantile } from './compound-quantile.ts';
import type { ExplanationInput, FormulaName } from './explanation-node.ts';

/**
 * Relative slack when rounding up: 3.0000000001 batches is 3 batches and arithmetic noise,
 * not a reason to make a fourth.
 */
export const ROUND_UP_TOLERANCE = 1e-9;

/** The count distribution a quantile node names. `size` is the dispersion k (variance = mean + mean²/k). */
export interface CountDistribution {
  readonly kind: 'poisson' | 'negative-binomial';
  readonly mean: number;
  readonly size?: number;
}

/** Smallest whole count q with P(demand ≤ q) ≥ level; level in (0, 1). */
export type QuantileFunction = (distribution: CountDistribution, level: number) => number;

export interface EvaluationOptions {
  /** For 'distribution-quantile' nodes; the exact quantile of `core/distributions` when absent. */
  readonly quantile?: QuantileFunction;
  /** Asks 'compound-quantile' nodes for at least this level: what a figure would be if more were to suffice. */
  readonly atLeastLevel?: number;
}

/** What an evaluator sees: the inputs with their values, and the node's parameters. */
export interface FormulaCall {
  readonly formula: FormulaName;
  readonly inputs: readonly ExplanationInput[];
  /** Values of the inputs, same order. */
  readonly values: readonly number[];
  readonly parameters: Readonly<Record<string, number | string>>;
}

type Evaluator = (
  terms: readonly number[],
  call: FormulaCall,
  options: EvaluationOptions,
) => Result<number>;

const EVALUATORS: Readonly<Record<Exclude<FormulaName, 'given'>, Evaluator>> = {
  'weighted-sum': (terms) => ok(total(terms)),
  product: (terms) => ok(terms.reduce((product, term) => product * term, 1)),
  quotient: ([dividend, divisor], call) => {
    if (dividend === undefined || divisor === undefined || call.inputs.length !== 2) {
      return refuse('A quotient takes exactly two inputs.');
    }
    if (divisor === 0) return refuse('A quotient cannot divide by zero.');
    return ok(dividend / divisor);
  },
  maximum: (terms) => (terms.length > 0 ? ok(largest(terms)) : refuse('A maximum needs an input.')),
  minimum: (terms) =>
    terms.length > 0 ? ok(smallest(terms)) : refuse('A minimum needs an input.'),
  'not-below-zero': (terms) => ok(Math.max(0, total(terms))),
  'round-up-to-multiple': (terms, { parameters }) => {
    const multiple = numberParameter(parameters, 'multiple');
    if (multiple === undefined || !(multiple > 0)) {
      return refuse('Rounding up needs a multiple above zero.', { parameters });
    }
    const minimum = numberParameter(parameters, 'minimum') ?? 0;
    return ok(roundUpToMultiple(total(terms), multiple, minimum));
  },
  'round-to-step': (terms, { parameters }) => {
    const step = numberParameter(parameters, 'step');
    if (step === undefined || !(step > 0)) {
      return refuse('Rounding needs a step above zero.', { parameters });
    }
    return ok(roundToStep(total(terms), step));
  },
  clamp: (terms, { parameters }) => {
    const lower = numberParameter(parameters, 'lower') ?? -Infinity;
    const upper = numberParameter(parameters, 'upper') ?? Infinity;
    if (lower > upper) return refuse('The lower bound is above the upper bound.', { parameters });
    return ok(Math.min(upper, Math.max(lower, total(terms))));
  },
  'distribution-quantile': (terms, call, options) => quantileOf(terms, call, options),
  'compound-quantile': (terms, { inputs, parameters }, { atLeastLevel = 0 }) => {
    const level = numberParameter(parameters, 'level');
    const raised = level !== undefined && level < atLeastLevel;
    const asked = raised ? { ...parameters, level: atLeastLevel } : parameters;
    return compoundQuantile(terms, inputs, asked);
  },
};

/**
 * Works one formula out.
 *
 * @returns ok: the value, finite; error `broken-explanation` where inputs or parameters do not fit
 *          the formula or the result is not finite
 */
export function applyFormula(call: FormulaCall, options: EvaluationOptions): Result<number> {
  if (call.formula === 'given') return refuse('A given figure is not worked out from others.');
  const evaluator: Evaluator | undefined = EVALUATORS[call.formula];
  if (evaluator === undefined) return refuse(`There is no formula named ${String(call.formula)}.`);
  const terms = call.values.map((value, i) => value * (call.inputs[i]?.factor ?? 1));
  const result = evaluator(terms, call, options);
  if (result.ok && !Number.isFinite(result.value)) {
    return refuse('The figure is not a finite number.', { formula: call.formula });
  }
  return result;
}

/**
 * The smallest whole number of multiples that covers `value`, at least `minimum` where `value` is
 * above zero; 0 for nothing needed. Slack: ROUND_UP_TOLERANCE, relative.
 */
export function roundUpToMultiple(value: number, multiple: number, minimum = 0): number {
  const count = value / multiple;
  const nearest = Math.round(count);
  const slack = ROUND_UP_TOLERANCE * Math.max(1, Math.abs(count));
  const whole = Math.abs(count - nearest) <= slack ? nearest : Math.ceil(count);
  if (whole <= 0) return 0;
  const floor = minimum > 0 ? Math.ceil(minimum / multiple - ROUND_UP_TOLERANCE) : 0;
  return Math.max(whole, floor) * multiple;
}

/** The nearest whole number of steps, halves away from zero. */
export function roundToStep(value: number, step: number): number {
  const count = Math.abs(value) / step;
  const whole = Math.floor(count + 0.5 + ROUND_UP_TOLERANCE * Math.max(1, count));
  return whole === 0 ? 0 : Math.sign(value) * whole * step;
}

function quantileOf(
  terms: readonly number[],
  call: FormulaCall,
  options: EvaluationOptions,
): Result<number> {
  const { inputs, parameters } = call;
  const kind = parameters['distribution'];
  const level = numberParameter(parameters, 'level');
  const mean = namedTerm(inputs, terms, 'mean') ?? (terms.length === 1 ? terms[0] : undefined);
  const size = namedTerm(inputs, terms, 'size') ?? numberParameter(parameters, 'size');
  if (kind !== 'poisson' && kind !== 'negative-binomial') {
    return refuse('The distribution is poisson or negative-binomial.', { distribution: kind });
  }
  if (level === undefined || !(level > 0 && level < 1)) {
    return refuse('The level of a quantile lies between 0 and 1.', { level });
  }
  if (mean === undefined || !(mean >= 0)) return refuse('A quantile needs a mean of 0 or more.');
  if (kind === 'negative-binomial' && !(size !== undefined && size > 0)) {
    return refuse('A negative binomial needs a size above zero.', { size });
  }
  const distribution: CountDistribution =
    kind === 'poisson' || size === undefined
      ? { kind: 'poisson', mean }
      : { kind: 'negative-binomial', mean, size };
  return ok((options.quantile ?? defaultQuantile)(distribution, level));
}

const defaultQuantile: QuantileFunction = ({ kind, mean, size }, level) =>
  exactQuantile(
    kind === 'poisson' || size === undefined
      ? { kind: 'poisson', mean }
      : { kind: 'negative-binomial', mean, size },
    level,
  );

function namedTerm(
  inputs: readonly ExplanationInput[],
  terms: readonly number[],
  role: string,
): number | undefined {
  const index = inputs.findIndex((input) => input.role === role);
  return index < 0 ? undefined : terms[index];
}

function numberParameter(
  parameters: Readonly<Record<string, number | string>>,
  name: string,
): number | undefined {
  const value = parameters[name];
  return typeof value === 'number' && Number.isFinite(value) ? value : undefined;
}

/** Left-to-right sum: the order is part of the figure, so that evaluating again gives the same bits. */
function total(terms: readonly number[]): number {
  let sum = 0;
  for (const term of terms) sum += term;
  return sum;
}

function largest(terms: readonly number[]): number {
  let best = -Infinity;
  for (const term of terms) if (term > best) best = term;
  return best;
}

function smallest(terms: readonly number[]): number {
  let best = Infinity;
  for (const term of terms) if (term < best) best = term;
  return best;
}

function refuse(message: string, detail?: Record<string, unknown>): Result<never, CoreError> {
  return err(coreError('broken-explanation', message, detail ? { detail } : {}));
}
