import { DISH, fillKitchen, SITE } from './demo-site.ts';
import { LEAD, type TestApp } from './test-app.ts';

// The kitchen of demo-site and a second one beside it, which makes tart shells for it: trips every
// day at two in the afternoon, boxes of twelve. The clock stands on 2026-03-10, 05:30 UTC.
export const MAKER = 'site_other';
export const SHELL = 'rcp_shell';
export { DISH, SITE };

export const routeBody = (more: object = {}) => ({
  fromSiteId: MAKER,
  toSiteId: SITE,
  weekdays: [1, 2, 3, 4, 5, 6, 7],
  leavesAt: '14:00',
  arrivesAt: '15:30',
  cutoffHours: 4,
  ...more,
});

export const productionBody = (more: object = {}) => ({
  componentId: SHELL,
  siteIds: [SITE],
  makerSiteIds: [MAKER],
  mode: 'fixed',
  fromDate: '2026-03-10',
  container: { name: 'box', amount: { value: 12, unit: '{each}' } },
  restMadeHere: false,
  reason: 'one oven for all shells',
  ...more,
});

/** Fills a fresh database with both kitchens, the way between them and the rule. */
export async function fillTwoKitchens(
  test: TestApp,
  { route = {}, production = {} }: { readonly route?: object; readonly production?: object } = {},
): Promise<{ readonly routeId: string; readonly productionId: string }> {
  await fillKitchen(test);
  await test.database.prisma.site.update({ where: { id: MAKER }, data: { name: 'Serafina' } });
  await test.database.prisma.site.update({ where: { id: SITE }, data: { name: 'Molo' } });
  const lead = test.as(LEAD);
  const way = await lead.post('/v1/transfer-routes').send(routeBody(route)).expect(201);
  const rule = await lead
    .post('/v1/central-productions')
    .send(productionBody(production))
    .expect(201);
  return { routeId: way.body.id as string, productionId: rule.body.id as string };
}
