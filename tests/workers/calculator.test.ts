import { afterEach, describe, expect, it } from 'vitest';
import { highsSolver, milpBuilder } from '../../api/core/milp/index.ts';
import { planSite } from '../../api/core/planning/index.ts';
import { startCalculator, type Calculator } from '../../api/workers/calculator.ts';
import { planInput, service } from '../core/planning/lake-scenario.ts';

let calculator: Calculator | null = null;
afterEach(async () => {
  await calculator?.stop();
  calculator = null;
});

const input = () =>
  planInput([service('2026-03-10', 'Dinner', 50, [{ dishId: 'tart', share: 0.4 }])]);

describe('a computing thread', () => {
  it('gives the plan that is computed here, to the last figure', async () => {
    calculator = startCalculator(1);
    expect(await calculator.planSite(input())).toEqual(planSite(input()));
  });

  it('leaves the thread that asks free while it computes', async () => {
    calculator = startCalculator(1);
    await calculator.planSite(input());
    let turns = 0;
    const counting = setInterval(() => (turns += 1), 1);
    await Promise.all(Array.from({ length: 20 }, () => calculator?.planSite(input())));
    clearInterval(counting);
    expect(turns).toBeGreaterThan(2);
  });

  it('solves a model as the solver here does', async () => {
    calculator = startCalculator(2);
    const model = knapsack();
    const there = await Promise.all([
      calculator.solver.solve(model),
      calculator.solver.solve(model),
    ]);
    const here = await highsSolver().solve(model);
    expect(there).toEqual([here, here]);
    expect(here.status).toBe('optimal');
  });

  it('hands a fault on, and works on', async () => {
    calculator = startCalculator(1);
    const broken = { ...input(), services: null } as unknown as ReturnType<typeof input>;
    await expect(calculator.planSite(broken)).rejects.toThrow();
    expect((await calculator.planSite(input())).ok).toBe(true);
  });

  it('refuses what waits when it is stopped', async () => {
    calculator = startCalculator(1);
    const waiting = expect(calculator.planSite(input())).rejects.toThrow('is stopping');
    await calculator.stop();
    await waiting;
    await expect(calculator.planSite(input())).rejects.toThrow('The service is stopping.');
  });
});

/** Three things of worth 5, 4 and 3 and weight 4, 3 and 2 in a sack that bears 5: 4 + 3 is best. */
function knapsack() {
  const builder = milpBuilder();
  const things = [
    [5, 4],
    [4, 3],
    [3, 2],
  ] as const;
  const terms = things.map(([worth, weight], i) => {
    const variable = builder.addVariable({
      name: `thing ${i}`,
      cost: -worth,
      lower: 0,
      upper: 1,
      integer: true,
    });
    return [variable, weight] as const;
  });
  builder.addRow({ name: 'weight', terms, lower: -Infinity, upper: 5 });
  return builder.build();
}
