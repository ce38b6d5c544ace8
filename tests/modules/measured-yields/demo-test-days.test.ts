import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readDemo } from '../../../seed/load/load-demo.ts';
import { loadIngredients, loadSites } from '../../../seed/load/load-kitchen.ts';
import { loadRecipes } from '../../../seed/load/load-recipes.ts';
import { loadTestDays } from '../../../seed/load/load-test-days.ts';
import { LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
const TODAY = '2026-03-10';
beforeAll(async () => {
  test = await startTestApp();
  const data = readDemo();
  await test.database.prisma.$transaction(
    async (db) => {
      await loadSites(db, data);
      await loadIngredients(db, data, TODAY);
      await loadRecipes(db, data, TODAY);
      await loadTestDays(db, TODAY);
    },
    { timeout: 120_000 },
  );
});
afterAll(() => test.close());

describe('the demo’s test days', () => {
  it('propose a rhubarb yield from two sites, the withdrawn weighing kept and left out', async () => {
    const path = '/v1/recipes/rcp_roast-rhubarb/measured-yields';
    const { weighed } = (await test.as(LEAD).get(path).expect(200)).body;
    expect(weighed).toHaveLength(1);
    const [rhubarb] = weighed;
    // 2030/2400, 2010/2350 and 1505/1800: mean 0.8457.
    expect(rhubarb.spread).toMatchObject({ n: 3 });
    expect(rhubarb.proposal.proposedFraction).toBe(0.846);
    expect(rhubarb.currentFraction).toBe(0.75);
    expect(rhubarb.sites).toHaveLength(2);
    expect(rhubarb.samples).toHaveLength(4);
  });

  it('set one site’s oven lower on its own card only', async () => {
    const card = async (site: string) =>
      (
        await test
          .as(LEAD)
          .get(`/v1/recipe-versions/ver_tart-shell-1/card?site=${site}&on=${TODAY}`)
          .expect(200)
      ).body;
    const [own, other] = [await card('site_molo'), await card('site_serafina')];
    expect(own.batches[0].steps[2].temperatureC).toBe(150);
    expect(own.siteChanges).toHaveLength(1);
    expect(other.batches[0].steps[2].temperatureC).toBe(160);
    expect(other.siteChanges).toEqual([]);
  });
});
