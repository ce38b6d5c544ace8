import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { DISH, fillKitchen, SERVICE, SITE } from '../../helpers/demo-site.ts';
import { chefOf, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
});
afterAll(() => test.close());

describe('a sale', () => {
  const sale = (date: string) =>
    test
      .as(chefOf(SITE))
      .put(`/v1/services/${SERVICE}/covers/${date}/sales/${DISH}`)
      .send({ portions: 12 });

  it('dated before the menu begins is refused with a pointer and changes nothing', async () => {
    // The menu of the test kitchen begins on 1 March.
    const refused = await sale('2026-02-27').expect(400);
    expect(refused.body.issues[0].pointer).toBe('/serviceDate');
    expect(refused.body.detail).toContain('2026-02-27');
    expect(await test.database.prisma.dishSale.count()).toBe(0);
  });

  it('inside the menu is kept', async () => {
    await sale('2026-03-09').expect(200);
    expect(await test.database.prisma.dishSale.count()).toBe(1);
  });
});
