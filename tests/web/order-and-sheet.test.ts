import { beforeAll, describe, expect, it } from 'vitest';
import { addDairy } from '../helpers/dairy.ts';
import { SITE } from '../helpers/demo-site.ts';
import { SYSTEM } from '../helpers/test-app.ts';
import { inKitchen, kitchen, page } from './in-kitchen.ts';
import { expectAccessible, picture, print, signIn } from './kitchen-in-browser.ts';

inKitchen([{ name: 'pia', role: 'purchasing', siteIds: 'all' }]);
const orders = () => kitchen.server.database.prisma.order;
const firstOrder = () =>
  orders().findFirstOrThrow({ orderBy: { deliveryDate: 'asc' }, include: { lines: true } });

beforeAll(async () => {
  await addDairy(kitchen.server.database);
  await kitchen.server.services.prep.workOut(SYSTEM, SITE, 7);
  await kitchen.server.services.orders.runOrders(SYSTEM, { siteIds: [SITE], days: 7 });
  await signIn(page, kitchen.url, 'pia');
  await page.getByRole('heading', { level: 1, name: 'Orders' }).waitFor();
});

describe('an order in Chromium', () => {
  it('opens where the plan changed two packs of one ingredient, and says which', async () => {
    const { id } = await firstOrder();
    const was = { ingredientId: 'ing_butter', packsBefore: 2, what: 'changed' };
    const differences = [
      { ...was, lineId: 'ol_1', offerId: 'pack_butter', plannedPacks: 4, packsNow: 4 },
      { ...was, lineId: 'ol_2', plannedPacks: 1, packsNow: 1 },
    ];
    const lastRefresh = { at: '2026-03-10T03:00:00.000Z', differences };
    await orders().update({ where: { id }, data: { lastRefresh } });
    await page.goto(`${kitchen.url}/#/orders/${id}`);
    await page.getByText(/Worked out again on .*: 2 lines differ/).click();
    expect(await page.locator('details.note li').allInnerTexts()).toEqual([
      'Butter, 1 kg block: 2 → 4 packs',
      'Butter: 2 → 1 packs',
    ]);
  });

  it('is approved past its cutoff where the supplier takes it late', async () => {
    const { id } = await firstOrder();
    const cutoffAt = new Date('2026-03-10T05:00:00Z');
    await orders().update({ where: { id }, data: { cutoffAt } });
    await page.reload();
    const approve = async (): Promise<void> => {
      await page.getByRole('button', { name: 'Approve', exact: true }).click();
      await page.getByRole('button', { name: 'Approve at once' }).click();
    };
    await approve();
    const refused = page.getByRole('alert').getByText(/The cutoff of this delivery has passed/);
    await refused.waitFor();
    await page.getByLabel('The supplier takes it after the cutoff').check();
    await expectAccessible(page);
    await approve();
    await page.getByText('Approved.', { exact: true }).waitFor();
    expect((await firstOrder()).status).toBe('approved');
  });

  it('is in Italian on the sheet of an Italian supplier, whatever the purchaser reads', async () => {
    const { orderLife } = kitchen.server.services;
    const approved = await firstOrder();
    const buyer = { ...SYSTEM, role: 'lead' as const };
    await orderLife.send(buyer, approved.id, approved.rev, { agreedLate: true });
    const order = await firstOrder();
    const packs = order.lines[0]?.packs ?? 0;
    await page.goto(`${kitchen.url}/#/supplier/${order.supplierId}`);
    await page.getByText('Order sheets in English.').waitFor();
    await page.getByRole('button', { name: 'Change', exact: true }).first().click();
    await page.getByLabel('Language of their order sheets').selectOption('Italiano');
    await page.getByRole('button', { name: 'Keep', exact: true }).click();
    await page.getByText('Order sheets in Italian.').waitFor();
    await page.goto(`${kitchen.url}/#/sheet/${order.id}`);
    const title = `Ordine n. ${order.number} (copia)`;
    await page.getByRole('heading', { level: 1, name: title }).waitFor();
    await page.getByText('The sheet is in the supplier’s language.').waitFor();
    const sheet = page.locator('article[lang="it"]');
    await sheet.getByText('giovedì 12 marzo 2026').waitFor();
    const cells = await sheet.locator('tbody tr').first().getByRole('cell').allInnerTexts();
    const total = `${(9 * packs).toFixed(2).replace('.', ',')}\u00a0€`;
    expect(cells.slice(4)).toEqual([String(packs), `${packs} kg`, '9,00\u00a0€', total, '']);
    expect(await sheet.getByRole('definition').allInnerTexts()).toEqual([total, total]);
    await expectAccessible(page);
    await picture(page, 'order-sheet-italian');
    expect(await print(page, 'order-sheet-italian-a4')).toBe(1);
    await page.getByRole('link', { name: 'Back to the order' }).click();
    await page.getByRole('heading', { level: 1, name: /Lakeside Dairy/ }).waitFor();
  });
});
