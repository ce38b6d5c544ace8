import { beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import { browser, inKitchen, kitchen, page } from './in-kitchen.ts';
import {
  eventually,
  expectAccessible,
  expectFingerSized,
  picture,
  signIn,
} from './kitchen-in-browser.ts';

// A lot of curd made yesterday: the chef holds it, the lead releases it, a warm fridge holds it again.
const LOT = 'lot_curd-tub';

inKitchen([
  { name: 'cleo', role: 'chef', siteIds: [SITE] },
  { name: 'lena', role: 'lead', siteIds: [SITE] },
]);
beforeAll(async () => {
  await db().stockLot.create({
    data: {
      id: LOT,
      siteId: SITE,
      itemKind: 'component',
      itemId: 'rcp_curd',
      quantity: 900,
      madeAt: new Date('2026-03-09T14:00:00Z'),
      useBy: new Date('2026-03-11T14:00:00Z'),
      sourceKind: 'opening count',
      movements: {
        create: {
          id: 'mov_curd',
          kind: 'found',
          quantity: 900,
          actorId: 'usr_cleo',
          at: new Date('2026-03-09T14:00:00Z'),
        },
      },
    },
  });
});

const db = () => kitchen.server.database.prisma;
const go = (hash: string) => page.goto(`${kitchen.url}/${hash}`);
const as = async (name: string): Promise<void> => {
  await browser.context.clearCookies();
  await go('#/');
  await page.reload();
  await signIn(page, kitchen.url, name);
  await page.getByRole('navigation', { name: 'Pages' }).waitFor();
  await go(`#/lot/${LOT}`);
  await page.getByRole('heading', { level: 1, name: 'Lemon curd' }).waitFor();
};
const held = async () => (await db().stockLot.findUniqueOrThrow({ where: { id: LOT } })).heldReason;

describe('the page of a lot', () => {
  it('says how much there is, since when and until when, and what happened to it', async () => {
    await as('cleo');
    await page
      .getByText(/900\sg/)
      .first()
      .waitFor();
    await page.getByText('Good to use.').waitFor();
    await page.getByText(/Made Mon/).waitFor();
    const changes = page.getByRole('table').last();
    expect(await changes.getByRole('row').count()).toBe(1);
    await changes.getByText('found').waitFor();
    await page.getByRole('link', { name: 'Print labels' }).waitFor();
    await page.getByRole('link', { name: 'Trace this lot' }).waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'lot-usable');
  });

  it('lets the chef hold it back with a reason, and release it not', async () => {
    await page.getByRole('button', { name: 'Hold it back' }).click();
    await page.getByRole('alert').getByText('Say why in a few words.').waitFor();
    expect(await held()).toBeNull();
    await page.getByLabel('Why hold it back?').fill('A shell in it');
    await page.getByRole('button', { name: 'Hold it back' }).click();
    await page.getByText('Held back: do not use.').waitFor();
    await page.getByText('A shell in it').first().waitFor();
    expect(await held()).toBe('A shell in it');
    expect(await page.getByRole('button', { name: 'Release it' }).count()).toBe(0);
    await picture(page, 'lot-held');
  });

  it('lets a lead release it with a reason, which stands with what happened', async () => {
    await as('lena');
    await page.getByLabel('Reason').fill('Sieved and tasted');
    await page.getByRole('button', { name: 'Release it' }).click();
    await page.getByText('Good to use.').waitFor();
    expect(await held()).toBeNull();
    const changes = page.getByRole('table').last();
    await changes.getByText('Sieved and tasted').waitFor();
    const trail = await db().auditEvent.findMany({ where: { subjectId: LOT } });
    expect(trail.map(({ action }) => action)).toEqual(expect.arrayContaining(['hold', 'release']));
  });

  it('takes a temperature: too warm for too long, it is held and says what can be done', async () => {
    const record = page.getByRole('region', { name: 'Held cold' });
    const write = async (degrees: string, ago: string): Promise<void> => {
      await record.getByLabel(/Temperature in/).fill(degrees);
      await record.getByLabel('Measured how many minutes ago').fill(ago);
      await record.getByRole('button', { name: 'Write it down' }).click();
    };
    await write('4', '480');
    await record.getByText('Written down.').waitFor();
    await write('12', '5');
    await eventually(held).not.toBeNull();
    await record.getByText('What can be done').waitFor();
    await page.reload();
    await page.getByText('Held back: do not use.').waitFor();
    await expectAccessible(page);
  });

  it('of a lot that is not there says so in words', async () => {
    await go('#/lot/lot_none');
    await page.getByRole('alert').getByText(/lot/).waitFor();
  });
});
