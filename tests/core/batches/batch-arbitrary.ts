import fc from 'fast-check';
import type { BatchProblem } from '../../../api/core/batches/index.ts';

const DAY = 1440;

/** Synthetic small problems: whole-number costs and quantities, so that ties and sums are exact. */
export interface SmallProblemShape {
  /** Whether later slots may expire before earlier ones and services may end out of order. */
  readonly unordered: boolean;
}

/** Small batch problems over up to `days` days, with limits, minima, expiry and a replaced plan. */
export function smallProblem({ unordered }: SmallProblemShape): fc.Arbitrary<BatchProblem> {
  return fc
    .record({
      demand: fc.array(fc.integer({ min: 0, max: 14 }), { minLength: 1, maxLength: 5 }),
      serviceHour: fc.array(fc.constantFrom(0, 300, 700), { minLength: 5, maxLength: 5 }),
      length: fc.array(fc.constantFrom(0, 90, 2000), { minLength: 5, maxLength: 5 }),
      open: fc.array(fc.boolean(), { minLength: 5, maxLength: 5 }),
      room: fc.array(fc.option(fc.constantFrom(0.5, 1, 2, 3), { nil: undefined }), {
        minLength: 5,
        maxLength: 5,
      }),
      lifeDays: fc.integer({ min: 0, max: 4 }),
      lifeLess: fc.array(fc.integer({ min: 0, max: 3 }), { minLength: 5, maxLength: 5 }),
      batchQuantity: fc.constantFrom(3, 5, 8),
      minBatches: fc.constantFrom(0, 1, 2),
      maxBatches: fc.option(fc.constantFrom(2, 3), { nil: undefined }),
      multiple: fc.constantFrom(0.5, 1),
      setup: fc.constantFrom(0, 7, 40),
      setupOf: fc.array(fc.option(fc.constantFrom(3, 25), { nil: undefined }), {
        minLength: 5,
        maxLength: 5,
      }),
      waste: fc.constantFrom(0, 1, 6),
      holding: fc.constantFrom(0, 1),
      age: fc.constantFrom(0, 2),
      perBatch: fc.constantFrom(0, 4),
      lots: fc.array(
        fc.record({
          quantity: fc.integer({ min: 1, max: 9 }),
          from: fc.integer({ min: 0, max: 2 }),
          life: fc.integer({ min: 0, max: 5 }),
        }),
        { maxLength: 2 },
      ),
      endDays: fc.option(fc.integer({ min: 1, max: 6 }), { nil: undefined }),
      before: fc.option(fc.array(fc.constantFrom(0, 0, 1, 2), { minLength: 5, maxLength: 5 }), {
        nil: undefined,
      }),
    })
    .map((p): BatchProblem => {
      const slots = p.demand.flatMap((_, day) => {
        if (!p.open[day]) return [];
        const readyMin = day * DAY;
        const lessDays = unordered ? (p.lifeLess[day] ?? 0) : 0;
        const room = p.room[day];
        const setupCost = p.setupOf[day];
        return [
          {
            id: `s${day}`,
            startMin: readyMin - 200,
            readyMin,
            useByMin: readyMin + (p.lifeDays - lessDays) * DAY + 800,
            ...(room === undefined ? {} : { capacityBatches: room }),
            ...(setupCost === undefined ? {} : { setupCost }),
          },
        ];
      });
      const needs = p.demand.map((quantity, day) => {
        const atMin = day * DAY + (p.serviceHour[day] ?? 0);
        const untilMin = atMin + (unordered ? (p.length[day] ?? 0) : 60);
        return { id: `n${day}`, atMin, untilMin, quantity };
      });
      // Stock in order expires before anything new: the day before the first slot's own use-by.
      const lots = p.lots.map((lot, i) => ({
        id: `lot${i}`,
        quantity: lot.quantity,
        availableFromMin: unordered ? lot.from * DAY - 100 : -100,
        useByMin: unordered ? (lot.from + lot.life) * DAY : 750,
      }));
      return {
        lots: lots.slice(0, 1),
        frozenRuns: lots.slice(1).map(({ id, quantity, availableFromMin, useByMin }) => ({
          id,
          quantity,
          readyMin: availableFromMin,
          useByMin,
        })),
        component: { id: 'c', name: 'Component' },
        needs,
        slots,
        rule: {
          batchQuantity: p.batchQuantity,
          minBatches: p.minBatches,
          multiple: p.multiple,
          ...(p.maxBatches === undefined ? {} : { maxBatches: p.maxBatches }),
        },
        costs: {
          setup: p.setup,
          perUnitWaste: p.waste,
          holdingPerUnitPerDay: p.holding,
          agePenalty: p.age,
          perBatch: p.perBatch,
          endSurplusPerUnit: Math.min(p.waste, 1),
        },
        ...(p.endDays === undefined ? {} : { horizonEndMin: p.endDays * DAY }),
        ...(p.before === undefined
          ? {}
          : {
              previousRuns: slots
                .map((slot, i) => ({ slotId: slot.id, batches: p.before?.[i] ?? 0 }))
                .filter((run) => run.batches > 0),
              changePenalty: { perRun: 5, perBatch: 2 },
            }),
      };
    });
}
