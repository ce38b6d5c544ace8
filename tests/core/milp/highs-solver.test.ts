import { describe, expect, it } from 'vitest';
import { highsSolver, milpBuilder } from '../../../api/core/milp/index.ts';
import type { HighsLoader, MilpModel } from '../../../api/core/milp/index.ts';

const solver = highsSolver();

/** max Σ value·x, Σ weight·x ≤ capacity, x ∈ {0,1}, written as a minimisation. */
function knapsack(
  values: readonly number[],
  weights: readonly number[],
  capacity: number,
): MilpModel {
  const model = milpBuilder();
  const vars = values.map((value, i) =>
    model.addVariable({ name: `x${i}`, cost: -value, lower: 0, upper: 1, integer: true }),
  );
  model.addRow({
    name: 'capacity',
    terms: vars.map((v, i) => [v, weights[i] ?? 0] as const),
    lower: -Infinity,
    upper: capacity,
  });
  return model.build();
}

describe('highsSolver', () => {
  it('solves the 0/1 knapsack data set P01 to its published optimum', async () => {
    // Kreher & Stinson, Combinatorial Algorithms: P01, optimum 309 with 1111010000 (from memory).
    const answer = await solver.solve(
      knapsack(
        [92, 57, 49, 68, 60, 43, 67, 84, 87, 72],
        [23, 31, 29, 44, 53, 38, 63, 85, 89, 82],
        165,
      ),
    );
    expect(answer.status).toBe('optimal');
    expect(answer.objective).toBeCloseTo(-309, 6);
    expect(answer.bound).toBeCloseTo(-309, 6);
    expect(answer.values).toEqual([1, 1, 1, 1, 0, 1, 0, 0, 0, 0]);
  });

  it('says infeasible when nothing satisfies the rows', async () => {
    const model = milpBuilder();
    const x = model.addVariable({ name: 'x', cost: 1, lower: 0, upper: 10, integer: true });
    model.addRow({ name: 'between', terms: [[x, 2]], lower: 3, upper: 3 });
    expect((await solver.solve(model.build())).status).toBe('infeasible');
    expect(
      (await solver.solve({ variables: [], rows: [{ name: 'r', terms: [], lower: 1, upper: 2 }] }))
        .status,
    ).toBe('infeasible');
  });

  it('solves a continuous model and a model without unknowns', async () => {
    const model = milpBuilder();
    const x = model.addVariable({ name: 'x', cost: 2, lower: 0, upper: Infinity, integer: false });
    model.addRow({ name: 'need', terms: [[x, 1]], lower: 1.5, upper: Infinity });
    const answer = await solver.solve(model.build());
    expect(answer.objective).toBeCloseTo(3, 9);
    expect(answer.bound).toBeCloseTo(3, 9);
    expect(await solver.solve({ variables: [], rows: [] })).toMatchObject({
      status: 'optimal',
      objective: 0,
    });
  });

  it('is never worse than the start it was given', async () => {
    const model = knapsack([10, 7, 5], [6, 5, 4], 9);
    const answer = await solver.solve(model, {
      start: new Map([
        [0, 0],
        [1, 1],
        [2, 1],
      ]),
      maxNodes: 0,
    });
    expect(answer.objective).toBeLessThanOrEqual(-12);
    expect(answer.bound).toBeLessThanOrEqual(answer.objective + 1e-6);
  });

  it('loads the solver once and only when first asked', async () => {
    let loads = 0;
    const counting = highsSolver(async () => {
      loads += 1;
      const { default: found } = (await import('highs')) as { default: unknown };
      return (found as HighsLoader)();
    });
    expect(loads).toBe(0);
    await counting.solve(knapsack([1], [1], 1));
    await counting.solve(knapsack([2], [1], 1));
    expect(loads).toBe(1);
  });

  it('tries once more on a fresh module after a trap, and never keeps a failed load', async () => {
    let loads = 0;
    const trap = Object.assign(new Error('unreachable'), { name: 'RuntimeError' });
    const flaky = highsSolver(async () => {
      loads += 1;
      const { default: found } = (await import('highs')) as { default: unknown };
      const highs = await (found as HighsLoader)();
      const broken = {
        ...highs,
        withModel: (): never => {
          throw trap;
        },
      };
      return loads === 1 ? broken : highs;
    });
    expect((await flaky.solve(knapsack([3], [1], 1))).objective).toBeCloseTo(-3, 6);
    expect(loads).toBe(2);
    let tries = 0;
    const absent = highsSolver(() => {
      tries += 1;
      return Promise.reject(new Error('no module here'));
    });
    await expect(absent.solve(knapsack([1], [1], 1))).rejects.toThrow('no module here');
    await expect(absent.solve(knapsack([1], [1], 0))).rejects.toThrow('no module here');
    expect(tries).toBe(2);
  });

  it('takes crossing bounds as a proof and tells unbounded from infeasible', async () => {
    const variable = { name: 'x', cost: -1, lower: 0, upper: Infinity, integer: true };
    const solve = (changes: Partial<typeof variable>, rows: MilpModel['rows'] = []) =>
      solver.solve({ variables: [{ ...variable, ...changes }], rows });
    expect((await solve({ lower: 2, upper: 1 })).status).toBe('infeasible');
    expect((await solve({ lower: 0.2, upper: 0.8 })).status).toBe('infeasible');
    const crossed = { name: 'r', terms: [[0, 1]] as const, lower: 3, upper: 2 };
    expect((await solve({}, [crossed])).status).toBe('infeasible');
    const open = { name: 'r', terms: [[0, 1]] as const, lower: 1, upper: Infinity };
    expect(await solve({}, [open])).toMatchObject({ status: 'none', values: [] });
  });
});
