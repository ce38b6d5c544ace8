import { type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { SERVICE, SITE } from '../helpers/demo-site.ts';
import { addTwelveWeeks } from '../modules/forecasts/history-fixture.ts';
import { addPrices } from '../modules/par-levels/priced-kitchen.ts';
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
    { name: 'lena', role: 'lead', siteIds: 'all' },
    { name: 'cleo', role: 'chef', siteIds: [SITE] },
  ]);
  await addTwelveWeeks(kitchen.server);
  await addPrices(kitchen.server);
  browser = await startBrowser({ viewport: { width: 1180, height: 900 } });
  page = await browser.context.newPage();
  await signIn(page, kitchen.url, 'cleo');
  await page.getByRole('link', { name: 'Guests' }).waitFor();
});
afterAll(async () => {
  await browser?.close();
  await kitchen?.close();
});

const db = () => kitchen.server.database.prisma;
const dinner = () => page.getByRole('region', { name: /Dinner/ });

describe('the guests expected, in Chromium', () => {
  it('are shown as a picture of ranges with a table that says the same', async () => {
    await page.getByRole('link', { name: 'Guests' }).click();
    await page.getByRole('heading', { level: 1, name: `Guests expected, ${SITE}` }).waitFor();
    const svg = dinner().getByRole('img', { name: /Dinner: guests expected and guests that came/ });
    await svg.waitFor();
    expect(await svg.locator('circle.came').count()).toBe(28);
    expect(await svg.locator('rect.wide').count()).toBe(28);
    const table = dinner().getByRole('table', { name: 'Dinner' }).first();
    expect(await table.getByRole('row').count()).toBe(15);
    const forecast = await db().coversForecast.findFirstOrThrow({
      where: { serviceId: SERVICE, serviceDate: new Date('2026-03-11T00:00:00Z') },
      orderBy: [{ madeAt: 'desc' }, { id: 'desc' }],
    });
    const row = table.getByRole('row').nth(2);
    expect(await row.innerText()).toMatch(
      new RegExp(`Wed,? 11 Mar\\s+22\\s+${Math.round(forecast.mean)}\\s`),
    );
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'expected');
  });

  it('are replaced by hand for a day, with a reason, and taken back', async () => {
    await dinner()
      .getByRole('button', { name: /^Fri,? 13 Mar$/ })
      .click();
    await dinner().getByRole('rowheader', { name: 'Lemon tart' }).waitFor();
    const field = dinner().getByLabel('Covers to plan with');
    await field.fill('many');
    await dinner().getByRole('button', { name: 'Keep' }).click();
    await page.getByRole('alert').getByText('Write a whole number of covers.').waitFor();
    await field.fill('77');
    await dinner().getByRole('button', { name: 'Keep' }).click();
    await page
      .getByRole('alert')
      .getByText(/Say why/)
      .waitFor();
    expect(await db().coversOverride.count()).toBe(0);
    await dinner()
      .getByLabel(/^Why\?/)
      .fill('Wedding party, by phone');
    await dinner().getByRole('button', { name: 'Keep' }).click();
    await page.getByText('Kept. The next plan uses it.').waitFor();
    await dinner().getByText('77 set by cleo: Wedding party, by phone').waitFor();
    expect(await dinner().locator('path.set').count()).toBeGreaterThan(0);
    await dinner().getByRole('button', { name: 'Why this figure?' }).click();
    await dinner()
      .getByText(/Covers set by cleo/)
      .first()
      .waitFor();
    await expectAccessible(page);
    await picture(page, 'expected-open');
    await dinner().getByRole('button', { name: 'Take back' }).click();
    await page.getByText('Taken back. The forecast stands again.').waitFor();
    await eventually(() => db().coversOverride.count({ where: { removedAt: null } })).toBe(0);
  });

  it('are said afterwards, walk-ins and those who stayed away apart, and a slip is refused', async () => {
    const monday = { serviceId: SERVICE, serviceDate: new Date('2026-03-09T00:00:00Z') };
    const said = () => db().serviceOutcome.findFirstOrThrow({ where: monday });
    const { covers } = await said();
    await dinner().getByText('Days gone by: what came').click();
    const past = dinner().getByRole('table', { name: 'Dinner: days gone by' });
    await past.getByRole('button', { name: /^Mon,? 9 Mar$/ }).click();
    expect(await past.getByLabel('Guests served').inputValue()).toBe(String(covers));
    await past.getByLabel('of them without a booking').fill(String(covers + 1));
    await past.getByRole('button', { name: 'Keep' }).click();
    await past.getByRole('alert').getByText(`no more than ${covers} can have walked in`).waitFor();
    expect((await said()).walkIns).toBe(null);
    await past.getByLabel('of them without a booking').fill('12');
    await past.getByLabel('booked, did not come').fill('3');
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'expected-came');
    await past.getByRole('button', { name: 'Keep' }).click();
    await page.getByText('Kept. The forecast learns from it.').waitFor();
    expect(await said()).toMatchObject({ covers, walkIns: 12, noShows: 3, cancelled: null });
    await past.getByRole('row', { name: /9 Mar/ }).getByText('12').first().waitFor();
    await dinner()
      .getByRole('button', { name: /^Mon,? 16 Mar$/ })
      .click();
    await dinner().getByText('About 12 usually walk in.').waitFor();
    await dinner()
      .getByRole('button', { name: /^Mon,? 16 Mar$/ })
      .click();
  });

  it('know parties that ordered beforehand, whose portions are exact', async () => {
    await dinner()
      .getByRole('button', { name: /^Wed,? 11 Mar$/ })
      .click();
    await dinner().getByRole('button', { name: 'Add a party' }).click();
    await dinner().getByLabel('Booked under').fill('Moretti');
    await dinner().getByLabel('Guests', { exact: true }).fill('90');
    await dinner().getByLabel('Lemon tart').fill('7');
    await dinner().getByRole('button', { name: 'Keep' }).first().click();
    await dinner().locator('.problem').filter({ hasText: 'more than the 60 seats' }).waitFor();
    expect(await db().preOrder.count()).toBe(0);
    await dinner().getByLabel('Guests', { exact: true }).fill('8');
    await expectAccessible(page);
    await expectFingerSized(page);
    await dinner().getByRole('button', { name: 'Keep' }).first().click();
    await page.getByText('Moretti is kept. Their portions are planned exactly.').waitFor();
    await dinner().getByText('8 guests:').waitFor();
    await picture(page, 'expected-party');
    await dinner().getByRole('button', { name: 'Take back: Moretti' }).click();
    await page.getByText('Moretti is taken back.').waitFor();
    expect(await db().preOrder.count({ where: { removedAt: null } })).toBe(0);
    await dinner()
      .getByRole('button', { name: /^Wed,? 11 Mar$/ })
      .click();
  });

  it('are tested over the past, beside three plain guesses, with a picture and its table', async () => {
    await page.getByRole('link', { name: 'How well it would have done' }).click();
    await page.getByText('This service has not been played through yet.').waitFor();
    await expectAccessible(page);
    await page.getByLabel(/^Service/).selectOption({ label: 'Dinner' });
    await page.getByRole('button', { name: 'Play the last eight weeks through' }).click();
    const errors = page.getByRole('region', { name: /Error beside plain guesses/ });
    await errors.waitFor();
    expect(await errors.getByRole('row').count()).toBe(8);
    const kept = await db().backtest.findFirstOrThrow();
    const result = kept.result as {
      horizons: { compared: { forecast: { wape: number }; services: number } }[];
    };
    const first = result.horizons[0]?.compared;
    expect(await errors.getByRole('row').nth(1).innerText()).toMatch(
      new RegExp(`^1\\s+${Math.round((first?.forecast.wape ?? 0) * 100)}\\s%`),
    );
    await page.getByLabel('Picture for').selectOption({ label: '7 days before' });
    await page.getByRole('img', { name: /guests that came/ }).waitFor();
    expect(await page.locator('figure circle.came').count()).toBeGreaterThan(40);
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'expected-check');
    await page.getByRole('link', { name: 'Back to the guests expected' }).click();
  });

  it('fit a phone of 360 pixels and the dark', async () => {
    await page.setViewportSize({ width: 360, height: 740 });
    await page.emulateMedia({ colorScheme: 'dark' });
    await page.goto(`${kitchen.url}/#/expected/${SITE}`);
    await dinner().getByRole('img').waitFor();
    await expectFingerSized(page);
    await expectAccessible(page);
    await picture(page, 'expected-phone');
    await page.goto(`${kitchen.url}/#/expected/${SITE}/check`);
    await page.getByLabel(/^Service/).selectOption({ label: 'Dinner' });
    await page.getByRole('region', { name: /Error beside/ }).waitFor();
    await expectFingerSized(page);
    await expectAccessible(page);
    await page.emulateMedia({ colorScheme: 'light' });
    await page.setViewportSize({ width: 1180, height: 900 });
  });
});

describe('the pars of a site, in Chromium', () => {
  const card = () => page.getByRole('region', { name: 'Lemon tart', exact: true });

  it('are set for a dish, and say what they lead to and what a tenth more or less would', async () => {
    await page.goto(`${kitchen.url}/#/pars/${SITE}`);
    await page.getByText(/No par is set/).waitFor();
    await page.getByRole('button', { name: 'Set a par' }).click();
    await page.getByLabel('Dish or component').selectOption({ label: 'Lemon tart' });
    await page.getByLabel('Days from one making to the next').fill('2');
    await expectAccessible(page);
    await expectFingerSized(page);
    await page.getByRole('button', { name: 'Keep' }).click();
    await card()
      .getByText(/A portion short loses €/)
      .waitFor();
    // Ten per cent of a small par may round to another step; the head then says so.
    await card()
      .getByRole('columnheader', { name: /^(10% more|One step more)$/ })
      .waitFor();
    expect(await card().getByRole('row').count()).toBe(7);
    await card()
      .getByRole('button', { name: /Why this figure\?/ })
      .click();
    await card()
      .getByText(/portions expected until/)
      .first()
      .waitFor();
    await expectAccessible(page);
    await picture(page, 'pars');
  });

  it('are changed to a chance of lasting, and for one day by hand', async () => {
    await card().getByRole('button', { name: 'Change the par of Lemon tart' }).click();
    await page.getByLabel('To last so often').check();
    await page.getByLabel('To last in how many of 100').fill('120');
    await page.getByRole('button', { name: 'Keep' }).click();
    await page.getByText(/The chance lies above 0 and below 1/).waitFor();
    await page.getByLabel('To last in how many of 100').fill('95');
    await page.getByRole('button', { name: 'Keep' }).click();
    await card().getByText('To last in 95 of 100.').waitFor();
    await card().getByText('For one day').click();
    await card().getByLabel('Day', { exact: true }).fill('2026-03-12');
    await card()
      .getByLabel(/^Quantity/)
      .fill('12');
    await card()
      .getByLabel(/^Why\?/)
      .fill('Only twelve shells');
    await card().getByRole('button', { name: 'Set for that day' }).click();
    await card()
      .getByText(/Thu,? 12 Mar: 12.*set by cleo: Only twelve shells/)
      .waitFor();
    await expectAccessible(page);
    await page.setViewportSize({ width: 360, height: 740 });
    await expectFingerSized(page);
    await picture(page, 'pars-phone');
    await page.setViewportSize({ width: 1180, height: 900 });
  });

  it('are said in Italian, and taken out of use', async () => {
    await page.getByLabel('Language').selectOption('it');
    await page.getByRole('heading', { level: 1, name: `Scorte, ${SITE}` }).waitFor();
    await card().getByText('Che basti 95 volte su 100.').waitFor();
    await page.getByRole('button', { name: 'Togli dall’uso: la scorta di Lemon tart' }).click();
    await page.getByText('Fuori uso.').waitFor();
    await eventually(() => db().parLevel.count({ where: { archivedAt: null } })).toBe(0);
  });
});
