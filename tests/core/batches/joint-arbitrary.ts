import fc from 'fast-check';
import type { BatchProblem, JointComponent } from '../../../api/core/batches/index.ts';

const DAYS = [0, 1, 2, 3];
const DAY = 1440;

/** One chance a day, ready in `hours`; what is made keeps to the end of its last day. */
const level = (startHour: number, readyHour: number) =>
  fc
    .record({
      needs: fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 4, maxLength: 4 }),
      lifeDays: fc.constantFrom(0, 1, 2),
      batchQuantity: fc.constantFrom(3, 5, 8),
      minBatches: fc.constantFrom(1, 2),
      setup: fc.constantFrom(7, 40),
      waste: fc.constantFrom(1, 6),
      lot: fc.integer({ min: -9, max: 9 }),
    })
    .map(({ needs, lifeDays, batchQuantity, minBatches, setup, waste, lot }): BatchProblem => ({
      needs: needs.flatMap((quantity, day) => {
        const atMin = day * DAY + 1200;
        return day === 0 ? [] : [{ id: `n${day}`, atMin, untilMin: atMin, quantity }];
      }),
      slots: DAYS.map((day) => ({
        id: `s${day}`,
        startMin: day * DAY + startHour * 60,
        readyMin: day * DAY + readyHour * 60,
        useByMin: (day + lifeDays) * DAY + 1300,
      })),
      rule: { batchQuantity, minBatches, multiple: 1 },
      costs: { setup, perUnitWaste: waste, holdingPerUnitPerDay: 1, agePenalty: 0 },
      lots: lot > 0 ? [{ id: 'lot', quantity: lot, availableFromMin: 0, useByMin: 2 * DAY }] : [],
    }));

/** A filling with needs of its own, and a base that goes into it and on one plate besides. */
export const twoLevels = fc
  .tuple(level(10, 14), level(6, 9), fc.constantFrom(0.3, 0.5, 1), fc.boolean())
  .map(([top, below, perUnit, limitsShelfLife]): JointComponent[] => [
    named(top, 'filling', [{ componentId: 'base', perUnit, limitsShelfLife }]),
    named({ ...below, needs: below.needs.slice(0, 1) }, 'base', []),
  ]);

function named(
  problem: BatchProblem,
  id: string,
  inputs: NonNullable<JointComponent['inputs']>,
): JointComponent {
  return { ...problem, component: { id, name: id }, inputs };
}
