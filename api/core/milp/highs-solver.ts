import type { Highs, ModelData } from 'highs';
import type { MilpLimits, MilpModel, MilpSolution, MilpSolver } from './milp-model.ts';

/** HiGHS model status codes that matter here (HiGHS C API, HighsModelStatus). */
const OPTIMAL = 7;
const INFEASIBLE = 8;
const UNBOUNDED_OR_INFEASIBLE = 9;
const UNBOUNDED = 10;
const FEASIBLE_SOLUTION = 2;

/** Brings a ready HiGHS module. */
export type HighsLoader = () => Promise<Highs>;

/**
 * Loads the `highs` package when first asked. Its types describe the CommonJS build, where the loader
 * sits one `default` deeper than in the ES module that Node really loads; hence the narrowing here.
 */
const loadHighs: HighsLoader = async () => {
  const { default: found } = (await import('highs')) as { default: unknown };
  if (typeof found !== 'function') throw new TypeError('The highs package has no loader');
  return (found as HighsLoader)();
};

/**
 * The mixed-integer solver HiGHS (compiled to WebAssembly) behind the port.
 *
 * @param load brings the WebAssembly module, once, at the first model; the `highs` package itself
 *             unless another is given (a precompiled module, a counting one in tests)
 * @returns a solver; every model gets its own native instance, so models never see one another
 *
 * A WebAssembly module that has trapped cannot be trusted again: after any failure the module is
 * dropped, and the model is tried once more on a fresh one. A failed load is not kept either.
 */
export function highsSolver(load: HighsLoader = loadHighs): MilpSolver {
  let loaded: Promise<Highs> | undefined;
  const attempt = async (model: MilpModel, limits: MilpLimits): Promise<MilpSolution> => {
    loaded ??= load();
    try {
      return solveOnce(await loaded, model, limits);
    } catch (fault) {
      loaded = undefined;
      throw fault;
    }
  };
  return {
    solve: async (model, limits = {}) => {
      if (model.variables.length === 0) return emptyModel(model);
      if (boundsCross(model)) return INFEASIBLE_ANSWER;
      try {
        return await attempt(model, limits);
      } catch (fault) {
        if (isTrap(fault)) return attempt(model, limits);
        throw fault;
      }
    },
  };
}

/** A fault of the WebAssembly machine (out of memory, unreachable code), not of the model. */
function isTrap(fault: unknown): boolean {
  return fault instanceof Error && fault.name === 'RuntimeError';
}

const INFEASIBLE_ANSWER: MilpSolution = {
  status: 'infeasible',
  objective: Infinity,
  bound: Infinity,
  values: [],
};

/** Bounds that cross are a proof by themselves; the native model would refuse them as an error. */
function boundsCross(model: MilpModel): boolean {
  const crossed = model.variables.some(({ lower, upper, integer }) =>
    integer ? Math.ceil(lower - 1e-9) > Math.floor(upper + 1e-9) : lower > upper,
  );
  return crossed || model.rows.some(({ lower, upper }) => lower > upper);
}

function solveOnce(highs: Highs, model: MilpModel, limits: MilpLimits): MilpSolution {
  return highs.withModel(modelData(model), (native): MilpSolution => {
    native.options.set({
      output_flag: false,
      random_seed: 0,
      mip_rel_gap: limits.relativeGap ?? 0,
      mip_abs_gap: 1e-7,
      mip_feasibility_tolerance: 1e-7,
      ...(limits.maxNodes === undefined ? {} : { mip_max_nodes: limits.maxNodes }),
      ...(limits.timeLimitS === undefined ? {} : { time_limit: limits.timeLimitS }),
    });
    if (limits.start !== undefined && limits.start.size > 0) {
      const entries = [...limits.start];
      native.setSolution({
        indices: entries.map(([variable]) => variable),
        values: entries.map(([, value]) => value),
      });
    }
    let { modelStatus } = native.run();
    if (modelStatus === UNBOUNDED_OR_INFEASIBLE) {
      // Presolve may not tell the two apart; without it the answer is one or the other.
      native.clearSolver();
      native.options.set('presolve', 'off');
      ({ modelStatus } = native.run());
    }
    const hasInteger = model.variables.some(({ integer }) => integer);
    if (modelStatus === INFEASIBLE) return INFEASIBLE_ANSWER;
    if (modelStatus === UNBOUNDED) {
      // It hands out the point its ray starts from, which is no answer to the question asked.
      return { status: 'none', objective: Infinity, bound: -Infinity, values: [] };
    }
    const bound = (): number => Number(native.info.get('mip_dual_bound'));
    if (Number(native.info.get('primal_solution_status')) !== FEASIBLE_SOLUTION) {
      const proven = hasInteger ? bound() : -Infinity;
      return { status: 'none', objective: Infinity, bound: proven, values: [] };
    }
    const objective = native.getObjectiveValue();
    const optimal = modelStatus === OPTIMAL;
    return {
      status: optimal ? 'optimal' : 'feasible',
      objective,
      bound: hasInteger ? Math.min(bound(), objective) : optimal ? objective : -Infinity,
      values: rounded(model, native.getSolution().colValue),
    };
  });
}

/** Integers come back with float dust; everything else is left as the solver gave it. */
function rounded(model: MilpModel, values: Float64Array): number[] {
  return model.variables.map(({ integer }, index) => {
    const value = values[index] ?? 0;
    return integer ? Math.round(value) + 0 : value;
  });
}

function emptyModel(model: MilpModel): MilpSolution {
  const holds = model.rows.every(({ lower, upper }) => lower <= 0 && upper >= 0);
  return holds ? { status: 'optimal', objective: 0, bound: 0, values: [] } : INFEASIBLE_ANSWER;
}

function modelData(model: MilpModel): ModelData {
  const starts = [0];
  const indices: number[] = [];
  const values: number[] = [];
  for (const row of model.rows) {
    for (const [variable, coefficient] of row.terms) {
      indices.push(variable);
      values.push(coefficient);
    }
    starts.push(indices.length);
  }
  const { variables, rows } = model;
  return {
    numCols: variables.length,
    numRows: rows.length,
    colCost: variables.map(({ cost }) => cost),
    colLower: variables.map(({ lower }) => lower),
    colUpper: variables.map(({ upper }) => upper),
    rowLower: rows.map(({ lower }) => lower),
    rowUpper: rows.map(({ upper }) => upper),
    integrality: variables.map(({ integer }) => (integer ? 1 : 0)),
    matrix: {
      format: 'csr',
      numRows: rows.length,
      numCols: variables.length,
      starts,
      indices,
      values,
    },
  };
}
