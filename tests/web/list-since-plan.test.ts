import { beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import { SYSTEM } from '../helpers/test-app.ts';
import { browser, inKitchen, kitchen, page } from './in-kitchen.ts';
import {
  expectAccessible,
  expectFingerSized,
  MORNING,
  picture,
  signIn,
} from './kitchen-in-browser.ts';

// A list is made in the morning; what the day does to it must be seen on it.
inKitchen([{ name: 'cleo', role: 'chef', siteIds: [SITE] }]);

const db = () => kitchen.server.database.prisma;
const CAUTION = 'Burns badly: not for trainees.';

beforeAll(async () => {
  const lot = (id: string, itemId: string, quantity: number, useBy: string) => ({
    ...{ id, siteId: SITE, itemKind: 'component', itemId, quantity, sourceKind: 'found' },
    madeAt: new Date('2026-03-09T08:00:00Z'),
    useBy: new Date(useBy),
  });
  await db().recipeVersion.update({ where: { id: 'ver_curd' }, data: { cautions: [CAUTION] } });
  await db().stockLot.createMany({
    data: [
      // A week after the list's day to the weekday, and a year after it.
      lot('lot_shell', 'rcp_shell', 30, '2026-03-17T20:00:00Z'),
      lot('lot_paste', 'rcp_paste', 400, '2027-03-09T20:00:00Z'),
    ],
  });
  await kitchen.server.services.prep.workOut(SYSTEM, SITE, 3);
  await signIn(page, kitchen.url, 'cleo');
  await page.getByRole('heading', { level: 1, name: /Tuesday 10 March, today/ }).waitFor();
});

const behind = () => page.getByRole('region', { name: 'Since this list was worked out' });
const first = () => page.locator('[data-task]').filter({ hasText: 'Lemon curd' }).first();

describe('a list in Chromium', () => {
  it('names the day and month of a use-by that a weekday alone would put in another week', async () => {
    await page.getByRole('heading', { name: 'Use first' }).waitFor();
    const text = await page.locator('main').innerText();
    expect(text).toMatch(/use by Tue\s17\sMar\s21:00/);
    expect(text).not.toMatch(/use by Tue\s21:00/);
    await page.goto(`${kitchen.url}/#/fridge/${SITE}`);
    await page.getByText(/use by Tue,?\s9\sMar\s2027\s21:00/).waitFor();
    await page.goto(`${kitchen.url}/#/list/${SITE}`);
  });

  it('says nothing of that kind while the day goes as planned', async () => {
    await first().waitFor();
    expect(await behind().count()).toBe(0);
  });

  it('says that a lot it would use is held back, where it says to use it and at the top', async () => {
    await db().stockLot.update({ where: { id: 'lot_shell' }, data: { heldReason: 'torn bag' } });
    await page.reload();
    await behind()
      .getByText(/Tart shell: .* held back, do not use/)
      .waitFor();
    const use = page.getByRole('listitem').filter({ hasText: /use by Tue\s17\sMar/ });
    await use.getByText(', held back, do not use').first().waitFor();
    await db().stockLot.update({
      where: { id: 'lot_shell' },
      data: { heldReason: null, quantity: 2 },
    });
    await page.reload();
    await behind()
      .getByText(/Tart shell: 2\spieces left in the fridge, \d+\spieces counted on/)
      .waitFor();
    await use
      .getByText(/, only 2\spieces left/)
      .first()
      .waitFor();
  });

  it('says what of a making is missing until the plan is worked out again, from the top of the page', async () => {
    await first().getByRole('link').click();
    await page.getByLabel(/What was made/).fill('0.2');
    await page.getByLabel('Only part of it; the rest is still to make').check();
    await page.getByRole('button', { name: 'Made', exact: true }).click();
    await page
      .getByText(/only part/)
      .first()
      .waitFor();
    await page.getByRole('link', { name: 'Back to the list' }).click();
    await behind()
      .getByText(/Lemon curd: .* of .* made, and the rest is not on the list/)
      .waitFor();
    // Not only while it waits to be sent.
    await page.getByText('Connected', { exact: true }).waitFor();
    await page.reload();
    await behind()
      .getByText(/Lemon curd: .* of .* made, and the rest is not on the list/)
      .waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'list-since-plan');
    kitchen.clock.advanceMinutes(1);
    await behind().getByRole('button', { name: 'Work out again' }).click();
    await behind().waitFor({ state: 'detached' });
  });

  it('says that what was made is held back, as long as it is, however new the plan', async () => {
    const hold = (heldReason: string | null) =>
      db().stockLot.updateMany({ where: { sourceKind: 'prep task' }, data: { heldReason } });
    await hold('too warm');
    await page.reload();
    await behind()
      .getByText(/Lemon curd: .* made and held back, do not use/)
      .waitFor();
    const made = page.locator('[data-task]').filter({ hasText: 'only part' });
    await made.getByText(/only part, held back, do not use/).waitFor();
    await hold(null);
    await page.reload();
    await made.waitFor();
    expect(await behind().count()).toBe(0);
  });

  it('says that ready times no longer hold where something should have been begun long ago', async () => {
    await browser.context.clock.setFixedTime('2026-03-10T17:30:00Z');
    await page.reload();
    await behind()
      .getByText(/late to start: when (it is|they are) ready/)
      .waitFor();
    await browser.context.clock.setFixedTime(MORNING);
    await page.reload();
    await first().waitFor();
    expect(await behind().count()).toBe(0);
  });

  it('shows a caution as it was written, whatever the language of the page', async () => {
    await page.getByLabel('Language').selectOption('Italiano');
    await page.getByRole('heading', { level: 1, name: /10 marzo/ }).waitFor();
    await page.getByText(CAUTION).first().waitFor();
    await first().getByRole('link').click();
    await page.getByText(CAUTION).first().waitFor();
  });
});
