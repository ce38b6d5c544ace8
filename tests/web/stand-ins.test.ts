import { type Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import {
  eventually,
  expectAccessible,
  expectFingerSized,
  picture,
  pictureFailures,
  signIn,
  startBrowser,
  startKitchen,
  type KitchenService,
  type TestBrowser,
} from './kitchen-in-browser.ts';

let kitchen: KitchenService;
let browser: TestBrowser;
let page: Page;
pictureFailures(() => page);

beforeAll(async () => {
  kitchen = await startKitchen([
    { name: 'pia', role: 'purchasing', siteIds: 'all' },
    { name: 'lea', role: 'lead', siteIds: 'all' },
  ]);
  browser = await startBrowser();
  page = await browser.context.newPage();
  const { prisma } = kitchen.server.database;
  const declared = (contains: string[], mayContain: string[]) => ({
    allergens: { contains, mayContain, sulphitesMgPerKg: null },
  });
  await prisma.ingredient.update({
    where: { id: 'ing_flour' },
    data: {
      withdrawnFrom: new Date('2026-03-20T00:00:00Z'),
      ...declared(['gluten:wheat'], []),
    },
  });
  await prisma.ingredient.create({
    data: {
      id: 'ing_almond',
      name: 'Ground almonds',
      baseUnit: 'g',
      ...declared(['nuts:almond'], ['milk']),
    },
  });
});
afterAll(async () => {
  await browser?.close();
  await kitchen?.close();
});

const warning = () => page.getByRole('region', { name: 'Cannot be had for the menus' });
const held = () =>
  kitchen.server.database.prisma.ingredientSubstitute.findFirst({
    where: { substituteId: 'ing_almond' },
  });

it('lets the lead name what stands in, with how much of it, and says what it brings', async () => {
  await signIn(page, kitchen.url, 'lea');
  await page.getByRole('heading', { level: 1 }).waitFor();
  await page.goto(`${kitchen.url}/#/orders`);
  await warning().getByRole('button', { name: 'Name a stand-in: Flour' }).click();
  await warning().getByRole('heading', { name: 'A stand-in for Flour' }).waitFor();
  await warning().getByLabel('Which ingredient').fill('Flour');
  await warning().getByRole('button', { name: 'Keep' }).click();
  await warning().getByRole('alert').filter({ hasText: 'cannot stand in for itself' }).waitFor();
  expect(await held()).toBeNull();
  await warning().getByLabel('Which ingredient').fill('Ground almonds');
  await warning()
    .getByLabel(/How much of it/)
    .fill('1,2');
  await warning().getByRole('button', { name: 'Keep' }).click();
  await warning().getByText('Ground almonds may stand in.').waitFor();
  await warning().getByText('1.2 for 1').waitFor();
  await warning().getByText('What may stand in: 1').click();
  await warning()
    .getByText(
      /Brings in Nuts \(almond\); may bring in Milk; without Cereals containing gluten \(wheat\)/,
    )
    .waitFor();
  await expectAccessible(page);
  await expectFingerSized(page);
  await picture(page, 'orders-stand-ins');
  expect(await held()).toMatchObject({ ingredientId: 'ing_flour', ratio: 1.2 });
});

it('takes a stand-in off again, and back', async () => {
  await warning().getByRole('button', { name: 'No stand-in any more: Ground almonds' }).click();
  await warning().getByText('Ground almonds does not stand in any more.').waitFor();
  expect(await held()).toBeNull();
  await warning().getByRole('button', { name: 'Undo' }).click();
  await eventually(async () => (await held())?.ratio).toBe(1.2);
});

it('shows who buys what was named; naming it stays with the lead', async () => {
  await browser.context.clearCookies();
  await page.goto('about:blank');
  await signIn(page, kitchen.url, 'pia');
  await warning().getByText('What may stand in: 1').waitFor();
  expect(
    await warning()
      .getByRole('button', { name: /Name a stand-in/ })
      .count(),
  ).toBe(0);
});
