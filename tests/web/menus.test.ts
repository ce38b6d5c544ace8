import { type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import {
  expectAccessible,
  expectFingerSized,
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

const menu = () =>
  kitchen.server.database.prisma.menu.findUniqueOrThrow({
    where: { id: 'menu_test' },
    include: { lines: true },
  });
const row = () => page.getByRole('row').filter({ hasText: 'Lemon tart' });
const cells = () => row().getByRole('cell').allInnerTexts();

beforeAll(async () => {
  kitchen = await startKitchen([
    { name: 'lena', role: 'lead', siteIds: 'all' },
    { name: 'cleo', role: 'chef', siteIds: [SITE] },
  ]);
  browser = await startBrowser({ viewport: { width: 1180, height: 820 } });
  page = await browser.context.newPage();
  await signIn(page, kitchen.url, 'lena');
  await page.getByRole('link', { name: 'Prep list', exact: true }).waitFor();
  await page.goto(`${kitchen.url}/#/expected/${SITE}`);
  await page.getByRole('link', { name: 'Menus' }).click();
  await row().waitFor();
});
afterAll(async () => {
  await browser?.close();
  await kitchen?.close();
});

describe('the menus of a site, week by week, in Chromium', () => {
  it('say which dish is on at which service, for how many guests', async () => {
    expect(await row().getByRole('rowheader').innerText()).toMatch(/Dinner, 50\s?% of guests/);
    expect(await cells()).toEqual(Array(6).fill('on'));
    await page.getByRole('link', { name: 'Earlier' }).click();
    await expect.poll(cells).toEqual(['', '', '', '', 'from Sun 1 Mar', 'on']);
    await page.getByRole('link', { name: 'Later' }).click();
    await expect.poll(cells).toEqual(Array(6).fill('on'));
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'menus-tablet');
    expect(await print(page, 'menus')).toBe(1);
  });

  it('are ended, and their shares changed, with the keyboard alone; a wrong share changes nothing', async () => {
    const before = await menu();
    await page.getByRole('button', { name: 'Change Spring card' }).focus();
    await page.keyboard.press('Enter');
    const share = page.getByLabel('Lemon tart, Dinner: how many of 100 guests');
    await share.fill('140');
    await share.press('Enter');
    await page.getByText('at most 100').waitFor();
    expect(await menu()).toEqual(before);
    await page.getByLabel(/^Last day/).fill('2026-02-01');
    await share.fill('35');
    await share.press('Enter');
    await page.getByText('The last day is before the first.').waitFor();
    expect(await menu()).toEqual(before);
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'menus-change');
    await page.getByLabel(/^Last day/).fill('2026-03-27');
    await share.press('Enter');
    await page.getByText('Spring card is changed.').waitFor();
    await expect.poll(cells).toEqual(['on', 'on', 'until Fri 27 Mar', '', '', '']);
    const after = await menu();
    expect(after.activeTo).toEqual(new Date('2026-03-27'));
    expect(after.lines[0]).toMatchObject({ id: 'ml_tart', share: 0.35 });
    expect(String(after.lines[0]?.priceAmount)).toBe('8');
  });

  it('are there to read on a chef’s phone, without a way to change them', async () => {
    const phone = await startBrowser({ viewport: { width: 360, height: 760 } });
    const own = await phone.context.newPage();
    await signIn(own, kitchen.url, 'cleo');
    await own.getByRole('link', { name: 'Prep list', exact: true }).waitFor();
    await own.goto(`${kitchen.url}/#/menus/${SITE}`);
    await own.getByRole('row').filter({ hasText: 'Lemon tart' }).waitFor();
    expect(await own.getByRole('button', { name: /^Change / }).count()).toBe(0);
    await expectAccessible(own);
    await expectFingerSized(own);
    await picture(own, 'menus-phone');
    await phone.close();
  });

  it('lose a dish that is taken off, which can be put back until it is kept', async () => {
    await page.getByRole('button', { name: 'Change Spring card' }).click();
    await page.getByRole('button', { name: 'Take off the menu: Lemon tart, Dinner' }).click();
    await page.getByRole('button', { name: 'Put back: Lemon tart, Dinner' }).click();
    await page.getByRole('button', { name: 'Take off the menu: Lemon tart, Dinner' }).click();
    await page.getByRole('button', { name: 'Keep' }).click();
    await page.getByText('Spring card is changed.').waitFor();
    await expect.poll(() => row().count()).toBe(0);
    expect((await menu()).lines).toEqual([]);
  });

  it('get a dish, with its service, share, price and tax; one without a price is not put on', async () => {
    await page.getByRole('button', { name: 'Change Spring card' }).click();
    await page.getByLabel('Which dish').selectOption({ label: 'Lemon tart' });
    await page.getByLabel('At which service').selectOption({ label: 'Dinner' });
    await page.getByLabel('How many of 100 guests').fill('40');
    await page.getByRole('button', { name: 'Put on the menu' }).click();
    await page.getByText('Choose a dish, and write').waitFor();
    await page.getByLabel(/^Price before tax/).fill('7,50');
    await page.getByLabel('Tax on 100').fill('10');
    await page.getByRole('button', { name: 'Put on the menu' }).click();
    await page.getByLabel('Lemon tart, Dinner: how many of 100 guests').waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'menus-add');
    await page.getByRole('button', { name: 'Keep' }).click();
    await page.getByText('Spring card is changed.').waitFor();
    await row().waitFor();
    const [line] = (await menu()).lines;
    expect(line).toMatchObject({ share: 0.4, taxRate: 0.1 });
    expect(String(line?.priceAmount)).toBe('7.5');
  });
});
