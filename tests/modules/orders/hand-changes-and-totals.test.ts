import { describe, expect, it } from 'vitest';
import {
  app,
  buyer,
  pack,
  planAsksFor,
  proposed,
  run,
  supplier,
  useBuyingDesk,
} from '../../helpers/buying-desk.ts';
import { SITE } from '../../helpers/demo-site.ts';
import { chefOf } from '../../helpers/test-app.ts';

useBuyingDesk();

describe('hand changes and totals', () => {
  it('keeps a changed line that the plan no longer asks for, and says so', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    const [order] = await proposed();
    const path = `/v1/orders/${order?.id}/lines/${order?.lines[0]?.id}`;
    await buyer().put(path).set('if-match', '"1"').send({ packs: 5 }).expect(200);
    await app().database.prisma.ingredientNeed.deleteMany();
    await run();
    const [kept] = await proposed();
    expect(kept?.lines).toMatchObject([
      {
        packs: 5,
        proposedPacks: 0,
        changedByHand: true,
        note: 'Kept at 5 as changed by hand; the plan now asks for 0.',
      },
    ]);
    await buyer().put(path).set('if-match', '"2"').send({ packs: 4 }).expect(412);
  });

  it('adds the packs up over the delivery dates, cancelled orders left out', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await app().database.prisma.pack.update({
      where: { id: 'pack_500' },
      data: { shelfLifeDays: 0 },
    });
    await planAsksFor({ '2026-03-11': 500, '2026-03-12': 1000, '2026-03-15': 500 });
    await run();
    const totals = async (from: string, to: string) =>
      (await buyer().get(`/v1/order-totals?from=${from}&to=${to}`).expect(200)).body.items;
    expect(await totals('2026-03-11', '2026-03-12')).toEqual([
      {
        ingredient: { id: 'ing_butter', name: 'Butter' },
        supplier: { id: 'sup_a', name: 'sup_a' },
        pack: { id: 'pack_500', name: 'pack_500' },
        packs: 3,
        total: { amount: '15.00', currency: 'EUR' },
        sites: [{ site: { id: SITE, name: SITE }, packs: 3 }],
      },
    ]);
    const order = (await proposed()).find((o) => o.deliveryDate === '2026-03-11');
    await buyer()
      .post(`/v1/orders/${order?.id}/cancel`)
      .set('if-match', '"1"')
      .send({ reason: 'Bought at the market' })
      .expect(200);
    expect((await totals('2026-03-11', '2026-03-12'))[0].packs).toBe(2);
    await buyer().get('/v1/order-totals?from=2026-03-12&to=2026-03-11').expect(400);
    await app().as(chefOf(SITE)).get('/v1/order-totals?from=2026-03-11&to=2026-03-12').expect(403);
  });
});
