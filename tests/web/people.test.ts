import { beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import { inKitchen, kitchen, page } from './in-kitchen.ts';
import {
  expectAccessible,
  expectFingerSized,
  PASSWORD,
  picture,
  signIn,
  startBrowser,
} from './kitchen-in-browser.ts';

const db = () => kitchen.server.database.prisma;
const user = (email: string) =>
  db().user.findUnique({ where: { email }, include: { sites: true } });

inKitchen(
  [
    { name: 'lena', role: 'lead', siteIds: 'all' },
    { name: 'ada', role: 'admin', siteIds: 'all' },
    { name: 'cleo', role: 'chef', siteIds: [SITE] },
  ],
  { viewport: { width: 1180, height: 900 } },
);
beforeAll(async () => {
  await signIn(page, kitchen.url, 'lena');
  await page.getByRole('link', { name: 'People' }).click();
  await page.getByRole('heading', { level: 1, name: 'People who sign in' }).waitFor();
});

const entry = (name: string) => page.getByRole('listitem').filter({ hasText: name });

describe('the people who sign in, in Chromium', () => {
  it('are looked after by a lead as far as the service lets one: chefs', async () => {
    await entry('cleo').getByRole('button', { name: 'Change cleo' }).waitFor();
    expect(await entry('ada').getByRole('button').count()).toBe(0);
    await page.getByRole('button', { name: 'Add somebody' }).click();
    expect(await page.getByLabel('What they do').locator('option').allInnerTexts()).toEqual([
      'chef',
    ]);
    await page.getByLabel('Name').fill('Nadia');
    await page.getByLabel('Email').fill('nadia@example.org');
    await page.getByLabel(SITE).check();
    await page.getByLabel('First password').fill('short');
    await page.getByRole('button', { name: 'Keep' }).click();
    await page.getByText('A password has at least 12').waitFor();
    expect(await user('nadia@example.org')).toBeNull();
    await page.getByRole('button', { name: 'Make one up' }).click();
    expect(await page.getByLabel('First password').inputValue()).toMatch(
      /^([a-km-np-z2-9]{4}-){3}[a-km-np-z2-9]{4}$/,
    );
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'people-new');
    await page.getByRole('button', { name: 'Keep' }).click();
    await page.getByText('Nadia can sign in.').waitFor();
    const made = await user('nadia@example.org');
    expect(made).toMatchObject({ role: 'chef', allSites: false, sites: [{ siteId: SITE }] });
    await expectAccessible(page);
    await picture(page, 'people');
  });

  it('are locked out and let in again', async () => {
    await entry('Nadia').getByRole('button', { name: 'Lock out: Nadia' }).click();
    await page.getByText('Nadia is signed out everywhere').waitFor();
    expect(await entry('Nadia').count()).toBe(0);
    expect((await user('nadia@example.org'))?.archivedAt).not.toBeNull();
    await page.getByLabel('Show who has left').check();
    await entry('Nadia').getByRole('button', { name: 'Let in again' }).click();
    await page.getByText('Nadia can sign in again.').waitFor();
    await page.getByText('Nobody has left.').waitFor();
    expect((await user('nadia@example.org'))?.archivedAt).toBeNull();
    await page.getByLabel('Show who has left').uncheck();
  });

  it('get a new password to hand over, and change it themselves', async () => {
    await entry('cleo').getByRole('button', { name: 'A new password for cleo' }).click();
    await page
      .getByLabel('Password', { exact: true })
      .and(page.getByRole('textbox'))
      .fill('handed-over-on-paper');
    await page.getByRole('button', { name: 'Keep' }).click();
    await page.getByText('cleo has a new password.').waitFor();

    const phone = await startBrowser({ viewport: { width: 360, height: 760 } });
    const own = await phone.context.newPage();
    await own.goto(kitchen.url);
    await own.getByLabel('Email').fill('cleo@example.org');
    await own.getByLabel('Password').fill('handed-over-on-paper');
    await own.getByRole('button', { name: 'Sign in' }).click();
    await own.getByRole('link', { name: 'Change your password' }).click();
    await own.getByLabel('Your present password').fill('not it');
    await own.getByLabel('Your new password').fill(PASSWORD);
    await own.getByRole('button', { name: 'Keep' }).click();
    await own.locator('.problem').waitFor();
    await own.getByLabel('Your present password').fill('handed-over-on-paper');
    await own.getByRole('button', { name: 'Keep' }).click();
    await own.getByText('Your password is changed.').waitFor();
    await expectAccessible(own);
    await expectFingerSized(own);
    await picture(own, 'password-phone');
    // The session goes on with the token of the new one.
    await own.getByRole('button', { name: /Sign out/ }).click();
    await signIn(own, kitchen.url, 'cleo');
    await own.getByRole('button', { name: 'Pages' }).click();
    await own.getByRole('link', { name: 'Prep list' }).waitFor();
    expect(await own.getByRole('link', { name: 'People' }).count()).toBe(0);
    await phone.close();
  });

  it('of every role are looked after by an administrator, but the last one stays', async () => {
    const { context, close } = await startBrowser({ viewport: { width: 360, height: 760 } });
    const admin = await context.newPage();
    await signIn(admin, kitchen.url, 'ada');
    await admin.getByRole('heading', { level: 1 }).waitFor();
    await admin.goto(`${kitchen.url}/#/people`);
    await admin.getByRole('button', { name: 'Change lena' }).click();
    await admin.getByLabel('What they do').selectOption('purchasing');
    await admin.getByLabel('all sites').check();
    await admin.getByLabel('Name').fill('Lena B.');
    await expectAccessible(admin);
    await expectFingerSized(admin);
    await picture(admin, 'people-change-phone');
    await admin.getByRole('button', { name: 'Keep' }).click();
    await admin.getByText('Lena B. is changed.').waitFor();
    expect(await user('lena@example.org')).toMatchObject({ role: 'purchasing', allSites: true });
    expect(await admin.getByRole('button', { name: 'Lock out: ada' }).count()).toBe(0);
    await close();
  });
});
