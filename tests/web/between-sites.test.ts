import { beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import { SYSTEM } from '../helpers/test-app.ts';
import { MAKER, SHELL } from '../helpers/two-kitchens.ts';
import { browser, inKitchen, kitchen, page } from './in-kitchen.ts';
import { expectAccessible, expectFingerSized, picture, signIn } from './kitchen-in-browser.ts';

// Molo has its shells from Serafina: the lead sets it up, Mara sends them, Cleo takes them in.

inKitchen([
  { name: 'cleo', role: 'chef', siteIds: [SITE] },
  { name: 'mara', role: 'chef', siteIds: [MAKER] },
  { name: 'lena', role: 'lead', siteIds: 'all' },
]);
beforeAll(async () => {
  for (const [id, name] of [
    [SITE, 'Molo'],
    [MAKER, 'Serafina'],
  ] as const) {
    await db().site.update({ where: { id }, data: { name } });
  }
});

const db = () => kitchen.server.database.prisma;
const go = (hash: string) => page.goto(`${kitchen.url}/${hash}`);
const as = async (name: string, hash: string): Promise<void> => {
  await browser.context.clearCookies();
  await go('#/');
  await page.evaluate('sessionStorage.clear()');
  await page.reload();
  await signIn(page, kitchen.url, name);
  await page.getByRole('navigation', { name: 'Pages' }).waitFor();
  await go(hash);
};
const region = (name: string) => page.getByRole('region', { name });

describe('what goes from site to site', () => {
  it('is set up by the lead: a way with its trips, and who makes what for whom', async () => {
    await as('lena', `#/between/${SITE}`);
    await region('Ways between sites').getByText('No way for goods is set up.').waitFor();
    await page.getByRole('button', { name: 'Set up a way' }).click();
    const way = region('Ways between sites');
    await way.getByRole('combobox', { name: 'From' }).selectOption({ label: 'Serafina' });
    await way
      .getByRole('combobox', { name: 'To', exact: true })
      .selectOption({ label: 'Serafina' });
    await way.getByRole('button', { name: 'Keep' }).click();
    await way.getByRole('alert').getByText('Goods go from one site to another.').waitFor();
    await way.getByRole('combobox', { name: 'To', exact: true }).selectOption({ label: 'Molo' });
    for (const day of ['Sat', 'Sun']) await way.getByLabel(day).check();
    await way.getByLabel('Fixed how many hours before').fill('4');
    await way.getByRole('button', { name: 'Keep' }).click();
    await way.getByRole('heading', { name: 'Serafina to Molo' }).waitFor();

    await page.getByRole('button', { name: 'Have something made at another site' }).click();
    const rule = region('Who makes for whom');
    await rule.getByLabel('Component').fill('Tart shell');
    await rule.getByLabel('Component').blur();
    await rule.getByRole('group', { name: 'For which sites' }).getByLabel('Molo').check();
    await rule.getByLabel('I say who makes it').check();
    await rule.getByRole('combobox', { name: 'Who makes it' }).selectOption({ label: 'Serafina' });
    await rule.getByLabel('Travels in').fill('box');
    await rule.getByLabel('A full one holds').fill('12');
    await rule.getByLabel('A site makes itself what does not come').uncheck();
    await rule.getByLabel('Reason').fill('one oven for all shells');
    await expectAccessible(page);
    await picture(page, 'between-lead-form');
    await rule.getByRole('button', { name: 'Keep' }).click();
    await rule.getByText('Serafina makes it for Molo').waitFor();
    expect(await db().centralProduction.findFirst()).toMatchObject({
      componentId: SHELL,
      mode: 'fixed',
      makerSiteIds: [MAKER],
      containerQuantity: 12,
      restMadeHere: false,
    });
  });

  it('stands on the maker’s page and list: what leaves, for whom, on which trip', async () => {
    await kitchen.server.services.prep.workOut(SYSTEM, SITE, 7);
    await as('mara', `#/list/${MAKER}`);
    await region('To make').getByText('Tart shell').first().waitFor();
    await page.getByRole('heading', { name: 'Leaves for other sites' }).waitFor();
    await page.getByRole('link', { name: 'Send and take in' }).click();
    const leaves = region('Leaves here');
    await leaves
      .getByText(/60\spieces/)
      .first()
      .waitFor();
    expect(await leaves.getByText('5 × box').count()).toBeGreaterThan(0);
    await leaves
      .getByRole('button', { name: /^Why this figure\? Tart shell/ })
      .first()
      .click();
    await leaves
      .getByText(/full containers/)
      .first()
      .waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'between-maker');
  });
});
