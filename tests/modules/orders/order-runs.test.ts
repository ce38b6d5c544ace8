import { describe, expect, it } from 'vitest';
import {
  app,
  buyer,
  pack,
  planAsksFor,
  run,
  supplier,
  useBuyingDesk,
} from '../../helpers/buying-desk.ts';
import { SITE } from '../../helpers/demo-site.ts';
import { chefOf, LEAD } from '../../helpers/test-app.ts';

useBuyingDesk();

const lastRuns = async (who = app().as(LEAD)) =>
  (await who.get('/v1/order-runs').expect(200)).body.items;

describe('the last working-out of orders', () => {
  it('is kept when the night made it, with what cannot be bought in time', async () => {
    app().clock.set('2026-03-10T02:30:00Z');
    const job = { kind: 'site', key: SITE, date: '2026-03-10' } as const;
    expect(await app().services.nightWork.run(job)).toBe('done');
    const [last] = await lastRuns();
    expect(last).toMatchObject({
      site: { id: SITE },
      workedOutAt: '2026-03-10T02:30:00.000Z',
      workedOutBy: 'night work',
      days: 7,
      ofCurrentPlan: true,
    });
    // Nobody sells anything in this kitchen, so every ingredient of the plan is named.
    expect(last.shortfalls.length).toBeGreaterThan(0);
    expect(last.shortfalls[0]).toMatchObject({
      site: { id: SITE },
      reason: 'no-pack',
      message: expect.stringMatching(/^Nobody who delivers to/),
    });
    app().clock.set('2026-03-10T05:30:00Z');
  });

  it('says what the answer to whoever asked said, and gives way to the next', async () => {
    await supplier('sup_a', { cutoffTime: '06:00' });
    await pack('pack_1kg', 'sup_a', 1000, [[1, '9.00']]);
    await planAsksFor({ '2026-03-11': 300, '2026-03-12': 600 });
    const { shortfalls, additions, warnings } = await run();
    expect(shortfalls).toHaveLength(1);
    expect(await lastRuns()).toMatchObject([{ shortfalls, additions, warnings }]);
    await app().database.prisma.supplier.update({
      where: { id: 'sup_a' },
      data: { cutoffTime: '20:00' },
    });
    await run();
    expect(await lastRuns()).toMatchObject([{ shortfalls: [] }]);
  });

  it('puts what is missing together by ingredient, with its days, its dishes and whether any is there', async () => {
    await app().services.prep.workOut(LEAD, SITE, 7);
    await app().database.prisma.stockLot.create({
      data: {
        id: 'lot_flour',
        siteId: SITE,
        itemKind: 'ingredient',
        itemId: 'ing_flour',
        quantity: 40,
        madeAt: new Date('2026-03-09T08:00:00Z'),
        useBy: new Date('2026-06-09T08:00:00Z'),
        sourceKind: 'found',
      },
    });
    const { shortfalls } = await run();
    const { items, missing } = (await buyer().get('/v1/order-runs').expect(200)).body;
    expect(items[0].shortfalls).toEqual(shortfalls);
    expect(shortfalls.length).toBeGreaterThan(missing.length);
    type Goods = Record<string, never> & { ingredient: { id: string } };
    const of = (id: string) => missing.find((goods: Goods) => goods.ingredient.id === id);
    const butter = of('ing_butter');
    const own = shortfalls.filter((short: Goods) => short.ingredient.id === 'ing_butter');
    expect(butter.needs.map((need: { needDate: string }) => need.needDate)).toEqual(
      own.map((short: { needDate: string }) => short.needDate),
    );
    const sum = own.reduce(
      (all: number, short: { amount: { value: number } }) => all + short.amount.value,
      0,
    );
    expect(butter.amount.value).toBeCloseTo(sum, 6);
    expect(butter).toMatchObject({ whole: true, dishes: [{ id: 'rcp_tart', name: 'Lemon tart' }] });
    expect(butter.needs[0]).toMatchObject({ site: { id: SITE }, reason: 'no-pack' });
    // Forty grams are there: less than a batch, but not nothing.
    expect(of('ing_flour')).toMatchObject({ whole: false });
  });

  it('says so when the plan is newer than the orders', async () => {
    await planAsksFor({ '2026-03-12': 600 });
    await run();
    expect(await lastRuns()).toMatchObject([{ ofCurrentPlan: true }]);
    await app().services.prep.workOut(LEAD, SITE, 7);
    expect(await lastRuns()).toMatchObject([{ ofCurrentPlan: false }]);
  });

  it('is for the people of the site', async () => {
    await planAsksFor({ '2026-03-12': 600 });
    await run();
    expect(await lastRuns(app().as(chefOf(SITE)))).toHaveLength(1);
    expect(await lastRuns(app().as(chefOf('site_other')))).toEqual([]);
    const other = app().as(chefOf('site_other'));
    await other.get(`/v1/order-runs?siteId=${SITE}`).expect(404);
    await buyer().get('/v1/order-runs?siteId=site_none').expect(200, { items: [], missing: [] });
  });
});
