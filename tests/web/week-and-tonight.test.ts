import { parse } from 'csv-parse/sync';
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import { SYSTEM } from '../helpers/test-app.ts';
import { inKitchen, kitchen, page } from './in-kitchen.ts';
import {
  expectAccessible,
  expectFingerSized,
  picture,
  print,
  signIn,
} from './kitchen-in-browser.ts';

const db = () => kitchen.server.database.prisma;

inKitchen([{ name: 'cleo', role: 'chef', siteIds: [SITE] }], { acceptDownloads: true });
beforeAll(async () => {
  await db().recipeVersion.update({ where: { id: 'ver_shell' }, data: { storage: 'frozen' } });
  await db().stockLot.create({
    data: {
      id: 'lot_shell',
      siteId: SITE,
      itemKind: 'component',
      itemId: 'rcp_shell',
      quantity: 500,
      madeAt: new Date('2026-03-09T10:00:00Z'),
      useBy: new Date('2026-04-09T10:00:00Z'),
      sourceKind: 'count',
      sourceId: 'cnt_x',
    },
  });
  await kitchen.server.services.prep.workOut(SYSTEM, SITE, 10);
  await signIn(page, kitchen.url, 'cleo');
  await page.getByRole('heading', { level: 1, name: /today/ }).waitFor();
});

describe('the day before, in Chromium', () => {
  it('says what comes out of the freezer tonight, and for whom', async () => {
    const tonight = page.getByRole('heading', { name: 'Tonight, for Wednesday 11 March' });
    await tonight.waitFor();
    const entry = page.getByRole('listitem').filter({ hasText: 'Tart shell' }).last();
    await entry.getByText(/for Lemon tart, Dinner/).waitFor();
    await page
      .getByText(/could save at most \d+% of the work|No other choice of batches/)
      .waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
  });

  it('marks what changed since this tablet was last looked at, until somebody has seen it', async () => {
    expect(await page.getByText(/Changed since you looked/).count()).toBe(0);
    const before = await db().prepTask.findFirstOrThrow({
      where: { recipeId: 'rcp_curd', makeDate: new Date('2026-03-10T00:00:00Z') },
    });
    await kitchen.server.services.covers.addSnapshots(SITE, [
      {
        serviceId: 'svc_dinner',
        serviceDate: '2026-03-11',
        takenAt: new Date('2026-03-10T05:20:00Z'),
        booked: 60,
        cancelled: null,
      },
    ]);
    await db().stockLot.update({ where: { id: 'lot_shell' }, data: { quantity: 40 } });
    await kitchen.server.services.prep.workOut(SYSTEM, SITE, 10);
    const after = await db().prepTask.findUniqueOrThrow({ where: { id: before.id } });
    expect(after.quantity).toBeGreaterThan(before.quantity);
    await page.reload();
    const note = page.getByRole('region', { name: /Changed since you looked at/ });
    await note.getByText(/Lemon curd/).waitFor();
    await note.getByText(/→/).first().waitFor();
    await expectAccessible(page);
    await picture(page, 'day-changed');
    await page.reload();
    await note.waitFor();
    await note.getByRole('button', { name: 'Seen' }).click();
    await note.waitFor({ state: 'detached' });
    await page.reload();
    await page.getByRole('heading', { name: /Tonight/ }).waitFor();
    expect(await note.count()).toBe(0);
  });
});

describe('the week, in Chromium', () => {
  it('shows what is made on which day, on every size of screen, on paper and as a file', async () => {
    await page.getByRole('link', { name: 'The week' }).click();
    await page.getByRole('heading', { level: 1, name: /What is made when/ }).waitFor();
    const row = page.getByRole('row', { name: /Lemon curd/ });
    await row.waitFor();
    expect(await row.getByRole('cell').count()).toBe(7);
    await row
      .getByText(/\d+(\.\d+)?\skg/)
      .first()
      .waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'week');
    const downloading = page.waitForEvent('download');
    await page.getByRole('link', { name: 'Download CSV' }).click();
    const file = await (await downloading).path();
    const rows = parse<Record<string, string>>(readFileSync(file), { columns: true });
    expect(rows.map((one) => one.component)).toContain('Lemon curd');
    expect(await print(page, 'week-a4')).toBe(1);
    await page.setViewportSize({ width: 360, height: 740 });
    await expectFingerSized(page);
    await picture(page, 'week-phone');
    await page.setViewportSize({ width: 3840, height: 2160 });
    await expectFingerSized(page);
    await page.getByRole('link', { name: /Week after/ }).click();
    await page.getByText(/Seven days from Tuesday 17 March/).waitFor();
    await expectAccessible(page);
  });
});

describe('a shortage, in Chromium', () => {
  it('is answered with what would help, each way planned through', async () => {
    await page.setViewportSize({ width: 820, height: 1180 });
    // Opened at noon on a day whose dinner wants more curd than can set by then.
    kitchen.clock.set(new Date('2026-03-10T12:30:00Z'));
    await db().stockLot.deleteMany();
    await kitchen.server.services.prep.workOut(SYSTEM, SITE, 3);
    // The morning's session has ended by then.
    await signIn(page, kitchen.url, 'cleo');
    await page.getByRole('heading', { level: 1, name: /10 March/ }).waitFor();
    await page.getByRole('button', { name: /What would help\? Lemon curd/ }).click();
    await page.getByText('Planning to last every second time only').waitFor();
    await page
      .getByText(/still .* short/)
      .first()
      .waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'day-what-helps');
  });
});
