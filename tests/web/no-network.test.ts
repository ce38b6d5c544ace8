import { beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import { SYSTEM } from '../helpers/test-app.ts';
import { addresses, pageFiles, WITHOUT_ADDRESS } from './every-screen.ts';
import { browser, inKitchen, kitchen, page } from './in-kitchen.ts';
import {
  eventually,
  expectAccessible,
  MORNING,
  picture,
  signIn,
  worksOffline,
} from './kitchen-in-browser.ts';

inKitchen([
  { name: 'cleo', role: 'chef', siteIds: [SITE] },
  { name: 'dario', role: 'chef', siteIds: [SITE] },
]);
beforeAll(async () => {
  await kitchen.server.services.prep.workOut(SYSTEM, SITE, 3);
  await signIn(page, kitchen.url, 'cleo');
  await page.getByRole('heading', { level: 1, name: /10 March/ }).waitFor();
  await worksOffline(page);
});

const db = () => kitchen.server.database.prisma;
const status = () => page.getByRole('status').first();
const entry = (name: string) =>
  page
    .locator('[data-task]')
    .filter({ has: page.getByText(name, { exact: true }) })
    .first();

/** Waits until the device holds the card of every task of today and tomorrow. */
async function cardsAreKept(): Promise<void> {
  const wanted = new Set(
    (await db().prepTask.findMany({ where: { siteId: SITE } }))
      .filter((task) => task.makeDate <= new Date('2026-03-11T00:00:00Z'))
      .map((task) => {
        const [first] = task.neededFor as { serviceDate: string }[];
        const on = first?.serviceDate ?? task.makeDate.toISOString().slice(0, 10);
        return `/v1/recipe-versions/${task.versionId}/card?batches=${task.batches}&site=${SITE}&on=${on}`;
      }),
  );
  await eventually(async () => (await keysKept()).filter((key) => wanted.has(key)).length).toBe(
    wanted.size,
  );
}

async function keysKept(): Promise<readonly string[]> {
  return page.evaluate(`new Promise((done) => {
    const opening = indexedDB.open('tamis');
    opening.onsuccess = () => {
      const keys = opening.result.transaction('answers').objectStore('answers').getAllKeys();
      keys.onsuccess = () => { done(keys.result); opening.result.close(); };
    };
  })`);
}

describe('a kitchen without a network', () => {
  it('says that the connection is gone, and keeps the list and the cards through a reload', async () => {
    await status().getByText('Connected').waitFor();
    await cardsAreKept();
    await kitchen.cut();
    await page.reload();
    await page.getByRole('heading', { level: 1, name: /10 March/ }).waitFor();
    await status()
      .getByText(/No connection since \d\d:\d\d/)
      .waitFor();
    await page.getByText(/This is what the device kept at/).waitFor();
    await page.getByRole('link', { name: 'Card for Lemon curd' }).first().click();
    await page.getByRole('cell', { name: /Lemon juice/ }).waitFor();
    await expectAccessible(page);
    await picture(page, 'card-without-network');
  });

  it('opens every screen, also those that were never opened before', async () => {
    const ids = {
      task: 'task_x',
      lot: 'lot_x',
      order: 'ord_x',
      sheet: 'ord_x',
      version: 'ver_curd',
      supplier: 'sup_x',
    };
    const opened = addresses(ids);
    expect([...Object.keys(opened), ...WITHOUT_ADDRESS].sort()).toEqual(pageFiles);
    const failed: string[] = [];
    page.on('requestfailed', (request) => {
      if (request.resourceType() === 'script') failed.push(request.url());
    });
    for (const [name, address] of Object.entries(opened)) {
      await page.evaluate(`location.hash = ${JSON.stringify(address)}`);
      // Its data may not be kept; the screen itself is there and says so in its place.
      await eventually(() =>
        page.evaluate(`document.querySelector('main').innerText.trim() !== ''
          && document.querySelector('main .soon') === null`),
      ).toBe(true);
      const broken = page.getByRole('button', { name: 'Load it' });
      expect([name, await broken.count()]).toEqual([name, 0]);
    }
    expect(failed).toEqual([]);
    await page.goto(`${kitchen.url}/#/list/${SITE}`);
    await page.getByRole('heading', { level: 1, name: /10 March/ }).waitFor();
    await page.getByRole('link', { name: 'Card for Lemon curd' }).first().click();
    await page.getByRole('cell', { name: /Lemon juice/ }).waitFor();
  });

  it('keeps ticks made meanwhile, in order, through a reload, and counts each once', async () => {
    await page.getByLabel(/What was made/).fill('1.1');
    await page.getByRole('button', { name: 'Made', exact: true }).click();
    await page.getByText(/Made 1\.1\skg[\s\S]*not sent yet/).waitFor();
    await page.goBack();
    await entry('Tart shell')
      .getByRole('button', { name: /as planned/ })
      .click();
    await status().getByText('2 entries wait to be sent.').waitFor();
    await page.reload();
    await status().getByText('2 entries wait to be sent.').waitFor();
    await entry('Lemon curd').getByText('Kept here, not sent yet.').waitFor();
    await picture(page, 'list-without-network');
    expect(await db().stockLot.count()).toBe(0);

    await kitchen.restore();
    await status().getByText('Connected').waitFor();
    await eventually(() => db().stockLot.count()).toBe(2);
    const [shell, curd] = await db().stockLot.findMany({ orderBy: { itemId: 'desc' } });
    expect([shell?.itemId, curd?.itemId, curd?.quantity]).toEqual(['rcp_shell', 'rcp_curd', 1100]);
    const done = await db().auditEvent.findMany({
      where: { subjectKind: 'prep task' },
      orderBy: { id: 'asc' },
    });
    expect(done.map((line) => line.action)).toEqual(['task done', 'task done']);
    await page.reload();
    await entry('Lemon curd')
      .getByText(/Made 1\.1\skg/)
      .waitFor();
    expect(await db().stockLot.count()).toBe(2);
  });

  it('counts once when the answer to a tick was lost on the way', async () => {
    const undo = page.getByRole('button', { name: 'Undo: Lemon curd' });
    await undo.click();
    await page.getByRole('button', { name: /^Lemon curd: made/ }).waitFor();
    await eventually(() =>
      db().prepTask.count({ where: { recipeId: 'rcp_curd', status: 'to_do' } }),
    ).toBeGreaterThan(0);
    // The request reaches the service; its answer does not reach the tablet.
    let swallowed = 0;
    await page.route('**/finish', async (route) => {
      if (swallowed > 0) return route.continue();
      swallowed += 1;
      await route.fetch();
      return route.abort('connectionreset');
    });
    await page
      .getByRole('button', { name: /^Lemon curd: made/ })
      .first()
      .click();
    await eventually(() =>
      db().idempotencyRecord.count({ where: { actorId: 'usr_cleo' } }),
    ).toBeGreaterThanOrEqual(4);
    await status().getByText('Connected').waitFor();
    const curds = await db().stockLot.findMany({
      where: { itemId: 'rcp_curd', quantity: { gt: 0 } },
    });
    expect(curds).toHaveLength(1);
    expect(swallowed).toBe(1);
    await page.unroute('**/finish');
  });

  it('says in words that somebody else was faster, and counts nothing twice', async () => {
    await page.getByRole('button', { name: 'Undo: Lemon curd' }).click();
    await page.getByRole('button', { name: /^Lemon curd: made/ }).waitFor();
    await status().getByText('Connected').waitFor();
    const curd = await db().prepTask.findFirstOrThrow({
      where: { recipeId: 'rcp_curd', status: 'to_do' },
      orderBy: { startBy: 'asc' },
    });
    await kitchen.cut();
    await page
      .getByRole('button', { name: /^Lemon curd: made/ })
      .first()
      .click();
    await status()
      .getByText(/1 entry waits to be sent/)
      .waitFor();
    const dario = {
      kind: 'user',
      id: 'usr_dario',
      name: 'dario',
      role: 'chef',
      siteIds: [SITE],
    } as const;
    await kitchen.server.services.taskWork.finish(dario, curd.id, {
      madeQuantity: 1200,
      partial: false,
    });
    await kitchen.restore();
    const note = page.getByRole('alert').filter({ hasText: 'was not counted' });
    await note.waitFor();
    expect(await note.innerText()).toMatch(/already by dario\. Nothing was counted twice/);
    await expectAccessible(page);
    await picture(page, 'list-conflict');
    await note.getByRole('button', { name: 'I have read this' }).click();
    const curds = await db().stockLot.findMany({
      where: { itemId: 'rcp_curd', quantity: { gt: 0 } },
    });
    expect(curds.map((lot) => lot.quantity)).toEqual([1200]);
  });

  it('dates a tick made without a network by when it was made, on a tablet whose clock is wrong', async () => {
    await page.getByRole('button', { name: 'Undo: Lemon curd' }).click();
    const made = page.getByRole('button', { name: /^Lemon curd: made/ }).first();
    await made.waitFor();
    await eventually(() =>
      db().prepTask.count({ where: { recipeId: 'rcp_curd', status: 'done' } }),
    ).toBe(0);
    await kitchen.cut();
    await made.click();
    await status()
      .getByText(/entr(y waits|ies wait) to be sent/)
      .waitFor();
    // 95 minutes go by; somebody sets the tablet's clock seven hours ahead meanwhile.
    await browser.context.clock.setFixedTime('2026-03-10T14:05:00Z');
    kitchen.clock.set('2026-03-10T07:05:00Z');
    await kitchen.restore();
    await eventually(() =>
      db().prepTask.count({ where: { recipeId: 'rcp_curd', status: 'done' } }),
    ).toBe(1);
    const curd = await db().prepTask.findFirstOrThrow({
      where: { recipeId: 'rcp_curd', status: 'done' },
    });
    const minutesOff = Math.abs((curd.finishedAt?.getTime() ?? 0) - Date.parse(MORNING)) / 60_000;
    expect(minutesOff).toBeLessThan(2);
    expect(curd.tickedAt?.toISOString()).toBe('2026-03-10T07:05:00.000Z');
    const lot = await db().stockLot.findFirstOrThrow({
      where: { itemId: 'rcp_curd', quantity: { gt: 0 } },
    });
    expect(lot.madeAt).toEqual(curd.finishedAt);
    expect(lot.useBy.getTime() - lot.madeAt.getTime()).toBe(4320 * 60_000);
    await browser.context.clock.setFixedTime('2026-03-10T07:05:00Z');
  });

  it("does not send one person's ticks as another's", async () => {
    await kitchen.cut();
    await entry('Tart shell').getByRole('button', { name: /Undo/ }).click();
    await status()
      .getByText(/1 entry waits to be sent/)
      .waitFor();
    await db().session.deleteMany({ where: { userId: 'usr_cleo' } });
    await kitchen.restore();
    await page.getByText(/Your session has ended/).waitFor();
    await signIn(page, kitchen.url, 'dario');
    await status()
      .getByText(/1 entry of somebody else/)
      .waitFor();
    await page.getByRole('heading', { level: 1, name: /10 March/ }).waitFor();
    const shell = { recipeId: 'rcp_shell', doneBy: 'cleo' };
    expect(await db().prepTask.count({ where: shell })).toBe(1);
    await page.getByRole('button', { name: /Sign out/ }).click();
    await signIn(page, kitchen.url, 'cleo');
    await eventually(() => db().prepTask.count({ where: shell })).toBe(0);
  });
});
