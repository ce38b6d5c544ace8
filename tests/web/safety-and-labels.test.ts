import { type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { DISH, SERVICE, SITE } from '../helpers/demo-site.ts';
import { LEAD, SYSTEM } from '../helpers/test-app.ts';
import {
  eventually,
  expectAccessible,
  expectFingerSized,
  picture,
  pictureFailures,
  print,
  signIn,
  startBrowser,
  startKitchen,
  worksOffline,
  type KitchenService,
  type TestBrowser,
} from './kitchen-in-browser.ts';

let kitchen: KitchenService;
let browser: TestBrowser;
let page: Page;
let taskId: string;

pictureFailures(() => page);
beforeAll(async () => {
  kitchen = await startKitchen([
    { name: 'cleo', role: 'chef', siteIds: [SITE] },
    { name: 'lena', role: 'lead', siteIds: 'all' },
  ]);
  await db().recipeStep.update({
    where: { id: 'step_curd' },
    data: { cooling: true, kind: 'cook' },
  });
  await db().stockLot.create({
    data: {
      id: 'lot_butter-box',
      siteId: SITE,
      itemKind: 'ingredient',
      itemId: 'ing_butter',
      quantity: 5000,
      madeAt: new Date('2026-03-09T08:00:00Z'),
      useBy: new Date('2026-04-01T00:00:00Z'),
      sourceKind: 'received',
      sourceId: 'dlv_1',
      supplierLot: 'BX-4471',
      movements: {
        create: { id: 'mov_0', kind: 'received', quantity: 5000, actorId: 'test' },
      },
    },
  });
  await kitchen.server.services.prep.workOut(SYSTEM, SITE, 3);
  const task = await db().prepTask.findFirstOrThrow({
    where: { recipeId: 'rcp_curd' },
    orderBy: { startBy: 'asc' },
  });
  taskId = task.id;
  browser = await startBrowser();
  page = await browser.context.newPage();
  await signIn(page, kitchen.url, 'cleo');
  await page.getByRole('heading', { level: 1, name: /10 March/ }).waitFor();
  await worksOffline(page);
});
afterAll(async () => {
  await browser?.close();
  await kitchen?.close();
});

const db = () => kitchen.server.database.prisma;
const go = (hash: string) => page.goto(`${kitchen.url}/${hash}`);
const record = () => page.getByRole('region', { name: 'Cooling' });
const write = async (degrees: string, ago: string) => {
  await record()
    .getByLabel(/Temperature in/)
    .fill(degrees);
  await record().getByLabel('Measured how many minutes ago').fill(ago);
  await record().getByRole('button', { name: 'Write it down' }).click();
};

/** Whether the page holds together from the narrowest telephone to a wide wall screen. */
async function expectEveryWidth(name: string): Promise<void> {
  for (const width of [360, 820, 2560]) {
    await page.setViewportSize({ width, height: 1000 });
    await expectFingerSized(page);
    await expectAccessible(page);
    if (width !== 2560) await picture(page, `${name}-${width}`);
  }
  await page.emulateMedia({ colorScheme: 'dark' });
  await expectAccessible(page);
  await page.emulateMedia({ colorScheme: 'light' });
  await page.setViewportSize({ width: 820, height: 1180 });
}

describe('a task that cools', () => {
  it('takes temperatures, says what falls due, and refuses what is no number', async () => {
    await go(`#/task/${taskId}`);
    await record().getByText('No temperature written down yet.').waitFor();
    await write('warm', '0');
    await record()
      .getByRole('alert')
      .getByText(/number of degrees/)
      .waitFor();
    await write('80', '20');
    await record()
      .getByText(/10\s°C by \d\d:\d\d/)
      .waitFor();
    await record().getByText('Under way.').waitFor();
    await expectEveryWidth('cooling');
  });

  it('keeps a temperature read without a network and dates it by when it was read', async () => {
    await kitchen.cut();
    await write('45,5', '0');
    await record()
      .getByText(/45\.5\s°C: kept here, not sent yet/)
      .waitFor();
    await browser.context.clock.setFixedTime('2026-03-10T06:10:00Z');
    kitchen.clock.set('2026-03-10T06:10:00Z');
    await kitchen.restore();
    await eventually(() => db().temperatureReading.count()).toBe(2);
    const reading = await db().temperatureReading.findFirstOrThrow({ where: { celsius: 45.5 } });
    const off = Math.abs(reading.at.getTime() - Date.parse('2026-03-10T05:30:00Z')) / 60_000;
    expect(off).toBeLessThan(2);
  });

  it('shows a limit that was not kept with what can be done, and the lot as held', async () => {
    await page.getByLabel(/What was made/).fill('1.2');
    await page.getByRole('button', { name: 'Made', exact: true }).click();
    await page.getByRole('link', { name: 'Print labels' }).waitFor();
    await browser.context.clock.setFixedTime('2026-03-10T07:30:00Z');
    kitchen.clock.set('2026-03-10T07:30:00Z');
    await write('30', '0');
    const note = record().getByRole('alert').filter({ hasText: 'Held back: do not use' });
    await note.waitFor();
    expect(await note.innerText()).toMatch(/Still above 10 °C/);
    expect(await note.innerText()).toMatch(/Heat all of it again/);
    expect(await note.getByRole('button', { name: /Release/ }).count()).toBe(0);
    await expectEveryWidth('breach');
    await note.getByRole('button', { name: /This was done: Heat all/ }).click();
    await note.getByText(/^Done: Heat all/).waitFor();
    expect(await db().stockLot.count({ where: { itemId: 'rcp_curd', heldReason: null } })).toBe(0);
  });

  it('prints a held lot as held, with no date to trust', async () => {
    await page.getByRole('link', { name: 'Print labels' }).click();
    const label = page.locator('.label').first();
    await label.getByText('HELD – DO NOT USE').waitFor();
    expect(await label.innerText()).not.toMatch(/Use by/);
    await picture(page, 'label-held');
  });
});

describe('the safety of a site', () => {
  it('names breaches, held lots and coolings, and the limits with what they rest on', async () => {
    await go(`#/safety/${SITE}`);
    await page.getByRole('heading', { name: 'Limits not kept' }).waitFor();
    const text = await page.locator('main').innerText();
    expect(text).toMatch(/Lemon curd/);
    expect(text).toMatch(/Codex CXC 39-1993/);
    expect(text).toMatch(/local codes and licensed practice decide/);
    await expectEveryWidth('safety');
  });

  it('lets a lead release a lot with a reason, and the label is good again', async () => {
    await page.getByRole('button', { name: /Sign out/ }).click();
    await signIn(page, kitchen.url, 'lena');
    await page.getByRole('link', { name: 'Safety' }).waitFor();
    await go(`#/task/${taskId}`);
    const note = record().getByRole('alert').filter({ hasText: 'The lead decides' });
    await note.getByRole('button', { name: 'Release it' }).click();
    await note.getByText('Say why in a few words.').waitFor();
    await note.getByLabel('Reason').fill('Probe was in the pan wall; the middle was 8 °C');
    await note.getByRole('button', { name: 'Release it' }).click();
    await record()
      .getByText(/Released by lena/)
      .waitFor();
    expect(await db().stockLot.count({ where: { heldReason: { not: null } } })).toBe(0);
  });
});

describe('labels', () => {
  it('carry name, dates, allergens and code, several to a sheet or one to a piece of the roll', async () => {
    await go(`#/labels/task/${taskId}`);
    const label = page.locator('.label').first();
    await label.getByText('Lemon curd').waitFor();
    const text = await label.innerText();
    expect(text).toMatch(/Use by[\s\S]*Friday 13 March/);
    expect(text).toMatch(/Not declared/);
    expect(await label.getByRole('img').getAttribute('aria-label')).toMatch(/^[0-9A-Z]{12}$/);
    await page.getByLabel('Labels of each').fill('7');
    await expectEveryWidth('labels');
    expect(await print(page, 'labels-a4')).toBe(1);
    await page.getByLabel('Labels of each').fill('3');
    await page.getByLabel('Paper').selectOption({ label: 'Roll, 62 mm wide' });
    const roll = await page.pdf({ preferCSSPageSize: true });
    const sizes = [...roll.toString('latin1').matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g)];
    // 62 mm are 175.75 points.
    expect(sizes.map((size) => Math.round(Number(size[1])))).toEqual([176, 176, 176]);
  });
});

describe('a trace', () => {
  it('goes from the code on a box to the dish and the service, and holds it all on a recall', async () => {
    kitchen.clock.set('2026-03-11T08:00:00Z');
    await browser.context.clock.setFixedTime('2026-03-11T08:00:00Z');
    await kitchen.server.services.covers.putSale(LEAD, {
      serviceId: SERVICE,
      serviceDate: '2026-03-10',
      dishId: DISH,
      portions: 10,
      soldOutAt: null,
    });
    // A day later the session has ended.
    await page.reload();
    await signIn(page, kitchen.url, 'lena');
    await page.getByRole('link', { name: 'Safety' }).click();
    await page.getByRole('link', { name: 'Trace a lot' }).click();
    await page.getByLabel('Code on the label or the box').fill('bx-4471');
    await page.getByRole('button', { name: 'Search' }).click();
    await page.getByRole('link', { name: 'Trace Butter' }).click();
    await page.getByRole('link', { name: 'Trace Lemon curd' }).waitFor();
    const text = await page.locator('main').innerText();
    expect(text).toMatch(/Lemon tart, Tuesday 10 March,\s+Dinner[\s\S]*10 portions, 600\sg/);
    await expectEveryWidth('trace');
    await page.getByLabel(/^Why\?/).fill('Supplier notice');
    await page.getByRole('button', { name: 'Hold it and everything made with it' }).click();
    await page.getByText('2 lots are held.').waitFor();
    expect(await db().stockLot.count({ where: { heldReason: 'Supplier notice' } })).toBe(2);
  });
});

describe('the days afterwards', () => {
  it('say what was made, sold and thrown away beside what the plan expected', async () => {
    await go(`#/afterwards/${SITE}`);
    await page.getByRole('heading', { name: 'Lemon curd' }).waitFor();
    const text = await page.locator('main').innerText();
    expect(text).toMatch(/Made\s+1\.2\skg/);
    expect(text).toMatch(/Sold\s+600\sg/);
    await expectEveryWidth('afterwards');
  });
});

it('every new screen speaks Italian', async () => {
  await page.getByLabel(/Language|Lingua/).selectOption('it');
  for (const [hash, words] of [
    [`#/safety/${SITE}`, 'Limiti non rispettati'],
    ['#/trace', 'Codice sull’etichetta o sulla scatola'],
    [`#/labels/task/${taskId}`, 'Carta'],
    [`#/afterwards/${SITE}`, 'Venduto'],
    [`#/task/${taskId}`, 'Raffreddamento'],
  ] as const) {
    await go(hash);
    await page.getByText(words).first().waitFor();
    await expectAccessible(page);
  }
});
