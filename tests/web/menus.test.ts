import { beforeAll, describe, expect, it } from 'vitest';
import { DISH, SERVICE, SITE } from '../helpers/demo-site.ts';
import { inKitchen, kitchen, page } from './in-kitchen.ts';
import {
  expectAccessible,
  expectFingerSized,
  picture,
  print,
  signIn,
  startBrowser,
} from './kitchen-in-browser.ts';

const db = () => kitchen.server.database.prisma;
const menu = (id = 'menu_test') =>
  db().menu.findUniqueOrThrow({ where: { id }, include: { lines: true } });
const named = (name: string) =>
  db().menu.findFirstOrThrow({ where: { name }, include: { lines: true } });
const month = () => page.getByRole('table').first();
const row = (name: string) => month().getByRole('row').filter({ hasText: name });
const weeks = (name: string) => row(name).getByRole('cell').allInnerTexts();
const section = (name: string) => page.getByRole('region', { name, exact: true });
const press = (name: string) => page.getByRole('button', { name, exact: true }).click();
const says = (text: string) => page.getByText(text).first().waitFor();
const ANOTHER = {
  kind: 'user',
  id: 'usr_ada',
  name: 'ada',
  role: 'admin',
  siteIds: 'all',
} as const;

inKitchen(
  [
    { name: 'lena', role: 'lead', siteIds: 'all' },
    { name: 'cleo', role: 'chef', siteIds: [SITE] },
  ],
  { viewport: { width: 1180, height: 820 } },
);
beforeAll(async () => {
  await signIn(page, kitchen.url, 'lena');
  await page.getByRole('link', { name: 'Prep list', exact: true }).waitFor();
  await page.goto(`${kitchen.url}/#/expected/${SITE}`);
  await page.getByRole('link', { name: 'Menus' }).click();
  await row('Spring card').waitFor();
});

describe('the menus of a site, month by month, in Chromium', () => {
  it('say when each is on, which dish at which service for how many guests, and which days have none', async () => {
    expect(await weeks('Spring card')).toEqual(['from Sun 1 Mar', ...Array(5).fill('on')]);
    const dish = section('Spring card').getByRole('row').filter({ hasText: 'Lemon tart' });
    expect(await dish.getByRole('cell').allInnerTexts()).toEqual(['Dinner', '50%', '€8.80']);
    await page.getByRole('link', { name: 'February 2026' }).click();
    await says('No menu with dishes on it: Sun 1 Feb to Sat 28 Feb.');
    await page.getByRole('link', { name: 'March 2026' }).click();
    await row('Spring card').waitFor();
    await page.getByLabel('Every site').check();
    await month().getByRole('link', { name: 'site_other' }).waitFor();
    await says('No menu is on this month.');
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'menus-tablet');
    expect(await print(page, 'menus')).toBe(1);
  });

  it('are ended early with the keyboard alone; a day outside is explained, and the end is taken back', async () => {
    const before = await menu();
    await page.getByRole('button', { name: 'End early: Spring card' }).focus();
    await page.keyboard.press('Enter');
    const day = page.getByLabel('Last day of Spring card');
    await day.fill('2026-02-01');
    await day.press('Enter');
    await says('Spring card begins on Sunday 1 March, so it cannot end before.');
    expect(await menu()).toEqual(before);
    await expectAccessible(page);
    await picture(page, 'menus-end');
    await day.fill('2026-03-27');
    await day.press('Enter');
    await says('Spring card ends after Fri 27 Mar.');
    await says('No menu with dishes on it: Sat 28 Mar to Tue 31 Mar.');
    expect((await menu()).activeTo).toEqual(new Date('2026-03-27'));
    await page.getByRole('button', { name: 'End early: Spring card' }).press('Enter');
    await day.fill('2026-04-10');
    await day.press('Enter');
    await says('ends on Friday 27 March already');
    await page.getByRole('button', { name: 'Undo' }).press('Enter');
    await says('Taken back');
    const after = await menu();
    expect(after.activeTo).toBeNull();
    expect(after.lines).toEqual(before.lines);
  });

  it('are put away and come back, and the other way round', async () => {
    await press('Put away: Spring card');
    await says('its dishes are not planned any more');
    expect((await menu()).archivedAt).not.toBeNull();
    await expect.poll(() => row('Spring card').count()).toBe(0);
    await page.getByLabel('Also what was put away').check();
    await press('Bring back: Spring card');
    await says('Spring card is back.');
    await page.getByLabel('Also what was put away').uncheck();
    expect((await menu()).archivedAt).toBeNull();
  });

  it('change name, dates, shares and prices; a figure that is none, or too large, changes nothing', async () => {
    const before = await menu();
    await press('Change: Spring card');
    const share = page.getByLabel('How many of 100 guests');
    await share.fill('a few');
    await press('Keep');
    await says('Write share, price and tax as plain numbers.');
    await share.fill('140');
    await press('Keep');
    await page
      .getByRole('group', { name: 'Lemon tart' })
      .getByText('A share is a number above 0 and at most 100.')
      .waitFor();
    expect(await menu()).toEqual(before);
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'menus-change');
    await share.fill('35');
    await page.getByLabel('Price with tax, EUR').fill('9,90');
    await page.getByLabel('Food cost aimed at').fill('25');
    await page.getByLabel('once a guest at most').check();
    await press('Keep');
    await says('Spring card is changed.');
    const [line] = (await menu()).lines;
    expect(line).toMatchObject({ id: 'ml_tart', share: 0.35, targetCost: 0.25, oneACover: true });
    // 9.90 / 1.1
    expect(String(line?.priceAmount)).toBe('9');
    await press('Undo');
    await says('Taken back');
    expect((await menu()).lines).toEqual(before.lines);
  });

  it('keep what one typed when somebody else saves first, and say what they changed', async () => {
    await press('Change: Spring card');
    await page.getByLabel('How many of 100 guests').fill('45');
    const stands = await kitchen.server.services.menus.get(ANOTHER, 'menu_test');
    const theirs = {
      name: 'Spring and Easter',
      activeFrom: stands.activeFrom,
      activeTo: '2026-05-31',
      lines: [
        {
          ...offer('6.00'),
          serviceId: SERVICE,
          share: 0.5,
        },
      ],
    };
    await kitchen.server.services.menus.update(ANOTHER, 'menu_test', stands.rev, theirs);
    await press('Keep');
    const note = page.getByRole('alert').filter({ hasText: 'Somebody else changed this menu' });
    await note.waitFor();
    expect(await note.getByRole('listitem').allInnerTexts()).toEqual([
      'Name of the menu: Spring card, now Spring and Easter.',
      'Last day: until further notice, now Sun 31 May.',
      'Lemon tart, Dinner, price with tax: €8.80, now €6.60.',
    ]);
    expect(await page.getByLabel('How many of 100 guests').inputValue()).toBe('45');
    await expectAccessible(page);
    await picture(page, 'menus-clash');
    await press('Save mine over it');
    await says('Spring card is changed.');
    expect(await menu()).toMatchObject({ name: 'Spring card', activeTo: null });
    expect((await menu()).lines[0]?.share).toBe(0.45);
  });

  it('say so when somebody else was faster than one press, and do nothing', async () => {
    await page.reload();
    await row('Spring card').waitFor();
    const stands = await kitchen.server.services.menus.get(ANOTHER, 'menu_test');
    const lines = stands.lines.map((line) => ({ ...offer('8.00'), serviceId: line.serviceId }));
    await kitchen.server.services.menus.update(ANOTHER, 'menu_test', stands.rev, {
      name: 'Spring card',
      activeFrom: '2026-03-01',
      activeTo: '2026-06-30',
      lines,
    });
    await press('Put away: Spring card');
    const note = page.getByRole('alert').filter({ hasText: 'Somebody else' });
    await note.waitFor();
    expect(await note.innerText()).toMatch(/Last day: until further notice, now Tue 30 Jun/);
    expect(await note.innerText()).toMatch(/Your change was not made/);
    expect((await menu()).archivedAt).toBeNull();
    await section('Spring card').getByText('From Sun 1 Mar to Tue 30 Jun').waitFor();
  });

  it('are made new, with their dishes; what the service refuses stands at the dish', async () => {
    await press('New menu');
    await page.getByLabel('Name of the menu').fill('Late card');
    await page.getByLabel('First day').fill('2026-06-15');
    await page.getByLabel('Add a dish').selectOption({ label: 'Lemon tart' });
    await press('Put on the menu');
    const dish = page.getByRole('group', { name: 'Lemon tart' });
    await dish.getByLabel('At which service').selectOption({ label: 'Dinner' });
    await dish.getByLabel('How many of 100 guests').fill('40');
    await dish.getByLabel('Price with tax').fill('7,70');
    await dish.getByLabel('Tax on 100').fill('10');
    await press('Keep');
    await dish
      .getByRole('alert')
      .filter({ hasText: 'Spring card offers this dish in the same service' })
      .waitFor();
    await page.getByLabel('First day').fill('2025-12-01');
    await page.getByLabel('Last day').fill('2025-12-31');
    await press('Keep');
    await says("Lemon tart has no published version on Mon 1 Dec, the menu's first day.");
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'menus-new');
    await page.getByLabel('First day').fill('2026-07-01');
    await page.getByLabel('Last day').fill('2026-06-01');
    await press('Keep');
    await says('The last day is before the first.');
    await page.getByLabel('Last day').fill('');
    await press('Keep');
    await says('Late card is made.');
    const late = await named('Late card');
    expect(late).toMatchObject({ siteId: SITE, activeFrom: new Date('2026-07-01') });
    expect(String(late.lines[0]?.priceAmount)).toBe('7');
    await press('Undo');
    await says('Taken back');
    expect((await named('Late card')).archivedAt).not.toBeNull();
  });

  it('are copied for another site, where services are found by name', async () => {
    const lunch = { id: 'svc_there', siteId: 'site_other', name: 'Dinner', weekdays: [5, 6] };
    await db().service.create({
      data: { ...lunch, startsAt: '19:00', endsAt: '22:00', seats: 30 },
    });
    await press('Copy: Spring card');
    await page.getByLabel('For which site').selectOption({ label: 'site_other' });
    await page.getByLabel('First day').fill('2026-04-01');
    await expect.poll(() => page.getByLabel('At which service').inputValue()).toBe('svc_there');
    await press('Keep');
    await says('Spring card is made at site_other.');
    const copy = await db().menu.findFirstOrThrow({
      where: { siteId: 'site_other' },
      include: { lines: true },
    });
    expect(copy.lines).toMatchObject([{ dishId: DISH, serviceId: 'svc_there' }]);
    expect(String(copy.lines[0]?.priceAmount)).toBe('8');
  });

  it('lose a dish that is taken off, which can be put back until it is kept', async () => {
    await press('Change: Spring card');
    await press('Take off the menu: Lemon tart, Dinner');
    await press('Put back: Lemon tart, Dinner');
    await press('Take off the menu: Lemon tart, Dinner');
    await press('Keep');
    await says('Spring card is changed.');
    expect((await menu()).lines).toEqual([]);
    await section('Spring card').getByText('No dish is on it yet.').waitFor();
    await press('Undo');
    await says('Taken back');
    expect((await menu()).lines).toHaveLength(1);
  });

  it('are there to read on a chef’s phone, in Italian and in the dark, without a way to change them', async () => {
    const phone = await startBrowser({ viewport: { width: 360, height: 760 }, locale: 'it-IT' });
    const own = await phone.context.newPage();
    await own.emulateMedia({ colorScheme: 'dark' });
    await signIn(own, kitchen.url, 'cleo');
    await own.getByRole('button', { name: 'Pagine' }).waitFor();
    await own.goto(`${kitchen.url}/#/menus/${SITE}`);
    await own.getByRole('heading', { name: 'Spring card' }).waitFor();
    expect(await own.getByRole('button', { name: /^(Cambia|Copia|Nuovo)/ }).count()).toBe(0);
    await expectAccessible(own);
    await expectFingerSized(own);
    await picture(own, 'menus-phone');
    await phone.close();
  });
});

function offer(amount: string) {
  return {
    dishId: DISH,
    share: 0.45,
    price: { amount, currency: 'EUR' },
    priceIncludesTax: false,
    taxRate: 0.1,
    targetCost: null,
    oneACover: false,
  };
}
