import fc from 'fast-check';
import type { CarriedGoods, OpenTrip, TransferProblem } from '../../../api/core/central/index.ts';

// Small synthetic problems: a few trips over a few days, one or two goods in small containers.
const DAY = 24 * 60;

export const trip = (day: number, extra: Partial<OpenTrip> = {}): OpenTrip => ({
  id: `trip-${day}`,
  leaveDate: `2026-03-${String(10 + day).padStart(2, '0')}`,
  arriveDate: `2026-03-${String(10 + day).padStart(2, '0')}`,
  leaveMin: day * DAY + 7 * 60,
  arriveMin: day * DAY + 9 * 60,
  ...extra,
});

const optional = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: undefined });

type Known<T> = { [K in keyof T]?: Exclude<T[K], undefined> };

function withoutUndefined<T extends object>(value: T): Known<T> {
  return Object.fromEntries(Object.entries(value).filter(([, v]) => v !== undefined)) as Known<T>;
}

const trips = fc
  .uniqueArray(fc.integer({ min: 0, max: 5 }), { minLength: 1, maxLength: 3 })
  .chain((days) =>
    fc.tuple(
      ...[...days]
        .sort((a, b) => a - b)
        .map((day) =>
          fc
            .record({
              containerLimit: optional(fc.integer({ min: 1, max: 4 })),
              massLimitG: optional(fc.integer({ min: 2, max: 9 }).map((kg) => kg * 1000)),
              minimumContainers: optional(fc.integer({ min: 2, max: 3 })),
            })
            .map((limits) => trip(day, withoutUndefined(limits))),
        ),
    ),
  );

const goodsOf = (id: string, given: readonly OpenTrip[]): fc.Arbitrary<CarriedGoods> =>
  fc
    .record({
      containerQuantity: fc.integer({ min: 2, max: 6 }),
      containerMassG: fc.integer({ min: 1, max: 4 }).map((kg) => kg * 1000),
      batchQuantity: fc.integer({ min: 3, max: 12 }),
      keepsDays: fc.integer({ min: 1, max: 4 }),
      needs: fc.array(
        fc.record({
          day: fc.integer({ min: 0, max: 6 }),
          quantity: fc.integer({ min: 1, max: 9 }),
          hours: fc.integer({ min: 0, max: 10 }),
        }),
        { minLength: 1, maxLength: 4 },
      ),
      promise: optional(fc.integer({ min: 0, max: 8 })),
      notMade: fc.boolean(),
    })
    .map(({ keepsDays, needs, promise, notMade, ...rest }) => ({
      ...rest,
      id,
      name: id,
      needs: needs.map(({ day, quantity, hours }, i) => ({
        id: `${id}-need-${i}`,
        quantity,
        atMin: day * DAY + 12 * 60,
        untilMin: day * DAY + (12 + hours) * 60,
      })),
      keepsUntilMin: Object.fromEntries(
        given
          .slice(notMade ? 1 : 0)
          .map((one) => [one.id, one.leaveMin - 60 + keepsDays * DAY] as const),
      ),
      ...(promise === undefined
        ? {}
        : { mostOnTrip: Object.fromEntries(given.slice(-1).map((one) => [one.id, promise])) }),
    }));

export const transferProblem: fc.Arbitrary<TransferProblem> = trips.chain((given) =>
  fc
    .integer({ min: 1, max: 2 })
    .chain((count) =>
      fc.tuple(
        ...Array.from({ length: count }, (_, i) => goodsOf(i === 0 ? 'meringue' : 'paste', given)),
      ),
    )
    .map((goods) => ({ trips: given, goods })),
);
