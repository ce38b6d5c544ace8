import { beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import { SYSTEM } from '../helpers/test-app.ts';
import { browser, inKitchen, kitchen, page } from './in-kitchen.ts';
import {
  eventually,
  expectAccessible,
  expectFingerSized,
  MORNING,
  picture,
  signIn,
} from './kitchen-in-browser.ts';

inKitchen([{ name: 'lena', role: 'lead', siteIds: 'all' }], {
  viewport: { width: 1280, height: 900 },
});
beforeAll(async () => {
  const lot = (id: string, itemId: string, quantity: number, useBy: string) => ({
    id,
    siteId: SITE,
    itemKind: 'component',
    itemId,
    quantity,
    madeAt: new Date('2026-03-08T08:00:00Z'),
    useBy: new Date(useBy),
    sourceKind: 'found',
  });
  await kitchen.server.database.prisma.stockLot.createMany({
    data: [
      lot('lot_curd', 'rcp_curd', 800, '2026-03-11T20:00:00Z'),
      lot('lot_old', 'rcp_curd', 150, '2026-03-10T05:31:00Z'),
    ],
  });
  await kitchen.server.services.prep.workOut(SYSTEM, SITE, 3);
});

const db = () => kitchen.server.database.prisma;

describe("the lead's morning in Chromium", () => {
  it('lands on all sites: who is late, who is short, who has no plan', async () => {
    await signIn(page, kitchen.url, 'lena');
    await page.getByRole('heading', { level: 1, name: /All sites, Tuesday 10 March/ }).waitFor();
    const site = page.getByRole('region', { name: SITE });
    await site.getByText(/0 of \d+ made\./).waitFor();
    await site.getByText('Nothing late.').waitFor();
    await page.getByText('Nobody is behind and nothing is short.').waitFor();
    await page.getByText('Without a plan, or not reached: site_other').waitFor();
    await page.getByRole('region', { name: 'site_other' }).getByText('No plan yet.').waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);

    await browser.context.clock.setFixedTime('2026-03-10T17:30:00Z');
    await page.reload();
    await site.getByText(/\d+ late to start:/).waitFor();
    await page.getByText(/Behind, tasks late to start: site_test \(\d+\)/).waitFor();
    await site.getByText(/Lemon curd,[\s\S]*late by \d\sh/).waitFor();
    await picture(page, 'all-sites');
    await browser.context.clock.setFixedTime(MORNING);
  });

  it('names what is held back, and leads to where that is decided', async () => {
    const hold = (heldReason: string | null) =>
      db().stockLot.update({ where: { id: 'lot_curd' }, data: { heldReason } });
    await hold('too warm');
    await page.reload();
    await page.getByText(/Held back until somebody decides: site_test \(1\)/).waitFor();
    const site = page.getByRole('region', { name: SITE });
    await site.getByText(/Held back, do not use: Lemon curd\./).waitFor();
    await site.getByRole('link', { name: 'Look and decide' }).click();
    await page.getByRole('heading', { level: 1, name: /Safety/ }).waitFor();
    await hold(null);
    await page.goto(`${kitchen.url}/#/group`);
    await page.getByText('Nobody is behind and nothing is short.').waitFor();
  });

  it("opens a site's list, changes the site, and works out a first plan", async () => {
    await page.getByRole('link', { name: `Prep list of ${SITE}` }).click();
    await page.getByRole('heading', { level: 1, name: /Tuesday 10 March/ }).waitFor();
    await page.getByLabel('Site').selectOption('site_other');
    await page.getByText('There is no plan for this site yet.').waitFor();
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Work out the plan' }).click();
    await page.getByText('Nothing to make on this day.').waitFor();
    expect(await db().prepPlan.count({ where: { siteId: 'site_other' } })).toBe(1);
  });
});

describe('the fridge in Chromium', () => {
  it('says what to use first and what is past its date, which two taps write off once', async () => {
    await browser.context.clock.setFixedTime('2026-03-10T05:40:00Z');
    kitchen.clock.set('2026-03-10T05:40:00Z');
    await page.goto(`${kitchen.url}/#/list/${SITE}`);
    await page.getByRole('heading', { name: 'Use first' }).waitFor();
    await page.getByRole('button', { name: /Throw away: 150\sg Lemon curd/ }).click();
    await page.getByText('Thrown away, kept in the record.').waitFor();
    await eventually(
      async () => (await db().stockLot.findUniqueOrThrow({ where: { id: 'lot_old' } })).quantity,
    ).toBe(0);
    expect(await db().stockMovement.count({ where: { kind: 'wasted' } })).toBe(1);
    await page.getByRole('button', { name: /Undo: 150/ }).click();
    await eventually(
      async () => (await db().stockLot.findUniqueOrThrow({ where: { id: 'lot_old' } })).quantity,
    ).toBe(150);
    await page.getByRole('button', { name: /Throw away: 150\sg Lemon curd/ }).click();
    await eventually(
      async () => (await db().stockLot.findUniqueOrThrow({ where: { id: 'lot_old' } })).quantity,
    ).toBe(0);
    await page.reload();
    await page.getByRole('heading', { name: 'Use first' }).waitFor();
    await eventually(() => page.getByRole('button', { name: /Throw away: 150/ }).count()).toBe(0);
  });

  it('is counted with numbers and Enter alone', async () => {
    await page.goto(`${kitchen.url}/#/fridge/${SITE}`);
    const field = page.getByLabel('Lemon curd: how much there is, g');
    await field.waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'fridge');
    await field.fill('about 700');
    await field.press('Enter');
    expect(await page.evaluate('document.activeElement.textContent')).toBe('Save the count');
    await page.keyboard.press('Enter');
    await page.getByText(/Write plain numbers/).waitFor();
    await field.fill('720');
    await field.press('Enter');
    await page.keyboard.press('Enter');
    await page.getByText('1 count entered.').waitFor();
    await page.getByText('Lemon curd: 720 g; the record said 800 g.').waitFor();
    await page.getByRole('button', { name: 'Undo', exact: true }).click();
    await page.getByText('The count is taken back.').waitFor();
    expect(await field.inputValue()).toBe('720');
    expect(await db().stockCount.count()).toBe(0);
    await field.press('Enter');
    await page.keyboard.press('Enter');
    await page.getByText('1 count entered.').waitFor();
    await eventually(() => db().stockCount.count()).toBe(1);
    const lot = await db().stockLot.findUniqueOrThrow({ where: { id: 'lot_curd' } });
    expect(lot.quantity).toBe(720);
  });

  it('is written off in two taps, which can be undone for a moment', async () => {
    const quantity = async () =>
      (await db().stockLot.findUniqueOrThrow({ where: { id: 'lot_curd' } })).quantity;
    await page.getByText('record says 720 g').waitFor();
    await page.getByRole('button', { name: 'Throw away: Lemon curd' }).click();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'fridge-waste');
    await page.getByRole('button', { name: 'spilled' }).click();
    await page.getByText('720 g of Lemon curd thrown away: spilled.').waitFor();
    await page.getByRole('button', { name: 'Undo: Lemon curd' }).click();
    await page.getByRole('button', { name: 'Throw away: Lemon curd' }).click();
    await page.getByLabel('How much goes, in g').fill('70');
    await page.getByRole('button', { name: 'not good enough' }).click();
    await page.goto(`${kitchen.url}/#/list/${SITE}`);
    await eventually(quantity).toBe(650);
    const written = await db().stockMovement.findFirstOrThrow({
      where: { lotId: 'lot_curd', kind: 'wasted' },
    });
    expect(written.reason).toBe('quality');
  });

  it('is taken back hours later from what was thrown away, by whoever has the tablet then', async () => {
    const quantity = async () =>
      (await db().stockLot.findUniqueOrThrow({ where: { id: 'lot_curd' } })).quantity;
    kitchen.clock.set('2026-03-10T08:40:00Z');
    await page.goto(`${kitchen.url}/#/fridge/${SITE}`);
    const lately = page.getByRole('region', { name: 'Thrown away in the last hours' });
    await lately.getByText(/70\sg/).waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await lately.getByRole('button', { name: /Undo: 70\sg Lemon curd/ }).click();
    await eventually(quantity).toBe(720);
    await eventually(() => lately.getByText(/70\sg/).count()).toBe(0);
    await page.getByText('record says 720 g').waitFor();
    kitchen.clock.set('2026-03-10T05:40:00Z');
  });

  it('is said in Italian, numbers and all, when the person chooses so', async () => {
    await page.goto(`${kitchen.url}/#/list/${SITE}`);
    await page.getByLabel('Language').selectOption('it');
    await page.getByRole('heading', { level: 1, name: 'martedì 10 marzo, oggi' }).waitFor();
    await page.getByText(/Usare per primi/).waitFor();
    expect(await page.evaluate('document.documentElement.lang')).toBe('it');
    const curd = page.locator('[data-task]').filter({ hasText: 'Lemon curd' }).first();
    await curd.getByRole('link').click();
    await page.getByLabel(/Quanto se n’è fatto, in kg/).fill('1,25');
    await page.getByRole('button', { name: 'Fatto', exact: true }).click();
    await page.getByText(/Fatti 1,25\skg/).waitFor();
    await eventually(() =>
      db().prepTask.count({ where: { madeQuantity: 1250, status: 'done' } }),
    ).toBe(1);
    await expectAccessible(page);
  });
});
