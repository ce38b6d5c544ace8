import { describe, expect, it } from 'vitest';
import {
  availabilityFor,
  availabilityOn,
  availabilityWarnings,
  availableStretches,
  compareGroups,
  groupOrders,
  needAtProbability,
  openCutoffs,
  rankSubstitutes,
  safetyProbability,
} from '../../../api/core/ordering/index.ts';
import type { OrderRecord, SafetyPolicy } from '../../../api/core/ordering/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import { need } from './problem-builder.ts';

describe('season and availability', () => {
  it('tells season, stock and withdrawal apart, the most final first', () => {
    const rhubarb = {
      ingredientId: 'rhubarb',
      months: [3, 4, 5],
      outOfStock: [{ fromDate: '2026-04-10', toDate: '2026-04-12' }],
      withdrawnFrom: '2026-05-20',
    };
    const on = (date: string) => unwrap(availabilityOn(rhubarb, date));
    expect(on('2026-02-28')).toBe('out-of-season');
    expect(on('2026-03-01')).toBe('available');
    expect(on('2026-04-12')).toBe('out-of-stock');
    expect(on('2026-04-13')).toBe('available');
    expect(on('2026-05-20')).toBe('withdrawn');
    expect(availabilityOn({ ingredientId: 'x', months: [13] }, '2026-01-01').ok).toBe(false);
    const gone = { ingredientId: 'x', outOfStock: [{ fromDate: '2026-01-02' }] };
    expect(unwrap(availabilityOn(gone, '2030-01-01'))).toBe('out-of-stock');
  });

  it('warns before the menu date with dishes, sites and covers, once a reason', () => {
    const use = (date: string, siteId: string, covers: number, ingredientId = 'rhubarb') => ({
      ingredientId,
      siteId,
      date,
      serviceId: 'dinner',
      dishId: 'rhubarb tart',
      covers,
    });
    const warnings = unwrap(
      availabilityWarnings(
        [{ ingredientId: 'rhubarb', months: [3, 4, 5] }],
        [
          use('2026-06-02', 'hill', 30),
          use('2026-06-01', 'lake', 40),
          use('2026-06-03', 'lake', 20),
          use('2026-05-31', 'lake', 50),
          use('2026-01-10', 'lake', 99),
          use('2026-06-01', 'lake', 70, 'flour'),
        ],
        '2026-05-20',
      ),
    );
    expect(warnings).toEqual([
      {
        ingredientId: 'rhubarb',
        state: 'out-of-season',
        firstDate: '2026-06-01',
        lastDate: '2026-06-03',
        daysAhead: 12,
        dishes: [
          {
            dishId: 'rhubarb tart',
            siteId: 'hill',
            sittings: [{ date: '2026-06-02', serviceId: 'dinner', covers: 30 }],
          },
          {
            dishId: 'rhubarb tart',
            siteId: 'lake',
            sittings: [
              { date: '2026-06-01', serviceId: 'dinner', covers: 40 },
              { date: '2026-06-03', serviceId: 'dinner', covers: 20 },
            ],
          },
        ],
        covers: 90,
      },
    ]);
  });

  it('counts the guests of a service once for all its dishes, and says none where none are known', () => {
    const use = (dishId: string, covers: number | null) => ({
      ingredientId: 'rhubarb',
      siteId: 'lake',
      date: '2026-06-01',
      serviceId: 'dinner',
      dishId,
      covers,
    });
    const outside = [{ ingredientId: 'rhubarb', months: [3] }];
    const both = [use('tart', 40), use('fool', 40)];
    expect(unwrap(availabilityWarnings(outside, both, '2026-05-20'))[0]?.covers).toBe(40);
    const later = unwrap(availabilityWarnings(outside, [use('tart', null)], '2026-05-20'));
    expect(later[0]?.covers).toBeNull();
  });

  it('takes what is bought before the end of a season and keeps as there', () => {
    const months = { ingredientId: 'rhubarb', months: [3, 4, 5] };
    const until = (keepsDays: number, date: string) =>
      unwrap(availabilityFor({ ...months, keepsDays }, date, '2026-05-20'));
    expect(until(0, '2026-06-01')).toBe('out-of-season');
    expect(until(1, '2026-06-01')).toBe('available');
    expect(until(2, '2026-06-03')).toBe('out-of-season');
    expect(until(3, '2026-06-03')).toBe('available');
    // Nothing can be bought on a day gone by.
    const gone = unwrap(availabilityFor({ ...months, keepsDays: 30 }, '2026-06-03', '2026-06-01'));
    expect(gone).toBe('out-of-season');
  });

  it('gives the stretches of days on which something can be bought', () => {
    const availability = {
      ingredientId: 'rhubarb',
      months: [5, 6],
      withdrawnFrom: '2026-06-04',
      outOfStock: [{ fromDate: '2026-05-02', toDate: '2026-05-03' }],
    };
    expect(unwrap(availableStretches(availability, '2026-04-29', '2026-06-20'))).toEqual([
      { fromDate: '2026-05-01', toDate: '2026-05-01' },
      { fromDate: '2026-05-04', toDate: '2026-06-03' },
    ]);
  });

  it('ranks substitutes: no new allergen, then a new one, then the undeclared; cheapest first', () => {
    const profile = (
      ingredientId: string,
      pricePerBase: string | null,
      contains: string[] | null,
    ) => ({
      ingredientId,
      pricePerBase,
      yieldFraction: 0.8,
      allergens: contains && { contains, mayContain: [] },
    });
    const original = { ...profile('almond', '0.01', ['nuts']), yieldFraction: 0.5 };
    const ranked = unwrap(
      rankSubstitutes(
        original,
        [
          profile('unknown', '0.001', null),
          profile('peanut', '0.002', ['nuts', 'peanuts']),
          profile('seed', '0.02', []),
          profile('hazelnut', '0.012', ['nuts']),
          profile('no price', null, ['nuts']),
          { ...profile('gone', '0.001', []), available: false },
        ],
        1000,
      ),
    );
    expect(ranked.map((r) => [r.ingredientId, r.allergenChange])).toEqual([
      ['hazelnut', 'none'],
      ['seed', 'fewer'],
      ['no price', 'none'],
      ['peanut', 'more'],
      ['unknown', 'not-declared'],
    ]);
    // 1000 g at 0.5 kept are 500 g; at 0.8 kept that takes 625 g: 7.50 against 10.
    expect(ranked[0]).toMatchObject({ quantityBase: 625, costChange: '-2.5' });
    expect(ranked[0]?.yieldChange).toBeCloseTo(0.3, 12);
    expect(ranked[3]?.containsAdded).toEqual(['peanuts']);
    expect(ranked[1]?.containsRemoved).toEqual(['nuts']);
    const undeclared = unwrap(rankSubstitutes(profile('a', '1', null), [original], 1));
    expect(undeclared[0]?.allergenChange).toBe('not-declared');
    expect(rankSubstitutes({ ...original, yieldFraction: 0 }, [], 1).ok).toBe(false);
    expect(rankSubstitutes(original, [], 0).ok).toBe(false);
  });

  it('never takes what may be in something for what is in it', () => {
    const profile = (ingredientId: string, contains: string[], mayContain: string[]) => ({
      ingredientId,
      pricePerBase: '1',
      yieldFraction: 1,
      allergens: { contains, mayContain },
    });
    const change = (before: [string[], string[]], after: [string[], string[]]) =>
      unwrap(rankSubstitutes(profile('a', ...before), [profile('b', ...after)], 1))[0];
    // From a trace to an ingredient: a guest who took the risk of a trace may not take this.
    expect(change([[], ['nuts']], [['nuts'], []])).toMatchObject({
      allergenChange: 'more',
      containsAdded: ['nuts'],
      mayContainRemoved: ['nuts'],
    });
    expect(change([['nuts'], []], [[], ['nuts']])).toMatchObject({
      allergenChange: 'fewer',
      containsRemoved: ['nuts'],
      mayContainAdded: ['nuts'],
    });
    expect(change([['milk'], []], [['milk'], ['nuts']])).toMatchObject({
      allergenChange: 'more',
      mayContainAdded: ['nuts'],
    });
    expect(change([['milk'], ['nuts']], [['milk'], ['nuts']])).toMatchObject({
      allergenChange: 'none',
    });
    expect(change([['nuts:almond'], []], [['nuts:hazelnut'], []])).toMatchObject({
      allergenChange: 'more',
      containsAdded: ['nuts:hazelnut'],
      containsRemoved: ['nuts:almond'],
    });
  });
});

describe('safety by shelf life', () => {
  const policy: SafetyPolicy = {
    shortCostPerBase: 3,
    unitCostPerBase: 1,
    shelfLifeDays: 2,
    coverDays: 3,
  };
  const at = (changes: Partial<SafetyPolicy>) =>
    unwrap(safetyProbability({ ...policy, ...changes }));

  it('is the newsvendor ratio when leftovers are lost and the highest when they keep', () => {
    expect(at({})).toBeCloseTo(3 / 4, 12);
    expect(at({ shelfLifeDays: 6 })).toBe(0.98);
    // Half of the next period: half of the price is at risk, 3 / 3.5.
    expect(at({ shelfLifeDays: 4.5 })).toBeCloseTo(3 / 3.5, 12);
    expect(at({ shelfLifeDays: null })).toBeCloseTo(3 / 4, 12);
    expect(at({ shelfLifeDays: 30, nextPeriodUse: 0 })).toBeCloseTo(3 / 4, 12);
    expect(safetyProbability({ ...policy, coverDays: 0 }).ok).toBe(false);
    expect(safetyProbability({ ...policy, unitCostPerBase: -1 }).ok).toBe(false);
  });

  it('reads the need between stated quantiles and never beyond them', () => {
    const uncertain = {
      ...need('cream', 2, 50, { certainBase: 45 }),
      quantiles: [
        { probability: 0.1, quantityBase: 40 },
        { probability: 0.5, quantityBase: 50 },
        { probability: 0.9, quantityBase: 70 },
      ],
    };
    const needAt = (p: number) => unwrap(needAtProbability(uncertain, p));
    expect(needAt(0.5).quantityBase).toBe(50);
    expect(needAt(0.7).quantityBase).toBeCloseTo(60, 9);
    expect(needAt(0.98).quantityBase).toBe(70);
    expect(needAt(0.05)).toMatchObject({ quantityBase: 40, certainBase: 40 });
    expect('quantiles' in needAt(0.5)).toBe(false);
    expect(needAtProbability({ ...uncertain, quantiles: [] }, 0.5).ok).toBe(false);
    const falling = [...uncertain.quantiles].reverse();
    expect(needAtProbability({ ...uncertain, quantiles: falling }, 0.5).ok).toBe(false);
  });
});

describe('views of orders', () => {
  const order = (changes: Partial<OrderRecord>, packs = 2): OrderRecord => ({
    orderId: 'o1',
    number: null,
    supplierId: 'A',
    siteId: 'lake',
    deliveryDate: '2026-03-24',
    cutoffMin: 29_571_000,
    currency: 'EUR',
    deliveryCharge: '1',
    state: 'proposed',
    version: 1,
    lines: [
      {
        lineId: 'b',
        offerId: 'b',
        ingredientId: 'butter',
        packBase: 500,
        plannedPacks: packs,
        packs,
        pricePerPack: '4.5',
        certainBase: 300,
        handChange: null,
        confirmedPacks: null,
      },
    ],
    receipts: [],
    history: [],
    ...changes,
  });

  it('add up by site, supplier, day and group, currencies apart, cancelled ones left out', () => {
    const orders = [
      order({}),
      order({ orderId: 'o2', siteId: 'hill' }, 1),
      order({ orderId: 'o3', currency: 'CHF' }),
      order({ orderId: 'o4', state: 'cancelled' }),
    ];
    expect(groupOrders(orders, 'group').map((g) => [g.currency, g.total, g.orderIds])).toEqual([
      ['CHF', '10', ['o3']],
      ['EUR', '15.5', ['o1', 'o2']],
    ]);
    const [euros] = groupOrders(orders, 'supplier').filter((g) => g.currency === 'EUR');
    expect(euros?.ingredients).toEqual([
      { ingredientId: 'butter', quantityBase: 1500, certainBase: 600, value: '13.5' },
    ]);
    expect(groupOrders(orders, 'site').map((g) => g.key)).toEqual(['hill', 'lake', 'lake']);
    expect(groupOrders(orders, 'delivery-date').map((g) => g.key)).toContain('2026-03-24');
  });

  it('show the difference to last week, greatest first, new and gone ones as such', () => {
    const groupOf = (...given: [string, number][]) => ({
      key: 'group',
      currency: 'EUR',
      orderIds: [],
      goodsValue: '0',
      deliveryCharges: '0',
      total: '0',
      ingredients: given.map(([ingredientId, quantityBase]) => ({
        ingredientId,
        quantityBase,
        certainBase: 0,
        value: '0',
      })),
    });
    const before = groupOf(['a', 100], ['b', 100], ['c', 100], ['same', 5]);
    const now = groupOf(['a', 110], ['b', 50], ['d', 7], ['same', 5]);
    expect(compareGroups(before, now).map((d) => [d.ingredientId, d.changeFraction])).toEqual([
      ['c', null],
      ['d', null],
      ['b', -0.5],
      ['a', 0.1],
    ]);
  });

  it('count cutoffs down and show them on the clock of the site', () => {
    const open = unwrap(
      openCutoffs(
        [
          order({}),
          order({ orderId: 'o2', cutoffMin: 29_570_990 }),
          order({ orderId: 'o3', state: 'sent' }),
        ],
        29_570_995,
        () => 'Europe/London',
      ),
    );
    expect(open).toHaveLength(1);
    expect(open[0]).toMatchObject({ orderId: 'o1', minutesLeft: 5 });
    // 29 571 000 minutes after the epoch is 2026-03-23T09:00Z.
    const shown = new Date(29_571_000 * 60_000).toLocaleTimeString('en-GB', {
      timeZone: 'Europe/London',
      hour: '2-digit',
      minute: '2-digit',
    });
    expect(open[0]?.onSiteClock.time).toBe(shown);
    expect(openCutoffs([order({})], 0, () => 'Nowhere/At all').ok).toBe(false);
  });
});
