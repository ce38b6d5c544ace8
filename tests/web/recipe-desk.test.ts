import { beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import { inKitchen, kitchen, page } from './in-kitchen.ts';
import {
  eventually,
  expectAccessible,
  expectFingerSized,
  picture,
  signIn,
  startBrowser,
} from './kitchen-in-browser.ts';
import { SUGAR_AND_WATER } from './plain-ingredients.ts';

const db = () => kitchen.server.database.prisma;
const versions = (name: string) =>
  db().recipeVersion.findMany({
    where: { recipe: { name } },
    include: { lines: { orderBy: { position: 'asc' } }, steps: true },
    orderBy: { number: 'asc' },
  });

inKitchen(
  [
    { name: 'lena', role: 'lead', siteIds: 'all' },
    { name: 'ada', role: 'admin', siteIds: 'all' },
  ],
  { viewport: { width: 1366, height: 900 } },
);
beforeAll(async () => {
  const none = { contains: [], mayContain: [], sulphitesMgPerKg: null };
  const declare = (id: string, contains: string[]) =>
    db().ingredient.update({ where: { id }, data: { allergens: { ...none, contains } } });
  await declare('ing_butter', ['milk']);
  await declare('ing_flour', ['gluten:wheat']);
  for (const id of ['ing_juice', 'ing_zest', 'ing_lemon']) await declare(id, []);
  await db().ingredient.createMany({
    data: [
      ...SUGAR_AND_WATER,
      {
        id: 'ing_nuts',
        name: 'Ground hazelnuts',
        baseUnit: 'g',
        allergens: { ...none, contains: ['nuts:hazelnut'] },
      },
    ],
  });
  await signIn(page, kitchen.url, 'lena');
  await page.getByRole('heading', { level: 1, name: /All sites/ }).waitFor();
});

const press = async (...keys: string[]): Promise<void> => {
  for (const key of keys) await page.keyboard.press(key);
};
const inFocus = () =>
  page.evaluate(
    `(document.activeElement?.labels?.[0] ?? document.activeElement)?.textContent?.trim()`,
  ) as Promise<string>;
/** Tabs on until the thing in focus reads so. */
async function tabTo(text: RegExp, most = 60): Promise<void> {
  for (let presses = 0; presses < most; presses += 1) {
    if (text.test(await inFocus())) return;
    await press('Tab');
  }
  throw new Error(`Nothing reading ${text} comes into focus; last: ${await inFocus()}`);
}
const type = (text: string) => page.keyboard.type(text);

describe("the lead's desk, by keyboard alone", () => {
  it('begins a recipe from the list', async () => {
    await tabTo(/^Recipes$/);
    await press('Enter');
    await page.getByRole('heading', { level: 1, name: 'Recipes' }).waitFor();
    await tabTo(/^New recipe$/);
    await press('Enter');
    await tabTo(/^Name/);
    await type('Poaching syrup');
    await tabTo(/^Station/);
    await type('stove');
    await press('Enter');
    await page.getByRole('heading', { level: 1, name: /Poaching syrup/ }).waitFor();
    await page.getByText('Write a line and what a batch gives').waitFor();
    await expectAccessible(page);
  });

  it('writes lines as a cook does, Enter by Enter, and is told the character that cannot be read', async () => {
    await tabTo(/^Amount 1$/);
    await type('300 g');
    await press('Tab');
    await type('caster sugar');
    await press('Enter');
    await eventually(inFocus).toBe('Amount 2');
    await type('5 buckets');
    await press('Tab');
    await type('Water');
    await tabTo(/^One batch gives$/);
    await type('800 g');
    const fault = page.locator('.problem').filter({ hasText: 'at character 3' });
    await fault.waitFor();
    expect(await fault.locator('u').innerText()).toBe('b');
    await expectAccessible(page);
    await picture(page, 'desk-fault');
  });

  it('shows mass, yield, cost, allergens and balance as they stand while typing', async () => {
    await page.keyboard.press('Shift+Tab');
    for (let i = 0; i < 40 && (await inFocus()) !== 'Amount 2'; i += 1) await press('Shift+Tab');
    await press('Control+A');
    await type('½ kg');
    const totals = page.getByRole('complementary');
    await totals
      .getByRole('row', { name: /Goes in/ })
      .getByText(/800\sg/)
      .waitFor();
    await totals
      .getByRole('row', { name: /Yield/ })
      .getByText(/100\s%/)
      .waitFor();
    await totals
      .getByRole('row', { name: /°Brix as finished/ })
      .getByText(/37.5\s°Bx/)
      .waitFor();
    await totals.getByText('Nothing is declared in it.').waitFor();
    await totals.getByText('Cost not known: no price for Caster sugar.').waitFor();
    expect(await page.locator('.problem').filter({ hasText: 'character' }).count()).toBe(0);
  });

  it('writes a step with its times, takes a line out and puts it back, and saves', async () => {
    await tabTo(/^Step 1$/);
    await type('Bring to the boil, cool.');
    await tabTo(/^Work, min/);
    await type('5');
    await tabTo(/^Waiting, min/);
    await type('90');
    await tabTo(/^Equipment/);
    await type('stove ring');
    await tabTo(/^May stand, min/);
    await type('1440');
    for (let i = 0; i < 60 && (await inFocus()) !== 'Take out'; i += 1) await press('Shift+Tab');
    // The last line's button comes first going back from the steps.
    for (let i = 0; i < 60; i += 1) {
      const label = await page.evaluate("document.activeElement?.getAttribute('aria-label')");
      if (label === 'Take out: Water') break;
      await press('Shift+Tab');
    }
    await press('Enter');
    await page.getByText('Water taken out.').waitFor();
    await tabTo(/^Undo$/);
    await press('Enter');
    await page.getByText('Back again.').waitFor();
    await tabTo(/^Save the draft$/);
    await press('Enter');
    await page.getByText('Draft saved.').waitFor();
    const [draft] = await versions('Poaching syrup');
    expect(draft?.lines.map((line) => [line.ingredientId, line.quantity])).toEqual([
      ['ing_sugar', 300],
      ['ing_water', 500],
    ]);
    expect(draft?.steps[0]).toMatchObject({
      workingMin: 5,
      waitingMin: 90,
      equipmentKind: 'stove ring',
      holdMaxMin: 1440,
    });
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'desk-wide');
  });

  it('sends it for review, and publishes after a few seconds in which it can be undone', async () => {
    await tabTo(/^Send for review$/);
    await press('Enter');
    await page.getByText('in review').waitFor();
    await tabTo(/^Review and publish$/);
    await press('Enter');
    await page.getByText('No dish uses it on that day.').waitFor();
    await expectAccessible(page);
    await tabTo(/^Publish for service from/);
    await press('Enter');
    await page.getByText(/Publishing in \d s/).waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    expect((await versions('Poaching syrup'))[0]?.status).toBe('in_review');
    await page.getByRole('button', { name: /Publish for service from/ }).click();
    await page.getByRole('button', { name: 'At once' }).click();
    await page.getByText(/Version 1 is published from/).waitFor();
    expect((await versions('Poaching syrup'))[0]?.status).toBe('published');
  });
});

describe('a change of what guests eat', () => {
  it('shows each dish and site it reaches, what is added, and asks for a second person', async () => {
    await page.goto(`${kitchen.url}/#/recipes`);
    await page.getByLabel('Find by name').fill('shell');
    await page.getByRole('link', { name: 'Tart shell', exact: true }).click();
    await page.getByRole('link', { name: 'Lemon tart', exact: true }).waitFor();
    await page.getByRole('button', { name: 'Begin a draft from this' }).click();
    await page.getByRole('heading', { level: 1, name: /Version 2, draft/ }).waitFor();
    await page.getByRole('button', { name: 'Add a line' }).click();
    await page.getByLabel('Amount 3').fill('40 g');
    await page.getByLabel('Ingredient or component 3').fill('ground hazelnuts');
    await page.getByLabel('Ingredient or component 3').press('Tab');
    await page
      .getByRole('complementary')
      .getByText(/Nuts \(hazelnut\)/)
      .waitFor();
    await page.getByRole('button', { name: 'Send for review' }).click();
    const version = page.getByRole('listitem').filter({ hasText: 'Version 2' }).first();
    await version.getByText('in review').waitFor();
    await version.getByRole('button', { name: /What changed/ }).click();
    await version.getByText(/Ground hazelnuts/).waitFor();
    await version.getByRole('button', { name: 'Review and publish' }).click();
    await version.getByText('adds nuts:hazelnut').waitFor();
    await version.getByText(new RegExp(`${SITE}, from`)).waitFor();
    await version.getByText(/somebody else has to look at it/).waitFor();
    await page.getByRole('button', { name: /Publish for service/, disabled: true }).waitFor();
    await expectAccessible(page);
    await picture(page, 'desk-second-person');
  });

  it('is published by another person once the allergens are checked, and withdrawn with a reason', async () => {
    const { context, close } = await startBrowser({ viewport: { width: 360, height: 760 } });
    const other = await context.newPage();
    await signIn(other, kitchen.url, 'ada');
    await other.getByRole('heading', { level: 1 }).waitFor();
    await other.goto(`${kitchen.url}/#/recipe/rcp_shell`);
    await other.getByRole('button', { name: 'Review and publish' }).click();
    const publish = other.getByRole('button', { name: /Publish for service/ });
    await publish.waitFor();
    expect(await publish.isDisabled()).toBe(true);
    await other.getByLabel(/I have checked the added allergens/).check();
    await expectAccessible(other);
    await expectFingerSized(other);
    await picture(other, 'desk-publish-phone');
    await publish.click();
    await other.getByRole('button', { name: 'At once' }).click();
    await other.getByText(/Version 2 is published from/).waitFor();
    const version = other.getByRole('listitem').filter({ hasText: 'Version 2' }).first();
    await version.getByRole('button', { name: 'Withdraw' }).click();
    await version.getByLabel('Why is it withdrawn?').fill('too dry');
    await version.getByRole('button', { name: 'Withdraw' }).last().click();
    await version.getByRole('button', { name: 'At once' }).click();
    await other.getByText('Version 2 is withdrawn.').waitFor();
    expect((await versions('Tart shell'))[1]?.status).toBe('withdrawn');
    await close();
  });
});

describe('two people at one draft', () => {
  it('the second sees what changed, keeps what was typed, and chooses', async () => {
    await page.goto(`${kitchen.url}/#/recipe/rcp_curd`);
    await page.getByRole('button', { name: 'Begin a draft from this' }).click();
    await page.getByLabel('Amount 1').waitFor();
    const draft = (await versions('Lemon curd'))[1];
    if (!draft) throw new Error('The draft was not begun.');
    await page.getByLabel('Amount 1').fill('310 g');
    // Somebody else saves over the interface of the service meanwhile.
    const theirs = await kitchen.server.services.versions.get(draft.id);
    await kitchen.server.services.versions.updateDraft(
      { kind: 'user', id: 'usr_ada', name: 'ada', role: 'admin', siteIds: 'all' },
      draft.id,
      theirs.rev,
      {
        ...theirs,
        output: theirs.output.amount,
        lines: theirs.lines.map((line, i) => ({
          ...line,
          amount: i === 2 ? { value: 250, unit: 'g' } : line.amount,
        })),
        byProducts: [],
      },
    );
    await page.getByRole('button', { name: 'Save the draft' }).click();
    const clash = page.getByRole('alert').filter({ hasText: 'Somebody saved this draft' });
    await clash.getByText(/ada changed what follows/).waitFor();
    await clash.getByText(/Butter/).waitFor();
    expect(await page.getByLabel('Amount 1').inputValue()).toBe('310 g');
    await expectAccessible(page);
    await picture(page, 'desk-clash');
    await clash.getByRole('button', { name: 'Take theirs' }).click();
    await eventually(() => page.getByLabel('Amount 3').inputValue()).toBe('250 g');
    await page.getByText('Their draft is in the fields.').waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await eventually(() => page.getByLabel('Amount 1').inputValue()).toBe('310 g');
    await page.getByRole('button', { name: 'Save the draft' }).click();
    await page.getByText('Draft saved.').waitFor();
    expect((await versions('Lemon curd'))[1]?.lines.map((line) => line.quantity)).toEqual([
      310, 12, 300,
    ]);
  });

  it('what is typed and not saved is there again after the page was closed', async () => {
    await page.getByLabel('Amount 1').fill('305 g');
    await page.reload();
    await page.getByText(/This is what was typed here/).waitFor();
    expect(await page.getByLabel('Amount 1').inputValue()).toBe('305 g');
    await page.getByRole('button', { name: 'Go back to what is saved' }).click();
    await eventually(() => page.getByLabel('Amount 1').inputValue()).toBe('310 g');
  });

  it('keeps the typing when there is no network, and says so', async () => {
    await page.getByLabel('Amount 1').fill('290 g');
    await kitchen.cut();
    await page.getByRole('button', { name: 'Save the draft' }).click();
    await page.getByText(/What you typed is kept on this device/).waitFor();
    await kitchen.restore();
    await page.getByRole('button', { name: 'Save the draft' }).click();
    await page.getByText('Draft saved.').waitFor();
    expect((await versions('Lemon curd'))[1]?.lines[0]?.quantity).toBe(290);
  });

  it('takes losses one by one and what a site may change, and keeps both', async () => {
    const line = page.locator('.edit-lines > li').nth(1);
    await line.getByText('More on Lemon zest').click();
    await line.getByLabel('Left after trimming, %').waitFor();
    await line.getByRole('button', { name: 'Add a loss' }).click();
    await line.getByLabel('Lost by').selectOption('peel');
    await line.getByLabel('Left, %').fill('150');
    await line.getByLabel('How that is known').fill('Weighed on a test day');
    expect(await line.getByLabel('Left after trimming, %').count()).toBe(0);
    await page.getByRole('button', { name: 'Save the draft' }).click();
    await line.getByRole('alert').waitFor();
    expect((await versions('Lemon curd'))[1]?.lines[1]?.yields).toBeNull();
    await line.getByLabel('Left, %').fill('87.5');
    await line.getByLabel('the ingredient').check();
    await line.getByLabel('the losses').check();
    await line.getByLabel('the ingredient').uncheck();
    const step = page.locator('.edit-steps > li').first();
    await step.getByText('More on step 1').click();
    await step.getByLabel('the temperature').check();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'desk-losses');
    await page.getByRole('button', { name: 'Save the draft' }).click();
    await page.getByText('Draft saved.').waitFor();
    const saved = (await versions('Lemon curd'))[1];
    const peel = { kind: 'peel', fraction: 0.875, source: 'Weighed on a test day' };
    expect(saved?.lines[1]).toMatchObject({ yields: [peel], trimYield: 0.875, siteMay: ['yield'] });
    expect(saved?.steps[0]?.siteMay).toEqual(['temperature']);
  });

  it('fits a phone and the dark', async () => {
    await page.setViewportSize({ width: 360, height: 760 });
    await page.emulateMedia({ colorScheme: 'dark' });
    await expectFingerSized(page);
    await expectAccessible(page);
    await picture(page, 'desk-phone-dark');
  });
});
