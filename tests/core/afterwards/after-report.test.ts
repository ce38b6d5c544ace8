import fc from 'fast-check';
import { expect, it } from 'vitest';
import { afterReport, factsTogether, type AfterFacts } from '../../../api/core/afterwards/index.ts';

const itemId = fc.constantFrom('curd', 'shell', 'sorbet');
const quantity = fc.integer({ min: 0, max: 1000 });
const plain = fc.array(fc.record({ itemId, quantity }), { maxLength: 6 });
const reasoned = fc.array(
  fc.record({ itemId, quantity, reason: fc.constantFrom('spilled', 'out-of-date', 'other') }),
  { maxLength: 6 },
);
const facts: fc.Arbitrary<AfterFacts> = fc.record({
  made: plain,
  used: plain,
  sold: plain,
  sent: plain,
  came: plain,
  wasted: reasoned,
  drift: plain,
  foreseenShort: reasoned,
  expectedWaste: plain,
  tasks: fc.array(
    fc.record({
      itemId,
      status: fc.constantFrom('to_do', 'started', 'done', 'part_done', 'abandoned'),
      planned: quantity,
      needed: quantity,
      made: fc.option(quantity),
      reason: fc.option(fc.constantFrom('split', 'no cream')),
    }),
    { maxLength: 6 },
  ),
});
const sum = (all: readonly { readonly quantity: number }[]) =>
  all.reduce((total, one) => total + one.quantity, 0);

it('loses nothing and counts nothing twice: rows add up to the facts, causes to their rows', () => {
  fc.assert(
    fc.property(facts, (given) => {
      const rows = afterReport(given);
      const total = (key: 'made' | 'used' | 'sold' | 'sent' | 'came' | 'wasted' | 'drift') =>
        rows.reduce((all, row) => all + row[key], 0);
      for (const key of ['made', 'used', 'sold', 'sent', 'came', 'wasted', 'drift'] as const) {
        expect(total(key)).toBe(sum(given[key]));
      }
      for (const row of rows) {
        expect(sum(row.wastedBy)).toBe(row.wasted);
        expect(sum(row.shortBy)).toBe(row.short);
        expect(row.wasteBeyondExpected).toBe(row.wasted - row.expectedWaste);
      }
      expect(new Set(rows.map((row) => row.itemId)).size).toBe(rows.length);
    }),
  );
});

it('is short by what was needed of a task given up, by the rest of one that gave less', () => {
  const task = { itemId: 'curd', planned: 1200, needed: 900, reason: null };
  const none = {
    made: [],
    used: [],
    sold: [],
    sent: [],
    came: [],
    wasted: [],
    drift: [],
    foreseenShort: [],
  };
  const [row] = afterReport({
    ...none,
    expectedWaste: [{ itemId: 'curd', quantity: 50 }],
    tasks: [
      { ...task, status: 'abandoned', made: null, reason: 'It split' },
      { ...task, status: 'done', made: 700 },
      { ...task, status: 'done', made: 1200 },
    ],
  });
  expect(row?.shortBy).toEqual([
    { cause: 'given-up', quantity: 900, words: ['It split'] },
    { cause: 'made-less', quantity: 200, words: [] },
  ]);
  expect(row).toMatchObject({ plannedSurplus: 900, expectedWaste: 950, wasteBeyondExpected: -950 });
});

it('of several sites together adds their reports up, component by component and cause by cause', () => {
  fc.assert(
    fc.property(fc.array(facts, { minLength: 1, maxLength: 4 }), (sites) => {
      const each = sites.flatMap(afterReport);
      const together = afterReport(factsTogether(sites));
      expect(together.map((row) => row.itemId)).toEqual(
        [...new Set(each.map((row) => row.itemId))].sort(),
      );
      for (const row of together) {
        const own = each.filter((one) => one.itemId === row.itemId);
        for (const key of [
          'planned',
          'made',
          'sent',
          'came',
          'short',
          'expectedWaste',
          'wasteBeyondExpected',
        ] as const) {
          expect(row[key]).toBe(own.reduce((all, one) => all + one[key], 0));
        }
        for (const { cause, quantity } of row.shortBy) {
          const of = own.flatMap((one) => one.shortBy.filter((by) => by.cause === cause));
          expect(quantity).toBe(sum(of));
        }
      }
    }),
  );
});
