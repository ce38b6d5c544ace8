import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { chefOf, LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// The kitchen of demo-site at half past one in the afternoon: a curd begun now is set at eight, and
// dinner is at seven.
let test: TestApp;
const chef = chefOf(SITE);
const ask = (body: object, actor = chef) =>
  test.as(actor).post(`/v1/sites/${SITE}/remedies`).send(body);

beforeAll(async () => {
  test = await startTestApp('2026-03-10T12:30:00Z');
  await fillKitchen(test);
  await test.services.prep.workOut(chef, SITE);
});
afterAll(() => test.close());

describe('what would mend a shortage', () => {
  it('is worked out by planning again, and changes nothing', async () => {
    const before = await test.services.prep.currentPlan(chef, SITE);
    const short = before.summary.shortages.find(({ itemId }) => itemId === 'rcp_curd');
    expect(short?.serviceDate).toBe('2026-03-10');
    const { body } = await ask({ itemId: 'rcp_curd', serviceDate: '2026-03-10' }).expect(200);
    expect(body.item.name).toBe('Lemon curd');
    expect(body.shortNow.value).toBeCloseTo(short?.quantity ?? 0, 9);
    const kinds = body.remedies.map((one: { kind: string }) => one.kind);
    expect(kinds).toContain('even-chance');
    for (const one of body.remedies) {
      expect(one.mends).toBe(one.shortAfter.value <= 1e-9);
    }
    const left = body.remedies.map(
      (one: { shortAfter: { value: number } }) => one.shortAfter.value,
    );
    expect(left).toEqual([...left].sort((a, b) => a - b));
    expect(body.elsewhere).toEqual([]);
    expect(body.notice).toMatch(/local codes decide/);
    const after = await test.services.prep.currentPlan(chef, SITE);
    expect(after.id).toBe(before.id);
  });

  it('names what another site has in date and has no plan for, to who may see that site', async () => {
    await test.database.prisma.stockLot.createMany({
      data: [
        ['lot_a', '2026-03-12', 900],
        ['lot_b', '2026-03-10', 400],
      ].map(([id, useBy, quantity]) => ({
        id: String(id),
        siteId: 'site_other',
        itemKind: 'component',
        itemId: 'rcp_curd',
        quantity: Number(quantity),
        madeAt: new Date('2026-03-09T10:00:00Z'),
        useBy: new Date(`${useBy}T00:00:00Z`),
        sourceKind: 'count',
      })),
    });
    const body = { itemId: 'rcp_curd', serviceDate: '2026-03-10' };
    const byLead = (await ask(body, LEAD).expect(200)).body;
    expect(byLead.elsewhere).toEqual([{ siteId: 'site_other', amount: { value: 900, unit: 'g' } }]);
    expect((await ask(body).expect(200)).body.elsewhere).toEqual([]);
  });

  it('offers another kitchen with what it gives, and what that leaves short here', async () => {
    const body = { itemId: 'rcp_curd', serviceDate: '2026-03-10' };
    const { shortNow, kitchens } = (await ask(body, LEAD).expect(200)).body;
    expect(kitchens).toMatchObject([
      // Two hours before dinner at seven in Rome.
      { siteId: 'site_other', readyAt: '2026-03-10T16:00:00.000Z' },
    ]);
    const [{ makes, shortAfter }] = kitchens;
    expect(makes.value).toBeCloseTo(Math.min(900, shortNow.value), 6);
    expect(shortAfter.value).toBeCloseTo(shortNow.value - makes.value, 6);
    // Who may not see that site is not told what it can do.
    expect((await ask(body).expect(200)).body.kitchens).toEqual([]);
  });

  it('of what is not short is nothing; of what the plan does not know it is refused', async () => {
    const none = await ask({ itemId: 'rcp_curd', serviceDate: '2026-03-15' }).expect(200);
    expect(none.body).toMatchObject({ shortNow: { value: 0 }, remedies: [] });
    const refused = await ask({ itemId: 'rcp_nothing', serviceDate: '2026-03-10' }).expect(400);
    expect(refused.body.issues[0].pointer).toBe('/itemId');
    await ask({ itemId: 'rcp_curd', serviceDate: '2026-03-10' }, chefOf('site_other')).expect(403);
  });

  it('says that the service has been, once it has', async () => {
    test.clock.set(new Date('2026-03-10T22:30:00Z'));
    const { body } = await ask({ itemId: 'rcp_curd', serviceDate: '2026-03-10' }).expect(200);
    expect(body).toMatchObject({ hasBeen: true, remedies: [], kitchens: [] });
    const never = await ask({ itemId: 'rcp_curd', serviceDate: '2026-03-15' }).expect(200);
    expect(never.body.hasBeen).toBe(false);
  });
});
