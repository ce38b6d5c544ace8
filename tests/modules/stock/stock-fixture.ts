import { chefOf, LEAD, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';

/** Two sites, an ingredient counted in pieces with a weight, and a component in grams. */
export interface StockFixture {
  readonly test: TestApp;
  readonly siteId: string;
  readonly otherSiteId: string;
  readonly creamId: string;
  readonly lemonId: string;
  lead(): ReturnType<TestApp['as']>;
  chef(): ReturnType<TestApp['as']>;
  otherChef(): ReturnType<TestApp['as']>;
  purchasing(): ReturnType<TestApp['as']>;
  /** Puts a lot of the component on record and returns its id. */
  lot(grams: number, useBy: string, more?: object): Promise<string>;
  /** What is left of each lot of an item, first-expiring first. */
  left(itemId: string): Promise<readonly number[]>;
  /** The sum of a lot's movements. */
  moved(lotId: string): Promise<number>;
  close(): Promise<void>;
}

let made = 0;

export async function startStockFixture(): Promise<StockFixture> {
  const test = await startTestApp('2026-03-10T05:30:00Z');
  const { prisma } = test.database;
  const site = { zone: 'Europe/Rome', currency: 'EUR', ruleSet: 'eu', hours: [] } as const;
  const boathouse = await test.services.sites.create(LEAD, { ...site, name: 'Boathouse' });
  const orangery = await test.services.sites.create(LEAD, { ...site, name: 'Orangery' });
  const creamId = 'rcp_almond-cream';
  const lemonId = 'ing_lemon';
  await prisma.recipe.create({
    data: { id: creamId, kind: 'component', name: 'Almond cream', baseUnit: 'g', station: 'oven' },
  });
  await prisma.ingredient.create({
    data: { id: lemonId, name: 'Lemon', baseUnit: 'each', pieceMassG: 120 },
  });
  const chef = () => test.as(chefOf(boathouse.id));
  return {
    test,
    siteId: boathouse.id,
    otherSiteId: orangery.id,
    creamId,
    lemonId,
    lead: () => test.as(LEAD),
    chef,
    otherChef: () => test.as(chefOf(orangery.id)),
    purchasing: () => test.as(PURCHASING),
    lot: async (grams, useBy, more = {}) => {
      made += 1;
      const answer = await chef()
        .post(`/v1/sites/${boathouse.id}/stock-lots`)
        .send({
          itemKind: 'component',
          itemId: creamId,
          amount: { value: grams, unit: 'g' },
          useBy,
          source: 'found',
          note: `lot ${made}`,
          ...more,
        })
        .expect(201);
      return answer.body.id as string;
    },
    left: async (itemId) =>
      (
        await prisma.stockLot.findMany({
          where: { itemId, archivedAt: null },
          orderBy: [{ useBy: 'asc' }, { id: 'asc' }],
        })
      ).map((lot) => lot.quantity),
    moved: async (lotId) =>
      (await prisma.stockMovement.findMany({ where: { lotId } })).reduce(
        (sum, movement) => sum + movement.quantity,
        0,
      ),
    close: () => test.close(),
  };
}
