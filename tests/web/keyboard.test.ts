import { beforeAll, describe, expect, it } from 'vitest';
import { addDairy } from '../helpers/dairy.ts';
import { SITE } from '../helpers/demo-site.ts';
import { inKitchen, kitchen, page } from './in-kitchen.ts';
import { eventually, PASSWORD } from './kitchen-in-browser.ts';
import { SYSTEM } from '../helpers/test-app.ts';

inKitchen([
  { name: 'pia', role: 'purchasing', siteIds: 'all' },
  { name: 'cleo', role: 'chef', siteIds: [SITE] },
]);
beforeAll(async () => {
  await addDairy(kitchen.server.database);
  await kitchen.server.services.prep.workOut(SYSTEM, SITE, 7);
});

const db = () => kitchen.server.database.prisma;
const key = (...keys: string[]) =>
  keys.reduce<Promise<void>>(
    (done, one) => done.then(() => page.keyboard.press(one)),
    Promise.resolve(),
  );
const type = (text: string) => page.keyboard.type(text);
const heading = (name: string | RegExp) =>
  page.getByRole('heading', { level: 1, name }).first().waitFor();
const says = (text: string | RegExp) => page.getByText(text).first().waitFor();

interface Stop {
  readonly name: string;
  readonly outlinePx: number;
  /** Whether all of it can be seen: in the window, with nothing lying over its middle. */
  readonly seen: boolean;
}
const FOCUSED = `(() => {
  const at = document.activeElement;
  const label = at.labels?.[0]?.cloneNode(true);
  label?.querySelectorAll('select, datalist').forEach((inner) => inner.remove());
  const box = at.getBoundingClientRect();
  const middle = document.elementFromPoint(box.left + box.width / 2, box.top + Math.min(box.height, 40) / 2);
  return {
    name: (at.getAttribute('aria-label') ?? label?.textContent ?? at.textContent).trim().replace(/\\s+/g, ' '),
    outlinePx: parseFloat(getComputedStyle(at).outlineWidth),
    seen: box.bottom > 0 && box.top < innerHeight
      && (middle === at || at.contains(middle) || middle?.contains(at) === true),
  };
})()`;

/** Goes on by Tab to what is called so; every stop on the way is marked and can be seen. */
async function tabTo(name: string | RegExp): Promise<void> {
  const stops: Stop[] = [];
  // While a page is still fetched Tab has nowhere to go on it, and runs out of the window.
  await eventually(() => page.getByText('One moment…').count()).toBe(0);
  for (let presses = 0; presses < 70; presses += 1) {
    await page.keyboard.press('Tab');
    const stop = (await page.evaluate(FOCUSED)) as Stop;
    stops.push(stop);
    const there = typeof name === 'string' ? stop.name === name : name.test(stop.name);
    if (!there) continue;
    expect(stops.filter(({ outlinePx, seen }) => outlinePx < 2 || !seen)).toEqual([]);
    return;
  }
  throw new Error(`Tab never came to ${name}, but to: ${stops.map((one) => one.name).join(' | ')}`);
}
async function signInByKeyboard(name: string): Promise<void> {
  await page.context().clearCookies();
  await page.goto('about:blank');
  await page.goto(kitchen.url);
  await page.getByLabel('Email').waitFor();
  await tabTo('Email');
  await type(`${name}@example.org`);
  await key('Tab');
  await type(PASSWORD);
  await key('Enter');
}

describe('purchasing, from the keyboard alone', () => {
  const order = () => db().order.findFirstOrThrow({ orderBy: { deliveryDate: 'asc' } });

  it('signs in, works the orders out, opens one, changes its packs and takes that back', async () => {
    await signInByKeyboard('pia');
    await heading('Orders');
    await tabTo('Work out the orders');
    await key('Enter');
    await page.getByRole('heading', { level: 3, name: 'Lakeside Dairy' }).first().waitFor();
    await tabTo(SITE);
    await key('Enter');
    await heading(`Lakeside Dairy for ${SITE}`);
    await tabTo('Packs of Butter');
    const before = Number(await page.getByLabel('Packs of Butter').inputValue());
    await type(String(before + 2));
    await key('Tab');
    await says(`Butter: ${before} → ${before + 2} packs.`);
    const { id } = await order();
    const packs = async () =>
      (await db().orderLine.findFirstOrThrow({ where: { orderId: id } })).packs;
    expect(await packs()).toBe(before + 2);
    await page.evaluate('document.getElementById("main").focus()');
    await tabTo('Undo');
    await key('Enter');
    await eventually(packs).toBe(before);
  });

  it('approves it, sends it, takes the goods in and comes to the file for the supplier', async () => {
    await tabTo('Approve');
    await key('Enter');
    await tabTo('Approve at once');
    await key('Enter');
    await says('Approved.');
    await page.evaluate('document.getElementById("main").focus()');
    await tabTo('It is with the supplier');
    await key('Enter');
    await says('The order is sent.');
    await page.evaluate('document.getElementById("main").focus()');
    await tabTo('Take goods in');
    await key('Enter');
    await tabTo('It is taken in');
    await key('Enter');
    await says('Taken in. The lots are on the shelf.');
    expect((await order()).status).toBe('received');
    await page.evaluate('document.getElementById("main").focus()');
    await tabTo('Download CSV');
  });

  it('goes round suppliers, totals and limits', async () => {
    await page.goto(`${kitchen.url}/#/orders`);
    await heading('Orders');
    await tabTo('Totals');
    await key('Enter');
    await heading('What the orders add up to');
    await tabTo('Suppliers');
    await key('Enter');
    await heading('Suppliers');
    await tabTo('Lakeside Dairy');
    await key('Enter');
    await heading('Lakeside Dairy');
    await tabTo('New price: Butter, 1 kg block');
    await key('Enter');
    await page.getByRole('heading', { name: /^New price of Butter/ }).waitFor();
    // A form that opens has the keyboard in its first field.
    expect(((await page.evaluate(FOCUSED)) as Stop).name).toMatch(/^Price \(EUR\)/);
    await type('9,40');
    await key('Enter');
    await says('The price of Butter, 1 kg block is kept.');
  });
});

describe("a chef's morning, from the keyboard alone", () => {
  it('skips to the list, opens a card, ticks a step, starts a timer and finishes', async () => {
    await signInByKeyboard('cleo');
    await heading(/10 March/);
    await page.getByRole('link', { name: 'Card for Lemon curd' }).first().waitFor();
    await page.reload();
    await page.getByRole('link', { name: 'Card for Lemon curd' }).first().waitFor();
    await key('Tab');
    expect(((await page.evaluate(FOCUSED)) as Stop).name).toBe('Skip to the page');
    await key('Enter');
    await tabTo('Card for Lemon curd');
    await key('Enter');
    await heading(/Lemon curd/);
    await page.getByRole('checkbox', { name: 'Step 1 done' }).waitFor();
    await tabTo(/What was made/);
    await key('Control+A');
    await type('1.1');
    await tabTo('Step 1 done');
    await key('Space');
    expect(await page.getByRole('checkbox', { name: 'Step 1 done' }).isChecked()).toBe(true);
    await tabTo(/^Time 6 h/);
    await key('Enter');
    await page.getByRole('region', { name: 'Waiting' }).waitFor();
    await page.getByLabel(/What was made/).focus();
    await key('Enter');
    await says(/Made 1\.1\skg/);
    const made = () => db().stockLot.findMany({ where: { itemId: 'rcp_curd' } });
    await eventually(async () => (await made()).map(({ quantity }) => quantity)).toEqual([1100]);
  });

  it('counts the fridge: a number, Enter, the next', async () => {
    await page.evaluate('document.getElementById("main").focus()');
    await page.goto(`${kitchen.url}/#/fridge/${SITE}`);
    await heading('Count the fridge');
    await tabTo(/Lemon curd/);
    await type('0.9');
    await key('Enter');
    expect(((await page.evaluate(FOCUSED)) as Stop).name).toMatch(/^Butter/);
    await key('Enter', 'Enter');
    await eventually(async () =>
      (await db().stockLot.findMany({ where: { itemId: 'rcp_curd', quantity: { gt: 0 } } })).reduce(
        (sum, { quantity }) => sum + quantity,
        0,
      ),
    ).toBe(900);
  });
});
