import { parse } from 'csv-parse/sync';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { addDairy } from '../helpers/dairy.ts';
import { SITE } from '../helpers/demo-site.ts';
import { SYSTEM } from '../helpers/test-app.ts';
import {
  eventually,
  expectAccessible,
  expectFingerSized,
  OUTPUT,
  picture,
  pictureFailures,
  print,
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
  kitchen = await startKitchen([{ name: 'pia', role: 'purchasing', siteIds: 'all' }]);
  await addDairy(kitchen.server.database);
  await kitchen.server.services.prep.workOut(SYSTEM, SITE, 7);
  browser = await startBrowser({ acceptDownloads: true });
  page = await browser.context.newPage();
});
afterAll(async () => {
  await browser?.close();
  await kitchen?.close();
});

const orders = () => kitchen.server.database.prisma.order;
const lines = () => kitchen.server.database.prisma.orderLine;
const firstOrder = () => orders().findFirstOrThrow({ orderBy: { deliveryDate: 'asc' } });
const firstLine = () =>
  lines().findFirstOrThrow({
    orderBy: { order: { deliveryDate: 'asc' } },
    include: { order: true },
  });

describe("purchasing's morning in Chromium", () => {
  it('lands on the orders, works them out, and says what nobody sells', async () => {
    await signIn(page, kitchen.url, 'pia');
    await page.getByRole('heading', { level: 1, name: 'Orders' }).waitFor();
    await page.getByText('No orders yet. Work them out from the prep plans.').waitFor();
    await page.getByRole('button', { name: 'Work out the orders' }).click();
    await page.getByRole('heading', { level: 3, name: 'Lakeside Dairy' }).first().waitFor();
    await page.getByRole('heading', { name: 'Cannot be bought in time' }).waitFor();
    const missing = page.getByRole('region', { name: 'Cannot be bought in time' });
    await missing.getByText(/Flour: .+ short,/).click();
    await missing
      .getByText(/Nobody who delivers there sells it/)
      .first()
      .waitFor();
    await missing.getByText('For Lemon tart').first().waitFor();
    // Lemons, flour and tomorrow's butter: an entry each, however many days they are missing on.
    expect(await missing.locator('.missing > li').count()).toBe(3);
    expect((await firstOrder()).deliveryDate.toISOString().slice(0, 10)).toBe('2026-03-12');
    await page.getByRole('heading', { level: 2, name: 'Delivery Thursday 12 March' }).waitFor();
    // The cutoff is Wednesday 14:00 in Rome, 13:00 UTC; it is Tuesday 05:30 UTC.
    await page.getByText(/Order by Wed\s14:00,\s+1\sday\s7\sh left/).waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'orders');
  });

  it('warns ahead of what the menus count on and cannot be had, with what may stand in', async () => {
    const { prisma } = kitchen.server.database;
    await prisma.ingredient.update({
      where: { id: 'ing_flour' },
      data: { withdrawnFrom: new Date('2026-03-20T00:00:00Z') },
    });
    await prisma.ingredient.create({ data: { id: 'ing_rice', name: 'Rice flour', baseUnit: 'g' } });
    await prisma.ingredientSubstitute.create({
      data: { id: 'sst_1', ingredientId: 'ing_flour', substituteId: 'ing_rice' },
    });
    await page.reload();
    const warning = page.getByRole('region', { name: 'Cannot be had for the menus' });
    await warning.getByText(/Flour: withdrawn/).waitFor();
    await warning.getByText(/from Friday 20 March to/).waitFor();
    await warning.getByText('Lemon tart').waitFor();
    await warning.getByText('What may stand in: 1').click();
    await warning.getByText(/Rice flour/).waitFor();
    await warning.getByText(/Allergens not declared/).waitFor();
    // What the last working-out could not buy is still there, and who worked it out.
    await page.getByRole('heading', { name: 'Cannot be bought in time' }).waitFor();
    await page.getByText(/Worked out on .* by pia/i).waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'orders-warnings');
  });

  it('shows an order line by line, with the way from the guests to the packs', async () => {
    await page.getByRole('link', { name: SITE }).first().click();
    await page.getByRole('heading', { level: 1, name: `Lakeside Dairy for ${SITE}` }).waitFor();
    await page.getByRole('button', { name: 'Why this figure? Butter' }).click();
    await page
      .getByText(/whole packs: \d+/)
      .first()
      .waitFor();
    await page.getByText(/^Covers: \d+ figures?$/).click();
    await page
      .getByText(/Covers expected/)
      .first()
      .waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'order');
  });

  it('changes packs, takes the change back, and refuses what is no whole number', async () => {
    const before = await firstLine();
    const packs = async () => (await lines().findUniqueOrThrow({ where: { id: before.id } })).packs;
    const field = page.getByLabel('Packs of Butter');
    await field.fill(String(before.packs + 3));
    await field.press('Tab');
    await page.getByText(`Butter: ${before.packs} → ${before.packs + 3} packs.`).waitFor();
    expect(await packs()).toBe(before.packs + 3);
    await page.getByRole('button', { name: 'Undo' }).click();
    await eventually(packs).toBe(before.packs);
    // The page shows the answer before the next figure is typed, or it would go with the redrawing.
    await page.getByText(`Butter: ${before.packs + 3} → ${before.packs} packs.`).waitFor();
    await field.fill('2.5');
    await field.press('Tab');
    await page.getByText('Write a whole number of packs').waitFor();
    await expectAccessible(page);
    expect(await packs()).toBe(before.packs);
    await page.reload();
    await page.getByRole('heading', { level: 1, name: /Lakeside Dairy/ }).waitFor();
  });

  it('says so when somebody else changed the order meanwhile, and shows how it stands', async () => {
    const line = await firstLine();
    await kitchen.server.services.orders.setPacks(
      { ...SYSTEM, role: 'lead' },
      line.orderId,
      line.order.rev,
      line.id,
      line.packs + 1,
    );
    await page.getByLabel('Packs of Butter').fill('40');
    await page.getByLabel('Packs of Butter').press('Tab');
    await page.getByText(/Somebody else changed this order meanwhile/).waitFor();
    await eventually(() => page.getByLabel('Packs of Butter').inputValue()).toBe(
      String(line.packs + 1),
    );
    expect((await lines().findUniqueOrThrow({ where: { id: line.id } })).packs).toBe(
      line.packs + 1,
    );
  });

  it('downloads the order as CSV with what the database holds', async () => {
    const downloading = page.waitForEvent('download');
    await page.getByRole('link', { name: 'Download CSV' }).click();
    const file = await (await downloading).path();
    const rows = parse(readFileSync(file), { bom: true, columns: true }) as Record<
      string,
      string
    >[];
    const held = await lines().findMany({ where: { orderId: (await firstOrder()).id } });
    expect(rows).toHaveLength(held.length);
    expect(Object.values(rows[0] ?? {})).toEqual(
      expect.arrayContaining(['LD-100', String(held[0]?.packs)]),
    );
  });

  it('leaves time to undo an approval before it is sent, then approves and numbers the order', async () => {
    const status = async () => (await firstOrder()).status;
    await page.getByRole('button', { name: 'Approve' }).click();
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByRole('button', { name: 'Approve' }).waitFor();
    expect(await status()).toBe('proposed');
    await page.getByRole('button', { name: 'Approve' }).click();
    await page.getByRole('button', { name: 'Approve at once' }).click();
    await page.getByText('Approved.', { exact: true }).waitFor();
    expect(await status()).toBe('approved');
    await page.getByText('Order 1', { exact: true }).waitFor();
    expect(await page.getByLabel('Packs of Butter').count()).toBe(0);
  });

  it('is sent, and confirmed in another number', async () => {
    await page.getByRole('button', { name: 'It is with the supplier' }).click();
    await page.getByText('The order is sent.').waitFor();
    const { packs } = await firstLine();
    await page.getByRole('button', { name: 'The supplier confirms' }).click();
    await page.getByLabel('Their reference').fill('LD-7788');
    await page.getByLabel('Packs confirmed of Butter').fill('some');
    await page.getByRole('button', { name: 'It is confirmed' }).click();
    await page
      .getByRole('alert')
      .filter({ hasText: /number/i })
      .waitFor();
    await page.getByLabel('Packs confirmed of Butter').fill(String(packs + 1));
    await expectAccessible(page);
    await expectFingerSized(page);
    await page.getByRole('button', { name: 'It is confirmed' }).click();
    await page.getByText('The order is confirmed.').waitFor();
    expect(await firstOrder()).toMatchObject({ status: 'confirmed', supplierRef: 'LD-7788' });
    expect((await firstLine()).confirmedPacks).toBe(packs + 1);
  });

  it('goes to the supplier on a sheet: number, delivery, lines and total', async () => {
    const order = await firstOrder();
    const { packs } = await firstLine();
    await page.getByRole('link', { name: 'Order sheet' }).click();
    await page.getByRole('heading', { level: 1, name: `Order ${order.number} (copy)` }).waitFor();
    const sheet = page.getByRole('article');
    await sheet.getByText('Lakeside Dairy').waitFor();
    await sheet.getByText(/^Thursday,? 12 March 2026$/).waitFor();
    const cells = await sheet.locator('tbody tr').first().getByRole('cell').allInnerTexts();
    const total = `€${(9 * packs).toFixed(2)}`;
    expect(cells).toEqual([
      '1',
      'LD-100',
      'Butter',
      'Butter, 1 kg block',
      String(packs),
      `${packs} kg`,
      '€9.00',
      total,
      '',
    ]);
    expect(await sheet.getByRole('definition').allInnerTexts()).toEqual([total, total]);
    await expectAccessible(page);
    await page.emulateMedia({ media: 'print' });
    expect(await page.getByRole('link', { name: 'Back to the order' }).isVisible()).toBe(false);
    await page.screenshot({ path: path.join(OUTPUT, 'order-sheet-print.png'), fullPage: true });
    expect(await print(page, 'order-sheet-a4')).toBe(1);
    await page.emulateMedia({ media: null });
    await page.getByRole('link', { name: 'Back to the order' }).click();
    await page.getByRole('heading', { level: 1, name: /Lakeside Dairy/ }).waitFor();
  });

  it('is taken in at the door, what is odd only on purpose, and stands on the shelf', async () => {
    await page.getByRole('button', { name: 'Take goods in' }).click();
    const came = page.getByLabel('Packs taken in of Butter');
    const expected = Number(await came.inputValue());
    expect(expected).toBe((await firstLine()).confirmedPacks);
    await came.fill(String(expected + 2));
    await page.getByLabel('Use-by of Butter').fill('2026-04-20');
    await page.getByText('Refused, price, lot: Butter').click();
    await page.getByLabel('Packs refused of Butter').fill('1');
    await page.getByLabel('Why refused').fill('crushed');
    await page.getByLabel(/Price of a pack of Butter/).fill('9.50');
    await page.getByLabel('Supplier’s lot of Butter').fill('B-77');
    await page.getByRole('button', { name: 'It is taken in' }).click();
    await page.getByRole('alert').filter({ hasText: 'packs would be taken in' }).waitFor();
    expect(await kitchen.server.database.prisma.delivery.count()).toBe(0);
    await page.getByLabel('More than ordered, on purpose').check();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'order-take-in');
    await page.getByRole('button', { name: 'It is taken in' }).click();
    await page.getByText('Taken in. The lots are on the shelf.').waitFor();
    await page.getByText(/1 refused/).waitFor();
    const lot = await kitchen.server.database.prisma.stockLot.findFirstOrThrow({
      where: { itemId: 'ing_butter' },
    });
    expect(lot.useBy.toISOString().slice(0, 10)).toBe('2026-04-20');
    expect(lot.quantity).toBe((expected + 2) * 1000);
    expect((await firstOrder()).status).toBe('received');
  });

  it('is checked against the invoice, which says what is due back, and closed', async () => {
    await page.getByRole('button', { name: 'Check an invoice' }).click();
    await page.getByLabel('Number of the invoice').fill('R-2026-31');
    await page.getByLabel('Price on the invoice of Butter').fill('10,00');
    await expectAccessible(page);
    await expectFingerSized(page);
    await page.getByRole('button', { name: 'Check it' }).click();
    await page.getByText(/Invoice R-2026-31 of/).waitFor();
    await page.getByText(/Due back: €[\d.]+/).waitFor();
    await page.getByText(/dearer than ordered/).waitFor();
    await page.getByText('What became of it').click();
    await expectAccessible(page);
    await picture(page, 'order-checked');
    await page.getByRole('button', { name: 'The order is done' }).click();
    await page.getByText('The order is closed.').waitFor();
    expect((await firstOrder()).status).toBe('closed');
  });

  it('fits a phone and prints on one sheet', async () => {
    await page.setViewportSize({ width: 360, height: 740 });
    await expectFingerSized(page);
    await picture(page, 'order-phone');
    expect(await print(page, 'order-a4')).toBe(1);
    await page.goto(`${kitchen.url}/#/orders?show=all`);
    await page.getByText('closed', { exact: true }).waitFor();
    await expectFingerSized(page);
    await expectAccessible(page);
  });

  it('shows what buying together saves, and takes it', async () => {
    const { prisma } = kitchen.server.database;
    await prisma.supplier.update({ where: { id: 'sup_dairy' }, data: { deliveryCharge: '10' } });
    await prisma.supplierSite.create({ data: { supplierId: 'sup_dairy', siteId: 'site_other' } });
    await prisma.transferRoute.create({
      data: {
        id: 'way_1',
        fromSiteId: SITE,
        toSiteId: 'site_other',
        weekdays: [1, 2, 3, 4, 5, 6, 7],
        leavesAt: '07:00',
        arrivesAt: '08:00',
        cutoffHours: 4,
        costPerTrip: '1',
        currency: 'EUR',
      },
    });
    await prisma.prepPlan.create({
      data: {
        id: 'plan_o',
        siteId: 'site_other',
        fromDate: new Date('2026-03-10T00:00:00Z'),
        toDate: new Date('2026-03-17T00:00:00Z'),
        status: 'current',
        inputsHash: 'o',
        workedOutAt: new Date('2026-03-10T00:00:00Z'),
        summary: {},
        needs: {
          create: {
            id: 'need_o',
            siteId: 'site_other',
            ingredientId: 'ing_butter',
            needDate: new Date('2026-03-15T00:00:00Z'),
            at: new Date('2026-03-15T12:00:00Z'),
            quantity: 200,
            certainQuantity: 0,
            node: 'node_o',
          },
        },
      },
    });
    await prisma.explanation.create({
      data: {
        id: 'exp_o',
        subjectKind: 'prep plan',
        subjectId: 'plan_o',
        nodes: [
          { id: 'node_o', label: 'Butter', value: 200, unit: 'g', formula: 'given', inputs: [] },
        ],
      },
    });
    await page.goto(`${kitchen.url}/#/orders`);
    const joint = page.getByRole('region', { name: 'Buying together' });
    await joint.getByRole('button', { name: 'Work out what that costs' }).click();
    await joint.getByText(/Together saves/).waitFor();
    // What leaves less missing may be dearer; that is no saving of less than nothing.
    const proposed = { status: 'proposed' };
    const saving = (amount: string) =>
      prisma.jointPurchase.updateMany({ where: proposed, data: { saving: amount } });
    const [{ saving: saved } = { saving: '0' }] = await prisma.jointPurchase.findMany({
      where: proposed,
    });
    await saving('-3.2');
    await page.reload();
    await joint.getByText('Together costs €3.20 more, and less is left over or missing.').waitFor();
    await saving(String(saved));
    await page.reload();
    await joint.getByText(/Together saves/).waitFor();
    await joint.getByText(/of Butter from site_test to site_other, trip of/).waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'orders-together');
    await joint.getByRole('button', { name: 'Buy together' }).click();
    await joint.getByText('The orders are worked out again, with what is carried on.').waitFor();
    const carries = await prisma.goodsCarry.findMany();
    expect(carries.map(({ toSiteId }) => toSiteId)).toEqual(['site_other']);
    expect(carries[0]?.quantity).toBeCloseTo(200, 6);
  });
});
