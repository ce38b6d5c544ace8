import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { permittedBatches, WHOLE_BATCHES } from '../../../api/core/explosion/index.ts';

describe('permitted batches', () => {
  it('are whole ones unless the recipe says otherwise', () => {
    expect(permittedBatches(WHOLE_BATCHES, 2.1)).toEqual({
      batches: 3,
      makings: [{ count: 1, batches: 3 }],
    });
    expect(permittedBatches(WHOLE_BATCHES, 3.0000000001).batches).toBe(3);
    expect(permittedBatches(WHOLE_BATCHES, 0)).toEqual({ batches: 0, makings: [] });
    expect(permittedBatches(WHOLE_BATCHES, -2)).toEqual({ batches: 0, makings: [] });
  });

  it('may be half ones, from a minimum up', () => {
    const halves = { stepBatches: 0.5, minimumBatches: 1.5 };
    expect(permittedBatches(halves, 0.2).batches).toBe(1.5);
    expect(permittedBatches(halves, 1.7).batches).toBe(2);
  });

  it('are split evenly where the oven holds less', () => {
    const oven = { stepBatches: 1, minimumBatches: 1, maximumBatches: 4 };
    expect(permittedBatches(oven, 9)).toEqual({ batches: 9, makings: [{ count: 3, batches: 3 }] });
    expect(permittedBatches(oven, 10)).toEqual({
      batches: 10,
      makings: [
        { count: 1, batches: 4 },
        { count: 2, batches: 3 },
      ],
    });
  });

  it('make more where two makings at the minimum are more than the need', () => {
    const narrow = { stepBatches: 1, minimumBatches: 3, maximumBatches: 4 };
    expect(permittedBatches(narrow, 5)).toEqual({
      batches: 6,
      makings: [{ count: 2, batches: 3 }],
    });
  });

  it('cover the need within the limits, and one step less would not do (property)', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(0.25, 0.5, 1, 6),
        fc.integer({ min: 1, max: 4 }),
        fc.integer({ min: 0, max: 5 }),
        fc.double({ min: 0.01, max: 500, noNaN: true }),
        (step, minSteps, extra, needed) => {
          const limits = {
            stepBatches: step,
            minimumBatches: minSteps * step,
            maximumBatches: (minSteps + extra) * step,
          };
          const { batches, makings } = permittedBatches(limits, needed);
          const count = makings.reduce((n, m) => n + m.count, 0);
          expect(makings.reduce((sum, m) => sum + m.count * m.batches, 0)).toBeCloseTo(batches, 9);
          expect(batches).toBeGreaterThanOrEqual(needed * (1 - 1e-8));
          for (const m of makings) {
            expect(m.batches).toBeGreaterThanOrEqual(limits.minimumBatches - 1e-9);
            expect(m.batches).toBeLessThanOrEqual(limits.maximumBatches + 1e-9);
          }
          expect(batches - step < needed || batches - step < count * limits.minimumBatches).toBe(
            true,
          );
        },
      ),
    );
  });
});
