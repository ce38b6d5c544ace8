import { SITE } from './demo-site.ts';
import { LEAD, PURCHASING, type TestApp } from './test-app.ts';

/**
 * Gives leave, in the kitchen of demo-site, to another butter, yield, oven or time; enters two other
 * butters, one with nuts, and what everything costs.
 */
export async function letSitesDiffer(
  test: TestApp,
  butterLine: string,
): Promise<{ valley: string; nutty: string }> {
  const db = test.database.prisma;
  const declares = (...contains: string[]) => ({
    contains,
    mayContain: [],
    sulphitesMgPerKg: null,
  });
  await db.ingredient.updateMany({ data: { allergens: declares() } });
  await db.ingredient.update({
    where: { id: 'ing_butter' },
    data: { allergens: declares('milk') },
  });
  await db.recipeLine.update({ where: { id: butterLine }, data: { siteMay: ['ingredient'] } });
  await db.recipeLine.update({ where: { id: 'line_shell-0' }, data: { siteMay: ['yield'] } });
  await db.recipeStep.update({
    where: { id: 'step_shell' },
    data: { siteMay: ['temperature', 'time'], temperatureC: 180 },
  });
  const ingredient = async (name: string, body: object) =>
    (
      await test
        .as(LEAD)
        .post('/v1/ingredients')
        .send({ name, baseUnit: 'g', ...body })
        .expect(201)
    ).body.id as string;
  const valley = await ingredient('Valley butter', { allergens: { contains: ['milk'] } });
  const nutty = await ingredient('Hazelnut butter', { allergens: { contains: ['nuts:hazelnut'] } });
  const supplier = await test
    .as(PURCHASING)
    .post('/v1/suppliers')
    .send({
      name: 'Valley stores',
      zone: 'Europe/Rome',
      currency: 'EUR',
      deliveryWeekdays: [2],
      cutoff: { daysBefore: 1, time: '12:00' },
      siteIds: [SITE, 'site_other'],
    })
    .expect(201);
  for (const [ingredientId, amount] of [
    ['ing_butter', '8.00'],
    [valley, '12.00'],
    [nutty, '20.00'],
    ['ing_flour', '1.00'],
    ['ing_lemon', '2.00'],
  ] as const) {
    const pack = await test
      .as(PURCHASING)
      .post(`/v1/suppliers/${supplier.body.id}/packs`)
      .send({
        ingredientId,
        name: '1 kg',
        sku: ingredientId,
        content:
          ingredientId === 'ing_lemon' ? { value: 10, unit: 'each' } : { value: 1, unit: 'kg' },
      })
      .expect(201);
    await test
      .as(PURCHASING)
      .post(`/v1/packs/${pack.body.id}/prices`)
      .send({ validFrom: '2026-01-01', amount })
      .expect(201);
  }
  return { valley, nutty };
}
