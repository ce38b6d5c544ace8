import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createHighsSolver } from '../../../api/core/milp/index.ts';
import type { MilpModel } from '../../../api/core/milp/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const solver = createHighsSolver();

describe('HiGHS solver', () => {
  it('finds the least cost whole packs of a small covering problem', async () => {
    const answer = unwrap(
      await solver.solve({
        variables: [
          { name: 'p12', integer: true, cost: 7 },
          { name: 'p25', integer: true, cost: 13 },
          { name: 'p4', integer: true, cost: 2.6 },
        ],
        constraints: [
          {
            terms: [
              ['p12', 12],
              ['p25', 25],
              ['p4', 4],
            ],
            lower: 61,
          },
        ],
      }),
    );
    expect(answer.status).toBe('optimal');
    expect(answer.objective).toBeCloseTo(33, 9);
    expect(answer.bound).toBeCloseTo(33, 6);
    expect(answer.gap).toBe(0);
    expect(Object.fromEntries(answer.values)).toEqual({ p12: 1, p25: 2, p4: 0 });
  });

  it('says infeasible, unbounded and limit apart', async () => {
    const x = { name: 'x', integer: true, cost: 1, upper: 3 } as const;
    const tooMuch: MilpModel = { variables: [x], constraints: [{ terms: [['x', 2]], lower: 7 }] };
    expect(unwrap(await solver.solve(tooMuch)).status).toBe('infeasible');
    const crossed: MilpModel = {
      variables: [{ name: 'x', lower: 2, upper: 1 }],
      constraints: [],
    };
    expect(unwrap(await solver.solve(crossed)).status).toBe('infeasible');
    const noWhole: MilpModel = {
      variables: [{ name: 'x', lower: 0.2, upper: 0.8, integer: true }],
      constraints: [],
    };
    expect(unwrap(await solver.solve(noWhole)).status).toBe('infeasible');
    const open: MilpModel = {
      variables: [{ name: 'x', cost: -1 }],
      constraints: [{ terms: [['x', 1]], lower: 1 }],
    };
    expect(unwrap(await solver.solve(open)).status).toBe('unbounded');
  });

  it('maximises, adds repeated terms and takes an empty model', async () => {
    const twice = unwrap(
      await solver.solve({
        minimise: false,
        variables: [{ name: 'x', cost: 1 }],
        constraints: [
          {
            terms: [
              ['x', 1],
              ['x', 1],
            ],
            upper: 10,
          },
        ],
      }),
    );
    expect(twice.objective).toBeCloseTo(5, 9);
    expect(unwrap(await solver.solve({ variables: [], constraints: [] })).objective).toBe(0);
    const impossible = await solver.solve({
      variables: [],
      constraints: [{ terms: [], lower: 1 }],
    });
    expect(unwrap(impossible).status).toBe('infeasible');
  });

  it('keeps a known answer when it starts from one', async () => {
    const model: MilpModel = {
      variables: [
        { name: 'a', integer: true, cost: 3 },
        { name: 'b', integer: true, cost: 5 },
      ],
      constraints: [
        {
          terms: [
            ['a', 2],
            ['b', 4],
          ],
          lower: 9,
        },
      ],
    };
    const start = new Map([
      ['a', 5],
      ['b', 0],
    ]);
    expect(unwrap(await solver.solve(model, { start })).objective).toBeCloseTo(13, 9);
  });

  it('refuses a model with an unknown variable, a repeated name or a number that is none', async () => {
    const bad: MilpModel[] = [
      { variables: [{ name: 'x' }], constraints: [{ terms: [['y', 1]] }] },
      { variables: [{ name: 'x' }, { name: 'x' }], constraints: [] },
      { variables: [{ name: 'x', cost: NaN }], constraints: [] },
      { variables: [{ name: 'x' }], constraints: [{ terms: [['x', Infinity]] }] },
    ];
    for (const model of bad) {
      expect(await solver.solve(model)).toMatchObject({
        ok: false,
        error: { kind: 'out-of-range' },
      });
    }
    expect(await solver.solve({ variables: [], constraints: [] }, { timeLimitS: 0 })).toMatchObject(
      { ok: false },
    );
  });

  it('equals exhaustive search on small covering problems', async () => {
    const offer = fc.record({
      size: fc.integer({ min: 1, max: 9 }),
      cost: fc.integer({ min: 1, max: 30 }),
    });
    await fc.assert(
      fc.asyncProperty(
        fc.array(offer, { minLength: 1, maxLength: 3 }),
        fc.integer({ min: 1, max: 20 }),
        async (offers, need) => {
          let best = Infinity;
          const tryFrom = (index: number, left: number, cost: number): void => {
            if (left <= 0) best = Math.min(best, cost);
            const next = offers[index];
            if (!next || left <= 0) return;
            for (let n = 0; n <= Math.ceil(left / next.size); n += 1) {
              tryFrom(index + 1, left - n * next.size, cost + n * next.cost);
            }
          };
          tryFrom(0, need, 0);
          const answer = unwrap(
            await solver.solve({
              variables: offers.map((o, i) => ({ name: `o${i}`, integer: true, cost: o.cost })),
              constraints: [
                { terms: offers.map((o, i) => [`o${i}`, o.size] as const), lower: need },
              ],
            }),
          );
          expect(answer.objective).toBeCloseTo(best, 6);
        },
      ),
      { numRuns: 60, seed: 7 },
    );
  });
});
