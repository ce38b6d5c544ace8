import { beforeAll, describe, expect, it } from 'vitest';
import { addDairy } from '../helpers/dairy.ts';
import { SITE } from '../helpers/demo-site.ts';
import { SYSTEM } from '../helpers/test-app.ts';
import { browser, inKitchen, kitchen, page } from './in-kitchen.ts';
import { expectAccessible, expectFingerSized, picture, signIn } from './kitchen-in-browser.ts';

// Pia says what the dairy cannot give and binds the kitchen to it; what one kitchen buys for another
// is called off by her or taken in by the chef it is for.
const OTHER = 'site_other';

inKitchen([
  { name: 'pia', role: 'purchasing', siteIds: 'all' },
  { name: 'otto', role: 'chef', siteIds: [OTHER] },
]);
beforeAll(async () => {
  await addDairy(kitchen.server.database, { shelfLifeDays: 20 });
  await db().ingredient.update({ where: { id: 'ing_butter' }, data: { category: 'dairy' } });
  await kitchen.server.services.prep.workOut(SYSTEM, SITE, 7);
});

const db = () => kitchen.server.database.prisma;
const go = (hash: string) => page.goto(`${kitchen.url}/${hash}`);
const region = (name: string) => page.getByRole('region', { name });
const says = (text: string | RegExp) =>
  page.getByRole('status').filter({ hasText: text }).first().waitFor();
const as = async (name: string, hash: string): Promise<void> => {
  await browser.context.clearCookies();
  await go('#/');
  await page.evaluate('sessionStorage.clear()');
  await page.reload();
  await signIn(page, kitchen.url, name);
  await page.getByRole('navigation', { name: 'Pages' }).waitFor();
  await go(hash);
};
const runOrders = async () =>
  (await kitchen.server.services.orders.runOrders(SYSTEM, { siteIds: [SITE], days: 7 })).orders;

describe('what a supplier cannot give', () => {
  it('is said on its page, and orders go by it', async () => {
    expect((await runOrders()).some(({ deliveryDate }) => deliveryDate > '2026-03-11')).toBe(true);
    await as('pia', '#/supplier/sup_dairy');
    const gaps = region('What it cannot give');
    await gaps.getByText('Nothing is missing at this supplier.').waitFor();
    await gaps.getByRole('button', { name: 'Say what it cannot give' }).click();
    await gaps.getByLabel('What').selectOption({ label: 'Butter' });
    await gaps.getByLabel('First delivery day').fill('2026-03-12');
    await gaps.getByLabel(/^Last delivery day/).fill('2026-03-11');
    await gaps.getByLabel('Note').fill('the churn is broken');
    await expectAccessible(page);
    await expectFingerSized(page);
    await gaps.getByRole('button', { name: 'Keep' }).click();
    await gaps
      .getByRole('alert')
      .filter({ hasText: 'The last day is before the first.' })
      .waitFor();
    expect(await db().supplyGap.count()).toBe(0);
    await gaps.getByLabel(/^Last delivery day/).fill('2026-03-31');
    await gaps.getByRole('button', { name: 'Keep' }).click();
    await says('Butter: kept.');
    await gaps.getByText('the churn is broken').waitFor();
    await gaps.getByText(/out of stock, .*12 Mar to .*31 Mar/).waitFor();
    expect(await db().supplyGap.findFirst()).toMatchObject({
      supplierId: 'sup_dairy',
      ingredientId: 'ing_butter',
      packId: null,
      kind: 'out-of-stock',
      enteredBy: 'pia',
    });
    // What the days of the gap need comes the day before it begins.
    expect((await runOrders()).map(({ deliveryDate }) => deliveryDate)).toEqual(['2026-03-11']);
  });

  it('is changed as it was last read, ended, and comes back by undo', async () => {
    const gaps = region('What it cannot give');
    await gaps.getByRole('button', { name: 'Change: Butter' }).click();
    await gaps.getByLabel('Why').selectOption({ label: 'given up for good' });
    expect(await gaps.getByLabel(/^Last delivery day/).count()).toBe(0);
    await gaps.getByRole('button', { name: 'Keep' }).click();
    await gaps.getByText(/given up for good, from .*12 Mar on/).waitFor();
    await gaps.getByRole('button', { name: 'End it: Butter' }).click();
    await says('Butter can be had again.');
    expect(await db().supplyGap.count()).toBe(0);
    await page.getByRole('button', { name: 'Undo' }).click();
    await gaps.getByText('the churn is broken').waitFor();
    expect(await db().supplyGap.findFirst()).toMatchObject({ kind: 'withdrawn' });
    await gaps.getByRole('button', { name: 'End it: Butter' }).click();
    await gaps.getByText('Nothing is missing at this supplier.').waitFor();
    expect((await runOrders()).length).toBeGreaterThan(0);
  });
});

describe('a contract', () => {
  it('binds a site to buy a category from the supplier, and the order says so', async () => {
    const contracts = region('Contracts');
    await contracts.getByText('No site is bound to buy here.').waitFor();
    await contracts.getByRole('button', { name: 'Bind a site' }).click();
    await contracts.getByLabel('Site').selectOption({ label: SITE });
    await contracts.getByLabel('Must buy here').selectOption({ label: 'dairy' });
    await contracts.getByLabel('First delivery day').fill('2026-01-01');
    await contracts.getByLabel('Note').fill('one price all year');
    await expectAccessible(page);
    await contracts.getByRole('button', { name: 'Keep' }).click();
    await says(`The contract of ${SITE} is kept.`);
    await contracts.getByText('buys here: dairy').waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'supplier-terms');
    // The same again is refused and changes nothing.
    await contracts.getByRole('button', { name: 'Bind a site' }).click();
    await contracts.getByLabel('Must buy here').selectOption({ label: 'dairy' });
    await contracts.getByRole('button', { name: 'Keep' }).click();
    await contracts
      .getByRole('alert')
      .filter({ hasText: /contract stands/ })
      .waitFor();
    await contracts.getByRole('button', { name: 'Leave' }).click();
    expect(await db().supplyContract.count()).toBe(1);
    const [order] = await runOrders();
    await go(`#/orders/${order?.id}`);
    await page.getByText('Bound by contract.').first().waitFor();
  });
});

describe('what one site buys for another', () => {
  it('is on a page of its own, and taken in by the chef it is for', async () => {
    await db().jointPurchase.create({
      data: {
        id: 'jpu_t',
        siteIds: [SITE, OTHER],
        currency: 'EUR',
        days: 7,
        status: 'accepted',
        choice: 'together',
        separateCost: '20',
        togetherCost: '11',
        saving: '9',
        inputs: [],
        plans: { separate: [], together: [], carries: [] },
        workedOutAt: new Date('2026-03-10T05:00:00Z'),
        workedOutBy: 'pia',
      },
    });
    const date = (day: string) => new Date(`${day}T00:00:00Z`);
    await db().goodsCarry.createMany({
      data: ['2026-03-11', '2026-03-13'].map((tripDate, i) => ({
        id: `gca_${i}`,
        jointPurchaseId: 'jpu_t',
        fromSiteId: SITE,
        toSiteId: OTHER,
        ingredientId: 'ing_butter',
        tripDate: date(tripDate),
        usableFrom: date(tripDate),
        useBy: date('2026-03-20'),
        quantity: 1200,
        uses: [{ needDate: tripDate, quantity: 1200, certain: 0 }],
        status: 'planned',
      })),
    });
    await db().stockLot.create({
      data: {
        id: 'lot_b',
        siteId: SITE,
        itemKind: 'ingredient',
        itemId: 'ing_butter',
        quantity: 1000,
        madeAt: date('2026-03-10'),
        useBy: date('2026-03-20'),
        sourceKind: 'received',
      },
    });
    await as('otto', `#/between/${OTHER}`);
    const goods = region('Goods carried from site to site');
    await goods.getByRole('button', { name: /^It came: Butter, site_other, .*11 Mar/ }).click();
    expect(await goods.getByLabel('How much came (kg)').inputValue()).toBe('1.2');
    await goods.getByRole('button', { name: 'It came', exact: true }).click();
    await goods.getByRole('alert').filter({ hasText: 'less than came' }).waitFor();
    await goods.getByLabel('How much came (kg)').fill('0,9');
    await goods.getByLabel(/^Degrees/).fill('4');
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'goods-carried');
    await goods.getByRole('button', { name: 'It came', exact: true }).click();
    await says('Butter is taken in');
    const lot = await db().stockLot.findFirstOrThrow({ where: { siteId: OTHER } });
    expect(lot).toMatchObject({ quantity: 900, sourceKind: 'transfer', sourceId: 'lot_b' });
    expect(await goods.getByRole('button', { name: /^Call it off/ }).count()).toBe(0);
  });

  it('is called off by purchasing with a reason, and what became of it stays to be read', async () => {
    await as('pia', '#/orders');
    await page.getByRole('link', { name: 'For other sites' }).click();
    await page.getByRole('heading', { level: 1, name: 'Bought by one site for another' }).waitFor();
    const goods = region('Goods carried from site to site');
    await goods.getByRole('button', { name: /^Call it off: Butter/ }).click();
    await goods.getByRole('button', { name: 'Call it off', exact: true }).click();
    await goods.getByRole('alert').waitFor();
    await goods.getByLabel('Why is it called off?').fill('the van is off the road');
    await goods.getByRole('button', { name: 'Call it off', exact: true }).click();
    await says('Butter is called off.');
    await goods.getByText('Nothing is on its way.').waitFor();
    await goods.getByText('What became of 2').click();
    await goods.getByText('the van is off the road').waitFor();
    await goods.getByText(/900\s?g came, otto/).waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    expect(await db().goodsCarry.findMany({ orderBy: { id: 'asc' } })).toMatchObject([
      { status: 'carried' },
      { status: 'dropped', reason: 'the van is off the road' },
    ]);
  });
});
