import { describe, expect, it } from 'vitest';
import { evaluate } from '../../../api/core/explanation/index.ts';
import { planQuantile } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import {
  app,
  buyer,
  day,
  linesOn,
  pack,
  planAsksFor,
  proposed,
  run,
  supplier,
  useBuyingDesk,
} from '../../helpers/buying-desk.ts';
import { SITE } from '../../helpers/demo-site.ts';

useBuyingDesk();

describe('packs and deliveries', () => {
  it('come from the supplier whose whole packs cost least, not the one with the lowest price a kilo', async () => {
    await supplier('sup_big');
    await supplier('sup_small');
    await pack('pack_10kg', 'sup_big', 10_000, [[1, '60.00']]);
    await pack('pack_500', 'sup_small', 500, [[1, '5.00']]);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    expect(linesOn(await proposed(), 'sup_small', '2026-03-12')).toEqual([['pack_500', 2]]);
    expect(await proposed()).toHaveLength(1);
  });

  it('take the cheaper price from a number of packs on, also when a person changes the number', async () => {
    await supplier('sup_a', { minimumOrder: '20', deliveryCharge: '5' });
    await pack('pack_500', 'sup_a', 500, [
      [1, '5.00'],
      [4, '4.00'],
    ]);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    const [order] = await proposed();
    expect(order).toMatchObject({ total: '10' });
    expect(order?.notes).toEqual([
      '10.00 EUR below the minimum order of 20.00: filling it up would cost more than it is worth. Ask the supplier, or add what keeps.',
    ]);
    const path = `/v1/orders/${order?.id}/lines/${order?.lines[0]?.id}`;
    const more = await buyer().put(path).set('if-match', '"1"').send({ packs: 6 }).expect(200);
    expect(more.body).toMatchObject({
      goods: { amount: '24.00' },
      total: { amount: '29.00', currency: 'EUR' },
      notes: [],
    });
    expect(more.body.lines[0]).toMatchObject({
      unitPrice: { amount: '4.00' },
      surplus: { value: 2100 },
    });
  });

  it('are bought singly where a cheaper price for several came later alone', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    const later = { validFrom: '2026-03-01', minPacks: 4, amount: '4.00' };
    await buyer().post('/v1/packs/pack_500/prices').send(later).expect(201);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    const [order] = await proposed();
    expect(order).toMatchObject({ total: '10', lines: [{ packs: 2, unitPrice: '5' }] });
    const path = `/v1/orders/${order?.id}/lines/${order?.lines[0]?.id}`;
    const change = (packs: number, rev: number) =>
      buyer().put(path).set('if-match', `"${rev}"`).send({ packs }).expect(200);
    expect((await change(4, 1)).body.lines[0].unitPrice.amount).toBe('4.00');
    expect((await change(3, 2)).body.lines[0].unitPrice.amount).toBe('5.00');
  });

  it('use up what an earlier delivery leaves while it keeps', async () => {
    await supplier('sup_a');
    await pack('pack_1kg', 'sup_a', 1000, [[1, '9.00']]);
    // 700 g of the first kilo serve the 12th and 800 g of the second the 13th, so that nothing comes
    // then; a pack keeps three days, so nothing of them serves the 16th.
    await planAsksFor({
      '2026-03-11': 300,
      '2026-03-12': 900,
      '2026-03-13': 600,
      '2026-03-16': 100,
    });
    await run();
    const orders = await proposed();
    const lines = orders.flatMap((order) => order.lines);
    expect(lines.reduce((sum, line) => sum + line.packs, 0)).toBe(3);
    const usedOn = (date: string) =>
      lines
        .flatMap((line) => line.uses)
        .filter((use) => use.needDate === date)
        .reduce((sum, use) => sum + use.quantity, 0);
    expect(['2026-03-11', '2026-03-12', '2026-03-13', '2026-03-16'].map(usedOn)).toEqual([
      300, 900, 600, 100,
    ]);
    for (const order of orders) {
      for (const use of order.lines.flatMap((line) => line.uses)) {
        const kept = (Date.parse(use.needDate) - Date.parse(order.deliveryDate)) / 86_400_000;
        expect(kept).toBeGreaterThanOrEqual(0);
        expect(kept).toBeLessThanOrEqual(3);
      }
    }
    for (const order of orders) {
      for (const line of order.lines) {
        const path = `/v1/orders/${order.id}/lines/${line.id}/explanation`;
        const { node, nodes } = (await buyer().get(path).expect(200)).body;
        expect(unwrap(evaluate({ nodes }, node, { quantile: planQuantile }))).toBe(line.packs);
      }
    }
  });

  it('fill an order up to the minimum when that costs little, and say what it costs', async () => {
    await supplier('sup_a', { minimumOrder: '20' });
    await pack('pack_500', 'sup_a', 500, [[1, '6.00']]);
    await app().database.prisma.pack.update({
      where: { id: 'pack_500' },
      data: { shelfLifeDays: 30 },
    });
    // Three packs are 18.00; a fourth reaches 20.00 and its 500 g are used in the days after.
    await planAsksFor({ '2026-03-12': 1500 });
    await run();
    const [order] = await proposed();
    expect(order?.lines[0]?.packs).toBe(4);
    expect(order?.notes.join(' ')).toMatch(/^6\.00 EUR of packs only reach the minimum order/);
    expect(order?.lines[0]).toMatchObject({ packsForMinimum: 1 });
    expect(order?.choice?.toReachMinimum).toMatchObject({ cost: '6' });
  });

  it('come at the price in force on the delivery date, and only while the supplier has them', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await app().database.prisma.packPrice.create({
      data: {
        id: 'price_later',
        packId: 'pack_500',
        validFrom: day('2026-03-14'),
        amount: '7.00',
        source: 'list',
      },
    });
    await pack('pack_dear', 'sup_a', 500, [[1, '9.00']]);
    await app().database.prisma.pack.update({
      where: { id: 'pack_500' },
      data: { outOfStock: true, backOn: day('2026-03-13') },
    });
    await planAsksFor({ '2026-03-11': 500, '2026-03-17': 500 });
    await run();
    const bought = (await proposed()).flatMap((order) =>
      order.lines.map((line) => [line.packId, Number(line.unitPrice)]),
    );
    // The 17th is in reach of deliveries from the 14th on (three days in date).
    expect(bought).toEqual([
      ['pack_dear', 9],
      ['pack_500', 7],
    ]);
  });

  it('come from the supplier a contract binds the site to', async () => {
    await supplier('sup_cheap');
    await supplier('sup_bound');
    await pack('pack_cheap', 'sup_cheap', 500, [[1, '1.00']]);
    await pack('pack_bound', 'sup_bound', 500, [[1, '5.00']]);
    const { prisma } = app().database;
    await prisma.supplyContract.create({
      data: {
        id: 'con_1',
        siteId: SITE,
        ingredientId: 'ing_butter',
        supplierId: 'sup_bound',
        fromDate: day('2026-01-01'),
      },
    });
    await planAsksFor({ '2026-03-12': 500 });
    await run();
    expect((await proposed()).map((order) => order.supplierId)).toEqual(['sup_bound']);
    await prisma.supplyContract.update({
      where: { id: 'con_1' },
      data: { toDate: day('2026-03-01') },
    });
    await run();
    expect((await proposed()).map((order) => order.supplierId)).toEqual(['sup_cheap']);
  });

  it('leave out a pack whose price breaks make no sense, and say so', async () => {
    await supplier('sup_a');
    await pack('pack_odd', 'sup_a', 500, [
      [1, '5.00'],
      [4, '6.00'],
    ]);
    await pack('pack_500', 'sup_a', 500, [[1, '8.00']]);
    await planAsksFor({ '2026-03-12': 500 });
    const { warnings } = await run();
    expect(warnings).toEqual(['pack_odd (sup_a) is left out: A price break never costs more.']);
    expect((await proposed())[0]?.lines[0]?.packId).toBe('pack_500');
  });

  it('say which delivery is next when the cutoff has passed', async () => {
    await supplier('sup_a', { cutoffTime: '06:00' });
    await pack('pack_1kg', 'sup_a', 1000, [[1, '9.00']]);
    await planAsksFor({ '2026-03-11': 300, '2026-03-12': 600 });
    const { shortfalls } = await run();
    expect(shortfalls).toHaveLength(1);
    expect(shortfalls[0]).toMatchObject({
      ingredient: { id: 'ing_butter' },
      amount: { value: 300, unit: 'g' },
      needDate: '2026-03-11',
      reason: 'past-cutoff',
    });
    expect(shortfalls[0].message).toContain('2026-03-12');
    expect((await proposed()).map((order) => order.deliveryDate)).toEqual(['2026-03-12']);
  });
});
