import { beforeEach, describe, expect, it } from 'vitest';
import { app, pack, supplier, useBuyingDesk } from '../../helpers/buying-desk.ts';
import { DISH, SERVICE, SITE } from '../../helpers/demo-site.ts';
import { chefOf, LEAD } from '../../helpers/test-app.ts';

useBuyingDesk();

const lead = () => app().as(LEAD);
const warnings = async (days = 28) =>
  (await lead().get(`/v1/sites/${SITE}/availability-warnings?days=${days}`).expect(200)).body;
const butter = (data: object) =>
  app().database.prisma.ingredient.update({ where: { id: 'ing_butter' }, data });

beforeEach(async () => {
  await butter({ seasonMonths: [], withdrawnFrom: null, allergens: null, trimYield: 1 });
  await app().database.prisma.ingredientSubstitute.deleteMany();
  await supplier('sup_a');
  await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
});

describe('warnings before the menu date', () => {
  it('name the dish, its services and their guests, when a season ends under a menu', async () => {
    expect((await warnings()).items).toEqual([]);
    await butter({ seasonMonths: [3] });
    await lead().get(`/v1/sites/${SITE}/covers-forecasts`).expect(200);
    const { items, from, to, notice } = await warnings();
    expect({ from, to }).toEqual({ from: '2026-03-10', to: '2026-04-06' });
    expect(notice).toContain('Check the label');
    // Butter keeps three days: what comes on 31 March serves until 3 April.
    expect(items).toMatchObject([
      {
        ingredient: { id: 'ing_butter', name: 'Butter' },
        reason: 'out-of-season',
        firstDate: '2026-04-04',
        lastDate: '2026-04-06',
        daysAhead: 25,
        substitutes: [],
      },
    ]);
    const [dish] = items[0].dishes;
    expect(items[0].dishes).toHaveLength(1);
    expect(dish.dish).toEqual({ id: DISH, name: 'Lemon tart' });
    expect(dish.services.map((s: { date: string }) => s.date)).toEqual([
      '2026-04-04',
      '2026-04-05',
      '2026-04-06',
    ]);
    expect(dish.services[0].service).toEqual({ id: SERVICE, name: 'Dinner' });
    const covers = dish.services.map((s: { covers: number | null }) => s.covers);
    expect(covers.every((c: number | null) => c !== null && c > 0)).toBe(true);
    expect(items[0].covers).toBeCloseTo(
      covers.reduce((sum: number, c: number) => sum + c, 0),
      9,
    );
    // A portion takes 60 g of a curd with 300 g in 1200 g, and a shell of 20 that take 210 g.
    const perPortion = (60 * 300) / 1200 + 210 / 20;
    expect(items[0].amount.value).toBeCloseTo(items[0].covers * 0.5 * perPortion, 6);
  });

  it('come for what is withdrawn or out of stock at everybody, and not while somebody has it', async () => {
    await butter({ withdrawnFrom: new Date('2026-03-20T00:00:00Z') });
    expect((await warnings()).items).toMatchObject([
      { reason: 'withdrawn', firstDate: '2026-03-23', lastDate: '2026-04-06' },
    ]);
    await butter({ withdrawnFrom: null });
    const gap = { fromDate: '2026-03-12', toDate: '2026-03-20' };
    await lead().post('/v1/suppliers/sup_a/gaps').send(gap).expect(201);
    expect((await warnings()).items).toMatchObject([
      { reason: 'out-of-stock', firstDate: '2026-03-15', lastDate: '2026-03-20' },
    ]);
    await supplier('sup_b');
    await pack('pack_b', 'sup_b', 500, [[1, '9.00']]);
    expect((await warnings()).items).toEqual([]);
  });

  it('leave out days on which no service is held', async () => {
    await butter({ seasonMonths: [3] });
    const closed = await app().database.prisma.closedDay.create({
      data: { id: 'cls_t', siteId: SITE, date: new Date('2026-04-05T00:00:00Z'), reason: 'fair' },
    });
    const { items } = await warnings();
    expect(items[0].dishes[0].services.map((s: { date: string }) => s.date)).toEqual([
      '2026-04-04',
      '2026-04-06',
    ]);
    await app().database.prisma.closedDay.delete({ where: { id: closed.id } });
  });

  it('say of each substitute what it costs, keeps and brings in, and offer none that is missing too', async () => {
    await lead().get(`/v1/sites/${SITE}/covers-forecasts`).expect(200);
    const { prisma } = app().database;
    await butter({
      seasonMonths: [3],
      allergens: { contains: ['milk'], mayContain: ['nuts'], sulphitesMgPerKg: null },
    });
    await prisma.ingredient.createMany({
      data: [
        {
          id: 'ing_fat',
          name: 'Plant fat',
          baseUnit: 'g',
          trimYield: 0.8,
          allergens: { contains: ['nuts'], mayContain: [], sulphitesMgPerKg: null },
        },
        { id: 'ing_gone', name: 'Gone fat', baseUnit: 'g', withdrawnFrom: new Date('2026-03-01') },
      ],
      skipDuplicates: true,
    });
    await prisma.pack.create({
      data: {
        id: 'pack_fat',
        supplierId: 'sup_a',
        ingredientId: 'ing_fat',
        name: 'fat',
        sku: 'fat',
        value: 1000,
        unit: 'g',
        quantity: 1000,
        prices: {
          create: {
            id: 'price_fat',
            validFrom: new Date('2026-01-01'),
            amount: '4.00',
            source: 'list',
          },
        },
      },
    });
    for (const id of ['ing_fat', 'ing_gone']) {
      await lead().put(`/v1/ingredients/ing_butter/substitutes/${id}`).send({}).expect(200);
    }
    const [warning] = (await warnings()).items;
    expect(warning.substitutes).toHaveLength(1);
    expect(warning.substitutes[0]).toMatchObject({
      ingredient: { id: 'ing_fat', name: 'Plant fat' },
      allergenChange: 'more',
      containsAdded: ['nuts'],
      allergenNames: [
        { code: 'nuts', label: 'Nuts', kind: null },
        { code: 'milk', label: 'Milk', kind: null },
      ],
      containsRemoved: ['milk'],
      mayContainRemoved: ['nuts'],
    });
    expect(warning.substitutes[0].amount.value).toBeCloseTo(warning.amount.value / 0.8, 6);

    const path = `/v1/sites/${SITE}/ingredients/ing_butter/substitutes`;
    const { body } = await lead().get(`${path}?quantity=1000&on=2026-04-04`).expect(200);
    // 1000 g of butter at 10.00 a kilo against 1250 g of fat, four fifths kept, at 4.00 a kilo.
    expect(body.items[0]).toMatchObject({
      amount: { value: 1250, unit: 'g' },
      costChange: { amount: '-5.00', currency: 'EUR' },
    });
    expect(body.items[0].yieldChange).toBeCloseTo(-0.2, 12);
    await lead().get(`${path}?on=2026-03-09`).expect(400);
    await lead().get(`${path}?on=9999-12-31`).expect(400);
    await lead().get(`${path}?quantity=0`).expect(400);
    await lead().get(path.replace('ing_butter', 'ing_none')).expect(404);
    await prisma.pack.delete({ where: { id: 'pack_fat' } });
  });

  it('are for the people of the site', async () => {
    const other = app().as(chefOf('site_other'));
    await other.get(`/v1/sites/${SITE}/availability-warnings`).expect(403);
    await lead().get(`/v1/sites/${SITE}/availability-warnings?days=0`).expect(400);
  });
});
