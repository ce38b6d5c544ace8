/** One unknown of a model. `upper` may be Infinity. */
export interface MilpVariable {
  readonly name: string;
  /** Cost per unit of the variable, in the objective's unit. */
  readonly cost: number;
  readonly lower: number;
  readonly upper: number;
  readonly integer: boolean;
}

/** One row: lower ≤ Σ coefficient · variable ≤ upper. Either bound may be infinite. */
export interface MilpRow {
  readonly name: string;
  /** Pairs of variable index and coefficient; an index at most once. */
  readonly terms: readonly (readonly [variable: number, coefficient: number])[];
  readonly lower: number;
  readonly upper: number;
}

/** A mixed-integer linear model to be minimised. */
export interface MilpModel {
  readonly variables: readonly MilpVariable[];
  readonly rows: readonly MilpRow[];
}

export interface MilpLimits {
  /** Stop when (objective − bound) / |objective| is at most this; 0 asks for the proven optimum. */
  readonly relativeGap?: number;
  /** Most branch-and-bound nodes: the limit that keeps answers the same from run to run. */
  readonly maxNodes?: number;
  /** Wall-clock stop, seconds: a safety net, not meant to bite. */
  readonly timeLimitS?: number;
  /** A feasible answer to start from: variable index to value; the solver completes the rest. */
  readonly start?: ReadonlyMap<number, number>;
}

/**
 * `optimal`: proven within the gap asked for. `feasible`: an answer, stopped by a limit.
 * `infeasible`: proven to have none. `none`: stopped by a limit, or unbounded, with no answer.
 */
export type MilpStatus = 'optimal' | 'feasible' | 'infeasible' | 'none';

export interface MilpSolution {
  readonly status: MilpStatus;
  /** Cost of `values`; Infinity when there are none. */
  readonly objective: number;
  /** Proven lower bound of any answer's cost; −Infinity when none is proven. */
  readonly bound: number;
  /** One value per variable, integers rounded; empty when there is no answer. */
  readonly values: readonly number[];
}

/** The port a plan solves its models through; `highsSolver` is the one we ship. */
export interface MilpSolver {
  solve(model: MilpModel, limits?: MilpLimits): Promise<MilpSolution>;
}
