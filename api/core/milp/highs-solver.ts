import highsModule from 'highs';
import type { Highs, Model, ModelData } from 'highs';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import { checkModel } from './model.ts';
import type { MilpModel, MilpOptions, MilpSolution, MilpSolver } from './model.ts';

// The package's types describe its CommonJS shape; Node gives its ES module, whose default export
// is the loader itself.
const loadHighs = highsModule as unknown as typeof highsModule.default;

const EMPTY: ReadonlyMap<string, number> = new Map();
const DEFAULT_TIME_LIMIT_S = 20;

/** Crossing bounds prove infeasibility; the native model would refuse them as an error instead. */
function boundsCross(model: MilpModel): boolean {
  return (
    model.variables.some((v) => {
      const lower = v.lower ?? 0;
      const upper = v.upper ?? Infinity;
      return v.integer ? Math.ceil(lower - 1e-9) > Math.floor(upper + 1e-9) : lower > upper;
    }) || model.constraints.some((c) => (c.lower ?? -Infinity) > (c.upper ?? Infinity))
  );
}

/** Row-wise sparse form. Repeated terms are added up: the native model refuses duplicates. */
function toSparse(
  model: MilpModel,
  positions: ReadonlyMap<string, number>,
  highs: Highs,
): ModelData {
  const starts = [0];
  const indices: number[] = [];
  const values: number[] = [];
  for (const row of model.constraints) {
    const sums = new Map<number, number>();
    for (const [name, coefficient] of row.terms) {
      const column = positions.get(name) ?? 0;
      sums.set(column, (sums.get(column) ?? 0) + coefficient);
    }
    for (const [column, coefficient] of sums) {
      if (coefficient === 0) continue;
      indices.push(column);
      values.push(coefficient);
    }
    starts.push(indices.length);
  }
  const { minimize, maximize } = highs.constants.objectiveSense;
  const { integer, continuous } = highs.constants.variableType;
  const numCols = model.variables.length;
  const numRows = model.constraints.length;
  return {
    numCols,
    numRows,
    sense: model.minimise === false ? maximize : minimize,
    colCost: model.variables.map((v) => v.cost ?? 0),
    colLower: model.variables.map((v) => v.lower ?? 0),
    colUpper: model.variables.map((v) => v.upper ?? Infinity),
    rowLower: model.constraints.map((c) => c.lower ?? -Infinity),
    rowUpper: model.constraints.map((c) => c.upper ?? Infinity),
    matrix: { format: 'csr', numRows, numCols, starts, indices, values },
    integrality: model.variables.map((v) => (v.integer ? integer : continuous)),
  };
}

/** `-0` and `2.9999999996` are solver noise; whole-number variables come back whole. */
function readValues(model: MilpModel, columns: ArrayLike<number>): ReadonlyMap<string, number> {
  return new Map(
    model.variables.map((variable, index) => {
      const raw = columns[index] ?? 0;
      return [variable.name, (variable.integer ? Math.round(raw) : raw) + 0];
    }),
  );
}

function relativeGap(objective: number, bound: number): number {
  const distance = Math.abs(objective - bound);
  return distance <= 1e-9 ? 0 : distance / Math.max(Math.abs(objective), 1e-9);
}

function readOutcome(highs: Highs, model: MilpModel, native: Model): Result<MilpSolution> {
  const code = native.getModelStatus();
  const statuses = highs.constants.modelStatus;
  const none = (status: MilpSolution['status']): Result<MilpSolution> =>
    ok({ status, objective: null, bound: null, gap: null, values: EMPTY });
  if (code === statuses.infeasible) return none('infeasible');
  if (code === statuses.unbounded) return none('unbounded');
  const hasAnswer = Number(native.info.get('primal_solution_status')) === 2;
  const stopped =
    code === statuses.timeLimit ||
    code === statuses.iterationLimit ||
    code === statuses.solutionLimit ||
    code === statuses.interrupted;
  if (!hasAnswer && stopped) return none('limit');
  if (!hasAnswer || (code !== statuses.optimal && !stopped)) {
    return err(
      coreError('solver-failed', 'The optimiser ended without an answer.', {
        detail: { statusCode: code },
      }),
    );
  }
  const objective = native.getObjectiveValue();
  const whole = model.variables.some((v) => v.integer);
  const nativeBound = whole ? Number(native.info.get('mip_dual_bound')) : objective;
  const proven = code === statuses.optimal || whole;
  const bound = proven && Number.isFinite(nativeBound) ? nativeBound : null;
  return ok({
    status: code === statuses.optimal ? 'optimal' : 'feasible',
    objective,
    bound,
    gap: bound === null ? null : relativeGap(objective, bound),
    values: readValues(model, native.getSolution().colValue),
  });
}

function runOnce(
  highs: Highs,
  model: MilpModel,
  positions: ReadonlyMap<string, number>,
  options: MilpOptions,
): Result<MilpSolution> {
  const data = toSparse(model, positions, highs);
  const native = highs.createModel(data);
  const solveWith = (presolve: 'choose' | 'off'): void => {
    native.options.set({
      output_flag: false,
      presolve,
      time_limit: options.timeLimitS ?? DEFAULT_TIME_LIMIT_S,
      mip_rel_gap: options.relativeGap ?? 0,
      random_seed: 0,
    });
    if (options.start && options.start.size > 0) {
      const known = [...options.start].filter(([name]) => positions.has(name));
      native.setSolution({
        indices: known.map(([name]) => positions.get(name) ?? 0),
        values: known.map(([, value]) => value),
      });
    }
    native.run();
  };
  try {
    solveWith('choose');
    // Presolve may not tell the two apart; without it the answer is one or the other.
    if (native.getModelStatus() === highs.constants.modelStatus.unboundedOrInfeasible) {
      native.clearSolver();
      solveWith('off');
    }
    return readOutcome(highs, model, native);
  } finally {
    native.dispose();
  }
}

/**
 * Mixed-integer linear programmes by HiGHS (simplex, branch and cut), compiled to WebAssembly and
 * run inside this process. The runtime is loaded at the first call and reused; after a native
 * fault it is thrown away, because a trapped WebAssembly instance cannot be trusted again, and
 * the call is tried once more on a fresh one.
 *
 * The answer is deterministic for equal input unless the time limit stops it. A call blocks the
 * thread while it runs, at most about `timeLimitS`.
 *
 * Errors: `out-of-range` for a model that is not well formed, `solver-failed` when the native
 * solver gives up twice.
 *
 * Source: Huangfu & Hall, "Parallelizing the dual revised simplex method", Mathematical
 * Programming Computation 10 (2018), 119-142.
 */
export function createHighsSolver(): MilpSolver {
  let runtime: Promise<Highs> | null = null;

  return {
    async solve(model, options = {}) {
      const positions = checkModel(model);
      if (!positions.ok) return positions;
      const { timeLimitS = DEFAULT_TIME_LIMIT_S, relativeGap: gap = 0 } = options;
      if (!(timeLimitS > 0) || !(gap >= 0)) {
        return err(
          coreError(
            'out-of-range',
            'The time limit must be above zero and the gap at least zero.',
            {
              detail: { timeLimitS, relativeGap: gap },
            },
          ),
        );
      }
      if (boundsCross(model)) {
        return ok({ status: 'infeasible', objective: null, bound: null, gap: null, values: EMPTY });
      }
      if (model.variables.length === 0) {
        const possible = model.constraints.every(
          (c) => (c.lower ?? -Infinity) <= 0 && (c.upper ?? Infinity) >= 0,
        );
        return possible
          ? ok({ status: 'optimal', objective: 0, bound: 0, gap: 0, values: EMPTY })
          : ok({ status: 'infeasible', objective: null, bound: null, gap: null, values: EMPTY });
      }
      let fault: unknown = null;
      for (let attempt = 0; attempt < 2; attempt += 1) {
        runtime ??= loadHighs();
        try {
          return runOnce(await runtime, model, positions.value, options);
        } catch (thrown) {
          fault = thrown;
          runtime = null;
        }
      }
      return err(
        coreError('solver-failed', 'The optimiser failed on this model.', {
          detail: { reason: fault instanceof Error ? fault.message : String(fault) },
        }),
      );
    },
  };
}
