import { describe, expect, it } from 'vitest';
import { highsSolver, milpBuilder } from '../../../api/core/milp/index.ts';
import type { MilpModel } from '../../../api/core/milp/index.ts';

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
    const lazy = highsSolver(() => {
      loads += 1;
      return Promise.reject(new Error('no module here'));
    });
    expect(loads).toBe(0);
    await expect(lazy.solve(knapsack([1], [1], 1))).rejects.toThrow('no module here');
    await expect(lazy.solve(knapsack([1], [1], 0))).rejects.toThrow('no module here');
    expect(loads).toBe(1);
  });
});
