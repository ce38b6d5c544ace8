import { beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import { makeThings } from './every-thing.ts';
import { browser, inKitchen, kitchen, page } from './in-kitchen.ts';
import { eventually, signIn, worksOffline } from './kitchen-in-browser.ts';

inKitchen([{ name: 'cleo', role: 'chef', siteIds: [SITE] }]);
beforeAll(async () => {
  await makeThings(kitchen);
  await signIn(page, kitchen.url, 'cleo');
  await page.getByRole('heading', { level: 1, name: /10 March/ }).waitFor();
  await page.getByRole('heading', { name: 'Use first' }).waitFor();
  await worksOffline(page);
});
const db = () => kitchen.server.database.prisma;
const status = () => page.getByRole('status').first();

describe('the page as an app of its own', () => {
  it('can be installed: Chromium finds nothing against it', async () => {
    const protocol = await browser.context.newCDPSession(page);
    const manifest = await protocol.send('Page.getAppManifest');
    expect(manifest.errors).toEqual([]);
    expect(JSON.parse(manifest.data ?? '{}')).toMatchObject({ display: 'standalone' });
    const { installabilityErrors } = await protocol.send('Page.getInstallabilityErrors');
    expect(installabilityErrors).toEqual([]);
  });
});

describe('the fridge without a network', () => {
  it('is counted and thrown from as it was last known; both are sent once, in order', async () => {
    await kitchen.cut();
    await page.goto(`${kitchen.url}/#/fridge/${SITE}`);
    await page.reload();
    await page.getByText(/This is what the device kept at/).waitFor();
    await page.getByLabel('Lemon curd: how much there is, g').fill('600');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Enter');
    await status().getByText('1 entry waits to be sent').waitFor();
    await page.getByRole('button', { name: 'Throw away: Lemon curd' }).click();
    await page.getByLabel('How much goes, in g').fill('250');
    await page.getByRole('button', { name: 'spoiled' }).click();
    await status().getByText('2 entries wait to be sent').waitFor();
    await page.reload();
    await status().getByText('2 entries wait to be sent').waitFor();
    expect(await db().stockCount.count()).toBe(0);
    await kitchen.restore();
    await status().getByText('Connected').waitFor();
    await eventually(
      async () => (await db().stockLot.findUniqueOrThrow({ where: { id: 'lot_curd' } })).quantity,
    ).toBe(350);
    const moved = await db().stockMovement.findMany({
      where: { lotId: 'lot_curd' },
      orderBy: { at: 'asc' },
    });
    expect(moved.map(({ kind, quantity }) => [kind, quantity])).toEqual([
      ['counted', -200],
      ['wasted', -250],
    ]);
  });
});
