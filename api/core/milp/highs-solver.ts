import type { Highs, ModelData } from 'highs';
import type { MilpLimits, MilpModel, MilpSolution, MilpSolver } from './milp-model.ts';

/** HiGHS model status codes that matter here (HiGHS C API, HighsModelStatus). */
const OPTIMAL = 7;
const INFEASIBLE = 8;
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
 */
export function highsSolver(load: HighsLoader = loadHighs): MilpSolver {
  let loaded: Promise<Highs> | undefined;
  return {
    solve: async (model, limits = {}) => {
      loaded ??= load();
      return solveOnce(await loaded, model, limits);
    },
  };
}

function solveOnce(highs: Highs, model: MilpModel, limits: MilpLimits): MilpSolution {
  if (model.variables.length === 0) return emptyModel(model);
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
    const { modelStatus } = native.run();
    const hasInteger = model.variables.some(({ integer }) => integer);
    if (modelStatus === INFEASIBLE) {
      return { status: 'infeasible', objective: Infinity, bound: Infinity, values: [] };
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
  return holds
    ? { status: 'optimal', objective: 0, bound: 0, values: [] }
    : { status: 'infeasible', objective: Infinity, bound: Infinity, values: [] };
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
