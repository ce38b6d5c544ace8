import { beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import { SYSTEM } from '../helpers/test-app.ts';
import { MAKER, SHELL } from '../helpers/two-kitchens.ts';
import { browser, inKitchen, kitchen, page } from './in-kitchen.ts';
import {
  expectAccessible,
  expectFingerSized,
  picture,
  signIn,
  worksOffline,
} from './kitchen-in-browser.ts';

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
const at = async (time: string): Promise<void> => {
  kitchen.clock.set(time);
  await browser.context.clock.setFixedTime(time);
};
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
const status = () => page.getByRole('main').getByRole('status').allInnerTexts();

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

  it('cannot leave before it is made, and not too warm; then it leaves lot by lot', async () => {
    const leaves = region('Leaves here');
    await leaves
      .getByRole('button', { name: /^Write what leaves/ })
      .first()
      .click();
    await leaves.getByText(/finish the task first/).waitFor();
    await leaves.getByRole('button', { name: 'Leave it' }).click();
    const tasks = await db().prepTask.findMany({
      where: { siteId: MAKER, recipeId: SHELL, status: 'to_do' },
      orderBy: { startBy: 'asc' },
    });
    const [first] = tasks;
    if (!first) throw new Error('Serafina has nothing to make.');
    await kitchen.server.services.taskWork.finish(SYSTEM, first.id, {
      madeQuantity: 60,
      partial: false,
    });
    // Hours later one signs in again.
    await at('2026-03-10T13:00:00Z');
    await as('mara', `#/between/${MAKER}`);
    await leaves
      .getByRole('button', { name: /^Write what leaves/ })
      .first()
      .click();
    const lot = leaves.getByLabel(/^How much of lot/);
    expect(await lot.inputValue()).toBe('60');
    await leaves.getByRole('button', { name: 'It leaves' }).click();
    await leaves
      .getByRole('alert')
      .getByText(/Measure it/)
      .waitFor();
    await leaves.getByLabel('Temperature in the middle').fill('3,5');
    await picture(page, 'between-sending');
    await leaves.getByRole('button', { name: 'It leaves' }).click();
    await leaves.getByText('on its way').waitFor();
    expect(await status()).toContain('Written down: it has left.');
    expect(await db().transfer.findFirst({ where: { status: 'sent' } })).toMatchObject({
      quantity: 60,
    });
  });

  it('is on the receiver’s list for today, and is taken in with its temperature', async () => {
    await at('2026-03-10T14:35:00Z');
    await as('cleo', `#/list/${SITE}`);
    await page.getByRole('heading', { name: 'Comes from other sites' }).waitFor();
    await picture(page, 'between-on-list');
    await go(`#/between/${SITE}`);
    const comes = region('Comes here');
    await comes.getByRole('button', { name: /^Take it in/ }).click();
    await comes.getByLabel(/^How much of lot/).fill('58');
    await comes.getByLabel('Temperature in the middle').fill('5');
    await comes.getByRole('button', { name: 'It is here' }).click();
    await comes.getByRole('alert').getByText('It is not what left: say what happened.').waitFor();
    await comes.getByLabel(/^What happened/).fill('two broke on the way');
    await expectAccessible(page);
    // The wifi goes: it is kept on the device, over a reload too, and sent once.
    await worksOffline(page);
    await kitchen.cut();
    await comes.getByRole('button', { name: 'It is here' }).click();
    await comes.getByText('It came. Kept here, not sent yet.').waitFor();
    expect(await status()).toContain('Kept on this device; it is sent when there is a connection.');
    await page.reload();
    await comes.getByText('It came. Kept here, not sent yet.').waitFor();
    expect(await comes.getByRole('button', { name: /^Take it in/ }).count()).toBe(0);
    expect(await db().stockLot.count({ where: { siteId: SITE, itemId: SHELL } })).toBe(0);
    await kitchen.restore();
    await comes.getByText(/2\spieces less than left/).waitFor();
    expect(await db().stockLot.count({ where: { siteId: SITE, itemId: SHELL } })).toBe(1);
    const lot = await db().stockLot.findFirstOrThrow({ where: { siteId: SITE, itemId: SHELL } });
    expect(lot.quantity).toBe(58);
    await comes.getByRole('link', { name: 'Print labels' }).waitFor();
    await expectFingerSized(page);
    await picture(page, 'between-receiver');
    // The lot says where it is from, and the trace goes back over the way.
    await go(`#/lot/${lot.id}`);
    await page.getByText('came from another site').waitFor();
    await as('lena', `#/trace/${lot.id}`);
    await page
      .getByText(/at Serafina/)
      .first()
      .waitFor();
    await page
      .getByText(/60\spieces sent on/)
      .first()
      .waitFor();
  });

  it('does not go, says the maker, with the reason that the receiver reads', async () => {
    await as('mara', `#/between/${MAKER}`);
    const leaves = region('Leaves here');
    const notGoing = async (): Promise<void> => {
      await leaves
        .getByRole('button', { name: /^It does not go/ })
        .first()
        .click();
      await leaves.getByLabel('Why does it not go?').fill('The van is broken');
      await leaves.getByRole('button', { name: 'It does not go', exact: true }).click();
    };
    const calledOff = () => db().transfer.count({ where: { status: 'not_sent' } });
    await leaves
      .getByRole('button', { name: /^It does not go/ })
      .first()
      .waitFor();
    await worksOffline(page);
    await kitchen.cut();
    // Said by mistake, it never leaves the device.
    await notGoing();
    await leaves.getByText('It does not go. Kept here, not sent yet.').waitFor();
    await leaves.getByRole('button', { name: 'Undo: Tart shell' }).click();
    await leaves.getByText('It does not go. Kept here').waitFor({ state: 'detached' });
    await notGoing();
    await leaves.getByText('It does not go. Kept here, not sent yet.').waitFor();
    expect(await calledOff()).toBe(0);
    await kitchen.restore();
    await leaves.getByText('The van is broken').waitFor();
    expect(await calledOff()).toBe(1);
    await as('cleo', `#/between/${SITE}`);
    await region('Comes here').getByText('The van is broken').waitFor();
  });

  it('can be left to be worked out: the lead sees every place with what it costs', async () => {
    await as('lena', `#/between/${SITE}`);
    const rules = region('Who makes for whom');
    await rules.getByRole('button', { name: 'Change who makes Tart shell' }).click();
    await rules.getByLabel('Work out who makes it best').check();
    await rules.getByRole('group', { name: 'Who could make it' }).getByLabel('Serafina').check();
    await rules.getByRole('button', { name: 'Keep' }).click();
    await rules.getByText('Not worked out yet: with the next plan, or now.').waitFor();
    await rules.getByRole('button', { name: /^Work out where now/ }).click();
    // Six plans are worked out meanwhile.
    await rules.getByText('Every place, planned through for two weeks').click({ timeout: 90_000 });
    expect(await rules.getByRole('row').count()).toBe(3);
    await rules
      .getByRole('button', { name: /^Why this figure\?/ })
      .first()
      .click();
    await rules
      .getByText(/, in all/)
      .first()
      .waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'between-places');
  });

  it('reads in Italian and on a telephone', async () => {
    await page.setViewportSize({ width: 390, height: 800 });
    await page.evaluate(`localStorage.setItem('tamis-language', 'it')`);
    await page.reload();
    await page.getByRole('heading', { name: 'Tra le sedi: Molo' }).waitFor();
    await page.getByRole('heading', { name: 'Chi prepara per chi' }).waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'between-telephone-it');
    await page.evaluate(`localStorage.setItem('tamis-language', 'en')`);
    await page.setViewportSize({ width: 820, height: 1180 });
  });
});

describe('the days of all sites afterwards', () => {
  it('are read together and site by site, with a file', async () => {
    await at('2026-03-11T08:00:00Z');
    await as('lena', '#/afterwards/all');
    await page.getByRole('heading', { name: 'Afterwards: all sites' }).waitFor();
    const shells = page.getByRole('listitem').filter({ hasText: 'Tart shell' });
    await shells.getByText('Sent to other sites').first().waitFor();
    await shells.getByText('Site by site').click();
    await shells.getByRole('heading', { name: 'Serafina' }).waitFor();
    const file = page.getByRole('link', { name: 'Download CSV' });
    expect(await file.getAttribute('href')).toMatch(/^\/v1\/afterwards\.csv\?/);
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'afterwards-group');
    await page.getByRole('combobox', { name: 'Site' }).selectOption({ label: 'Molo' });
    await page.getByRole('heading', { name: 'Afterwards: Molo' }).waitFor();
  });
});
