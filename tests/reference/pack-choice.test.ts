import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { addDays } from '../../api/core/calendar/index.ts';
import { highsSolver } from '../../api/core/milp/index.ts';
import type { MilpModel } from '../../api/core/milp/index.ts';
import { choosePacks } from '../../api/core/ordering/index.ts';
import type { PackOffer, PackProblem } from '../../api/core/ordering/index.ts';
import { buildPackModel } from '../../api/core/ordering/pack-model.ts';
import { buildNetwork } from '../../api/core/ordering/pack-network.ts';
import { unwrap } from '../../api/core/shared/result.ts';

const solver = highsSolver();
const DATE = '2026-03-02';
const settings = { leftoverValueFraction: 0, holdingFractionPerDay: 0 };

function offer(
  id: string,
  supplierId: string,
  ingredientId: string,
  quantityBase: number,
  price: string,
  changes: Partial<PackOffer> = {},
): PackOffer {
  return { id, supplierId, ingredientId, quantityBase, price, currency: 'EUR', ...changes };
}

const need = (ingredientId: string, quantityBase: number, needDate = DATE) => ({
  ingredientId,
  siteId: 'site',
  needDate,
  quantityBase,
  certainBase: 0,
  refs: [],
});
const slot = (supplierId: string, deliveryDate = DATE) => ({
  supplierId,
  siteId: 'site',
  deliveryDate,
  usableFromDate: deliveryDate,
  cutoffMin: 0,
});

/** Own inputs; optimum found equal by HiGHS and by GLPK before this code was written. */
const onePack: PackProblem = {
  currency: 'EUR',
  horizonEnd: DATE,
  needs: [need('flour', 61)],
  offers: [
    offer('12', 'A', 'flour', 12, '7'),
    offer('25', 'A', 'flour', 25, '13'),
    offer('4', 'A', 'flour', 4, '2.6'),
  ],
  suppliers: [],
  slots: [slot('A')],
  settings,
};
const twoSuppliers: PackProblem = {
  ...onePack,
  needs: [need('flour', 83), need('butter', 22)],
  offers: [
    offer('A-flour', 'A', 'flour', 25, '18', { priceBreaks: [{ minPacks: 4, price: '16.5' }] }),
    offer('A-butter-10', 'A', 'butter', 10, '78'),
    offer('A-butter-1', 'A', 'butter', 1, '8.6'),
    offer('B-flour', 'B', 'flour', 10, '7.6'),
    offer('B-butter', 'B', 'butter', 5, '40.5'),
  ],
  suppliers: [
    { supplierId: 'A', minOrderValue: '120', deliveryCharge: '12' },
    { supplierId: 'B', minOrderValue: '90', deliveryCharge: '9' },
  ],
  slots: [slot('A'), slot('B')],
};

/** Wagner & Whitin, Management Science 5 (1958) 89-96: 12 periods, set-up costs that vary, h = 1. */
const WAGNER_WHITIN = {
  demand: [69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56],
  setUp: [85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114],
  optimum: 864,
};
const UNIT_PRICE = 10;

function lotSizes(): PackProblem {
  const date = (t: number): string => addDays(DATE, t);
  const { demand, setUp } = WAGNER_WHITIN;
  return {
    currency: 'EUR',
    horizonEnd: date(demand.length - 1),
    needs: demand.map((quantity, t) => need('part', quantity, date(t))),
    // A supplier a period, so that each period has its own cost of placing an order.
    offers: setUp.map((_, t) => offer(`unit-${t}`, `S${t}`, 'part', 1, String(UNIT_PRICE))),
    suppliers: setUp.map((cost, t) => ({ supplierId: `S${t}`, deliveryCharge: String(cost) })),
    slots: setUp.map((_, t) => slot(`S${t}`, date(t))),
    settings: { leftoverValueFraction: 0, holdingFractionPerDay: 1 / UNIT_PRICE },
  };
}

/** Kreher & Stinson, Combinatorial Algorithms (1999), 0/1 knapsack P01, optimum 309 (from memory). */
const KNAPSACK = {
  values: [92, 57, 49, 68, 60, 43, 67, 84, 87, 72],
  weights: [23, 31, 29, 44, 53, 38, 63, 85, 89, 82],
  capacity: 165,
  optimum: 309,
};

function leftOutOfTheKnapsack(): PackProblem {
  const { values, weights, capacity } = KNAPSACK;
  const all = weights.reduce((a, b) => a + b, 0);
  return {
    ...onePack,
    needs: [need('item', all - capacity)],
    offers: values.map((v, i) =>
      offer(`item-${i}`, 'A', 'item', weights[i] ?? 0, String(v), { maxPacks: 1 }),
    ),
  };
}

describe('choice of packs against values worked out elsewhere', () => {
  it('costs 33 for a need of 61 from packs of 12 at 7, 25 at 13 and 4 at 2.6', async () => {
    const plan = unwrap(await choosePacks(onePack, solver, { relativeGap: 0 }));
    expect(plan).toMatchObject({ cost: '33', gap: 0, method: 'exact-table' });
  });

  it('costs 251.2 for two suppliers with price break, minimum orders and delivery charges', async () => {
    const plan = unwrap(await choosePacks(twoSuppliers, solver, { relativeGap: 0 }));
    expect(plan.cost).toBe('251.2');
    expect(plan.orders).toHaveLength(1);
    expect(plan.orders[0]?.lines.map((l) => [l.offerId, l.packs, l.pricePerPack])).toEqual([
      ['A-flour', 4, '16.5'],
      ['A-butter-10', 2, '78'],
      ['A-butter-1', 2, '8.6'],
    ]);
  });

  it('finds the published optimum 864 of the twelve-period lot sizes', async () => {
    const plan = unwrap(await choosePacks(lotSizes(), solver, { relativeGap: 0 }));
    const bought = WAGNER_WHITIN.demand.reduce((a, b) => a + b, 0) * UNIT_PRICE;
    expect(Number(plan.objective) - bought).toBeCloseTo(WAGNER_WHITIN.optimum, 6);
    expect(Number(plan.bound) - bought).toBeCloseTo(WAGNER_WHITIN.optimum, 2);
    // Its lots, period by period: 98, 97, 121, 112, 67 and 135 units.
    expect(plan.orders.map((o) => o.lines[0]?.packs)).toEqual([98, 97, 121, 112, 67, 135]);
  });

  it('leaves out of a knapsack what is worth least: 679 in all less the optimum 309', async () => {
    const plan = unwrap(await choosePacks(leftOutOfTheKnapsack(), solver, { relativeGap: 0 }));
    const all = KNAPSACK.values.reduce((a, b) => a + b, 0);
    expect(Number(plan.cost)).toBe(all - KNAPSACK.optimum);
    expect(plan.shortfalls).toEqual([]);
  });
});

/** The same model as text in CPLEX LP format, for another solver. */
function toLpText(model: MilpModel): string {
  const term = ([index, coefficient]: readonly [number, number]): string =>
    `${coefficient < 0 ? '-' : '+'} ${Math.abs(coefficient)} x${index}`;
  const costs = model.variables.map((v, i) => [i, v.cost] as const).filter(([, c]) => c !== 0);
  const rows = model.rows.flatMap(({ terms, lower, upper }, r) => {
    const left = terms.map(term).join(' ');
    return [
      ...(Number.isFinite(lower) ? [` r${r}a: ${left} >= ${lower}`] : []),
      ...(Number.isFinite(upper) ? [` r${r}b: ${left} <= ${upper}`] : []),
    ];
  });
  const bounds = model.variables.map(
    ({ lower, upper }, i) => ` ${lower} <= x${i}${Number.isFinite(upper) ? ` <= ${upper}` : ''}`,
  );
  const whole = model.variables.flatMap(({ integer }, i) => (integer ? [` x${i}`] : []));
  return [
    'Minimize',
    ` cost: ${costs.map(term).join(' ')}`,
    'Subject To',
    ...rows,
    'Bounds',
    ...bounds,
    ...(whole.length > 0 ? ['General', ...whole] : []),
    'End',
    '',
  ].join('\n');
}

function glpsolVersion(): string | null {
  try {
    return execFileSync('glpsol', ['--version'], { encoding: 'utf8' }).split('\n')[0] ?? null;
  } catch {
    return null;
  }
}

function solveWithGlpsol(model: MilpModel): number {
  const folder = mkdtempSync(join(tmpdir(), 'pack-model-'));
  try {
    const [lp, out] = [join(folder, 'model.lp'), join(folder, 'answer.txt')];
    writeFileSync(lp, toLpText(model));
    execFileSync('glpsol', ['--lp', lp, '--tmlim', '60', '-o', out], { stdio: 'pipe' });
    const report = readFileSync(out, 'utf8');
    expect(report).toMatch(/Status:\s+INTEGER OPTIMAL/);
    return Number(/Objective:\s+cost = (\S+)/.exec(report)?.[1]);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** Perishable goods over three deliveries with minimums, breaks, later use and fewest packs. */
const perishable: PackProblem = {
  currency: 'EUR',
  horizonEnd: addDays(DATE, 6),
  needs: [0, 1, 2, 3, 4, 5, 6].flatMap((t) => [
    need('cream', 3 + (t % 3), addDays(DATE, t)),
    need('berries', 2 + (t % 2), addDays(DATE, t)),
  ]),
  offers: [
    offer('cream-5', 'A', 'cream', 5, '14', { shelfLifeDays: 4 }),
    offer('cream-1', 'A', 'cream', 1, '3.1', { shelfLifeDays: 4, minPacks: 2 }),
    offer('cream-B', 'B', 'cream', 6, '17', {
      shelfLifeDays: 9,
      priceBreaks: [{ minPacks: 3, price: '16' }],
    }),
    offer('berries-A', 'A', 'berries', 2, '9', { shelfLifeDays: 2 }),
    offer('berries-B', 'B', 'berries', 3, '13', { shelfLifeDays: 2 }),
  ],
  suppliers: [
    { supplierId: 'A', minOrderValue: '40', deliveryCharge: '5', freeDeliveryFrom: '90' },
    { supplierId: 'B', minOrderValue: '45', minOrderPacks: 3 },
  ],
  slots: [0, 2, 4].flatMap((t) => [slot('A', addDays(DATE, t)), slot('B', addDays(DATE, t))]),
  laterUse: [{ siteId: 'site', ingredientId: 'cream', perDayBase: 2 }],
  settings: { leftoverValueFraction: 0.9, holdingFractionPerDay: 0.001 },
};

const version = glpsolVersion();

if (version === null) {
  describe('choice of packs against GLPK: glpsol is not installed here, nothing was compared', () => {
    it('has no glpsol to ask', () => {
      expect(() => execFileSync('glpsol', ['--version'], { stdio: 'pipe' })).toThrow();
    });
  });
} else {
  describe(`choice of packs against another solver: ${version}`, () => {
    const cases: [string, PackProblem][] = [
      ['two suppliers', twoSuppliers],
      ['perishable goods', perishable],
      ['twelve-period lot sizes', lotSizes()],
    ];
    it.each(cases)('agrees with GLPK on the least objective: %s', async (_, given) => {
      const network = buildNetwork(given);
      const { model, constant } = buildPackModel(network, network.groups);
      const plan = unwrap(await choosePacks(given, solver, { relativeGap: 0 }));
      expect(Number(plan.objective)).toBeCloseTo(solveWithGlpsol(model) + constant, 4);
    });
  });
}
