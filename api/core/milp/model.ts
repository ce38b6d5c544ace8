import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';

/**
 * One decision. `lower` and `upper` are inclusive; leave `upper` out for no limit and
 * `lower` out for zero. `cost` is what one unit adds to the objective (zero when left out).
 */
export interface MilpVariable {
  readonly name: string;
  readonly lower?: number;
  readonly upper?: number;
  readonly integer?: boolean;
  readonly cost?: number;
}

/** lower <= sum(coefficient * variable) <= upper; leave a side out for no limit. */
export interface MilpConstraint {
  readonly name?: string;
  readonly terms: readonly (readonly [variable: string, coefficient: number])[];
  readonly lower?: number;
  readonly upper?: number;
}

/** A linear programme with whole-number variables. `minimise` is true when left out. */
export interface MilpModel {
  readonly variables: readonly MilpVariable[];
  readonly constraints: readonly MilpConstraint[];
  readonly minimise?: boolean;
}

/**
 * `timeLimitS` seconds of solver time (default 20); `relativeGap` at which an answer counts as
 * proven, 0..1 (default 0: to the last digit the solver can prove); `start` a known feasible
 * answer, whole or in part, which the solver improves on.
 */
export interface MilpOptions {
  readonly timeLimitS?: number;
  readonly relativeGap?: number;
  readonly start?: ReadonlyMap<string, number>;
}

/**
 * - `optimal`: proven within the asked gap
 * - `feasible`: a valid answer, stopped by the time limit before the proof
 * - `infeasible`, `unbounded`: proven, no values
 * - `limit`: the time ran out before any valid answer was found, no values
 */
export type MilpStatus = 'optimal' | 'feasible' | 'infeasible' | 'unbounded' | 'limit';

/**
 * `bound` is the proven limit of the objective (below it when minimising), `gap` the relative
 * distance |objective - bound| / |objective|; both null when unknown. `values` holds every
 * variable by name (whole-number ones exactly whole) when there is an answer, else it is empty.
 */
export interface MilpSolution {
  readonly status: MilpStatus;
  readonly objective: number | null;
  readonly bound: number | null;
  readonly gap: number | null;
  readonly values: ReadonlyMap<string, number>;
}

/** What the planning code needs from a solver, so that tests can give another one. */
export interface MilpSolver {
  solve(model: MilpModel, options?: MilpOptions): Promise<Result<MilpSolution>>;
}

/**
 * Checks a model before a solver sees it: distinct names, finite numbers, bounds in order and
 * every term naming a variable.
 *
 * @returns ok: the position of each variable by name
 *          error `out-of-range` naming the variable or constraint
 */
export function checkModel(model: MilpModel): Result<ReadonlyMap<string, number>> {
  const positions = new Map<string, number>();
  for (const [index, variable] of model.variables.entries()) {
    const { name, lower = 0, upper = Infinity, cost = 0 } = variable;
    const bad =
      positions.has(name) ||
      name === '' ||
      Number.isNaN(lower) ||
      Number.isNaN(upper) ||
      !Number.isFinite(cost) ||
      lower === Infinity ||
      upper === -Infinity;
    if (bad) {
      return err(
        coreError('out-of-range', `The variable "${name}" is not usable in a linear model.`, {
          path: ['variables', index],
          detail: { name, lower, upper, cost, repeated: positions.has(name) },
        }),
      );
    }
    positions.set(name, index);
  }
  for (const [index, row] of model.constraints.entries()) {
    const { lower = -Infinity, upper = Infinity } = row;
    const badTerm = row.terms.find(([name, k]) => !positions.has(name) || !Number.isFinite(k));
    if (badTerm || Number.isNaN(lower) || Number.isNaN(upper)) {
      return err(
        coreError('out-of-range', 'A constraint of the linear model is not usable.', {
          path: ['constraints', index],
          detail: { name: row.name ?? index, lower, upper, term: badTerm ?? null },
        }),
      );
    }
  }
  return ok(positions);
}
