import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ModelAim } from '../../../api/core/batches/component-rows.ts';
import { jointModel } from '../../../api/core/batches/joint-model.ts';
import type { JointComponent } from '../../../api/core/batches/index.ts';
import { slotWindows } from '../../../api/core/batches/slot-windows.ts';
import { highsSolver } from '../../../api/core/milp/index.ts';
import type { MilpModel } from '../../../api/core/milp/index.ts';
import { twoLevels } from './joint-arbitrary.ts';

const solver = highsSolver();
const AIM: ModelAim = { minimise: 'cost', mostShort: 0, firstExpiringFirst: false };
const IMPLIED = /in stretch|run for/;

const without = ({ rows, variables }: MilpModel): MilpModel => ({
  variables,
  rows: rows.filter(({ name }) => !IMPLIED.test(name)),
});
const relaxed = ({ rows, variables }: MilpModel): MilpModel => ({
  rows,
  variables: variables.map((variable) => ({ ...variable, integer: false })),
});

describe('what stretches of slots must make', () => {
  it('cuts off no plan of whole steps, and raises the relaxation', async () => {
    let solvable = 0;
    let raised = 0;
    await fc.assert(
      fc.asyncProperty(twoLevels, async (components) => {
        const { model } = jointModel(components, [], AIM);
        const plain = without(model);
        const [all, few] = [
          await solver.solve(model, { relativeGap: 0 }),
          await solver.solve(plain, { relativeGap: 0 }),
        ];
        expect(all.status).toBe(few.status);
        if (few.status !== 'optimal') return;
        solvable += 1;
        expect(all.objective).toBeCloseTo(few.objective, 4);
        const [high, low] = [
          await solver.solve(relaxed(model)),
          await solver.solve(relaxed(plain)),
        ];
        expect(high.objective).toBeGreaterThanOrEqual(low.objective - 1e-6);
        expect(high.objective).toBeLessThanOrEqual(few.objective + 1e-4);
        if (high.objective > low.objective + 1e-4) raised += 1;
      }),
      { numRuns: 120, seed: 26_112_026 },
    );
    expect(solvable).toBeGreaterThan(60);
    expect(raised).toBeGreaterThan(solvable / 4);
  });

  it('are carried down in whole steps of the level above', () => {
    const day = (n: number) => n * 1440;
    const slot = (id: string, n: number) => ({
      id,
      startMin: day(n),
      readyMin: day(n) + 60,
      useByMin: day(n) + 1440,
    });
    const costs = { setup: 20, perUnitWaste: 1, holdingPerUnitPerDay: 0, agePenalty: 0 };
    const need = { id: 'n', atMin: day(1) + 600, untilMin: day(1) + 600, quantity: 5 };
    const windows = slotWindows([
      {
        component: { id: 'shells', name: 'Shells' },
        needs: [need],
        rule: { batchQuantity: 12, minBatches: 1, multiple: 1 },
        slots: [slot('s1', 1)],
        costs,
        inputs: [{ componentId: 'paste', perUnit: 30 }],
      },
      {
        component: { id: 'paste', name: 'Paste' },
        needs: [],
        rule: { batchQuantity: 200, minBatches: 1, multiple: 1 },
        slots: [slot('p0', 0), slot('p1', 1)],
        costs,
      },
    ]);
    // Five shells are a batch of twelve: 360 g of paste are two batches of 200 g, and 150 g were one.
    expect(windows.get('paste')).toEqual([
      { slotIds: ['p0'], steps: 2, shortest: true, addedUp: false },
    ]);
  });

  it('ask for nothing that stock or a shortage of runs could be', async () => {
    await fc.assert(
      fc.asyncProperty(twoLevels, async ([top, base]) => {
        if (!top || !base) return;
        const baseless: JointComponent[] = [top, { ...base, needs: [], lots: [], slots: [] }];
        const plain = await solver.solve(jointModel([{ ...top, inputs: [] }], [], AIM).model);
        const runsShort = new Map([['base', 1e4]]);
        const short = await solver.solve(jointModel(baseless, [], { ...AIM, runsShort }).model);
        expect(short.status).toBe(plain.status);
        if (plain.status === 'optimal') expect(short.objective).toBeCloseTo(plain.objective, 4);
      }),
      { numRuns: 60, seed: 5 },
    );
  });
});
