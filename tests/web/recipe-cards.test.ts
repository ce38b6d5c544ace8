import path from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import { inKitchen, kitchen, page } from './in-kitchen.ts';
import {
  expectAccessible,
  expectFingerSized,
  OUTPUT,
  picture,
  print,
  signIn,
} from './kitchen-in-browser.ts';
import { SUGAR_AND_WATER } from './plain-ingredients.ts';

const db = () => kitchen.server.database.prisma;

/** A jelly of described ingredients beside the helpers' tart, and allergens of some of them. */
async function describeMore(): Promise<void> {
  const none = { contains: [], mayContain: [], sulphitesMgPerKg: null };
  await db().ingredient.createMany({
    data: [
      ...SUGAR_AND_WATER,
      {
        id: 'ing_gold',
        name: 'Gelatine sheets, gold',
        baseUnit: 'g',
        bloom: 200,
        sheetMassG: 2,
        allergens: none,
      },
      { id: 'ing_powder', name: 'Gelatine powder', baseUnit: 'g', bloom: 225, allergens: none },
    ],
  });
  await db().ingredient.update({
    where: { id: 'ing_butter' },
    data: { allergens: { ...none, contains: ['milk'] } },
  });
  await db().ingredient.update({
    where: { id: 'ing_flour' },
    data: { allergens: { ...none, contains: ['gluten:wheat'], mayContain: ['nuts:hazelnut'] } },
  });
  await db().recipeVersion.update({ where: { id: 'ver_shell' }, data: { pieceMassG: 26 } });
  await db().ingredient.update({ where: { id: 'ing_zest' }, data: { allergens: none } });
  const made = { outputUnit: 'g', batchMultiple: 0.5, batchMin: 0.5, batchMax: 3 };
  for (const [id, name, output] of [
    ['syrup', 'Poaching syrup', 800],
    ['jelly', 'Water jelly', 1012],
  ] as const) {
    await db().recipe.create({
      data: { id: `rcp_${id}`, kind: 'component', name, baseUnit: 'g', station: 'stove' },
    });
    await db().recipeVersion.create({
      data: {
        ...made,
        id: `ver_${id}`,
        recipeId: `rcp_${id}`,
        number: 1,
        status: 'published',
        firstServiceDate: new Date('2026-01-01T00:00:00Z'),
        outputValue: output,
        outputQuantity: output,
        shelfLifeMin: 4320,
        storage: 'chilled',
        cautions: [],
        createdBy: 'test',
      },
    });
  }
  const line = (version: string, position: number, ingredientId: string, quantity: number) => ({
    id: `line_${version}_${position}`,
    versionId: `ver_${version}`,
    position,
    ingredientId,
    value: quantity,
    unit: 'g',
    quantity,
  });
  await db().recipeLine.createMany({
    data: [
      line('syrup', 0, 'ing_sugar', 300),
      line('syrup', 1, 'ing_water', 500),
      line('jelly', 0, 'ing_water', 1000),
      line('jelly', 1, 'ing_gold', 12),
    ],
  });
  await db().recipeStep.create({
    data: {
      id: 'step_jelly',
      versionId: 'ver_jelly',
      position: 0,
      text: 'Bake the mould dry, then set.',
      kind: 'bake',
      workingMin: 5,
      waitingMin: 20,
      temperatureC: 160,
      equipmentKind: 'mould',
      equipmentAmount: 3,
    },
  });
  await db().equipment.create({
    data: { id: 'eqp_mould', siteId: SITE, kind: 'mould', name: 'Moulds', units: 4 },
  });
}

inKitchen([{ name: 'cleo', role: 'chef', siteIds: [SITE] }]);
beforeAll(async () => {
  await describeMore();
  await signIn(page, kitchen.url, 'cleo');
  await page.getByRole('link', { name: 'Recipes' }).click();
});

const heading = (name: RegExp | string) => page.getByRole('heading', { level: 1, name });

describe('a card in Chromium', () => {
  it('is found by typing part of a name, and says so when there is none', async () => {
    await heading('Recipes').waitFor();
    await page.getByText('5 recipes').waitFor();
    await page.getByLabel('Find by name').fill('zzz');
    await page.getByText('No recipe has “zzz” in its name.').waitFor();
    await page.getByLabel('Find by name').fill('poach');
    await page.getByText('1 recipe', { exact: true }).waitFor();
    expect(await page.getByText('New recipe').count()).toBe(0);
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'recipes-tablet');
    await page.getByRole('link', { name: 'Card of Poaching syrup' }).click();
    await heading(/Poaching syrup/).waitFor();
  });

  it('shows a syrup’s strength by the table, and other batches when the chef chooses them', async () => {
    const brix = page.getByRole('row', { name: /°Brix as finished/ });
    await brix.getByText('37.5 °Bx').waitFor();
    await page
      .getByRole('row', { name: /Density at 20/ })
      .getByText('1.164 g/ml')
      .waitFor();
    await page.getByText(/published sucrose table/).waitFor();
    await page.getByText('One making: 0.5 to 3 batches, in steps of 0.5.').waitFor();
    await page.getByRole('button', { name: 'One step more' }).click();
    await page.getByRole('row', { name: /450.*Caster sugar/ }).waitFor();
    await page
      .getByRole('row', { name: /Volume/ })
      .getByText(/1,031\sml/)
      .waitFor();
    await page.getByLabel('Batches').fill('0.5');
    await page.getByLabel('Batches').press('Enter');
    await page.getByRole('row', { name: /150.*Caster sugar/ }).waitFor();
    await page.getByLabel('Batches').fill('some');
    await page.getByLabel('Batches').press('Enter');
    await page.getByRole('alert').filter({ hasText: 'Write a number of batches' }).waitFor();
    await page.getByLabel('Batches').fill('5');
    await page.getByLabel('Batches').press('Enter');
    await page.getByRole('heading', { name: /Weigh 2 times, each for/ }).waitFor();
    await expectAccessible(page);
  });

  it('says what gelatine to use in every form kept, the oven with and without fan, and the loads', async () => {
    await page.goto(`${kitchen.url}/#/card/rcp_jelly?batches=3&site=${SITE}`);
    await heading(/Water jelly/).waitFor();
    const use = page.locator('.note').filter({ hasText: 'Gelatine: use' });
    await use.getByText('18 gold sheets (200 Bloom, 2 g each)').waitFor();
    await use.getByText('33.9 g powder (225 Bloom)').waitFor();
    await page.getByText(/oven 160 °C with fan, 180 °C without/).waitFor();
    await page.getByText(/9 × mould, one after another: 3 loads of 3 \(4 here\)/).waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'card-tablet');
    expect(await print(page, 'card-of-recipe')).toBeLessThanOrEqual(2);
  });
});

describe('allergens by dish in Chromium', () => {
  it('are told by letter and word with their kinds, and never by colour alone', async () => {
    await page.getByRole('link', { name: 'Allergens', exact: true }).click();
    await heading(`Allergens, ${SITE}`).waitFor();
    const row = page.getByRole('row', { name: /Lemon tart/ });
    await row.getByRole('rowheader', { name: /Not declared/ }).waitFor();
    const cells = await row.getByRole('cell').allInnerTexts();
    expect(cells).toHaveLength(14);
    expect(cells.some((text) => /C[\s\S]*contains[\s\S]*wheat/.test(text))).toBe(true);
    expect(cells.some((text) => /M[\s\S]*may contain[\s\S]*hazelnut/.test(text))).toBe(true);
    // Lemon juice is declared by nobody: what is not listed is unknown, never none.
    expect(cells.some((text) => /\?[\s\S]*not declared/.test(text))).toBe(true);
    expect(cells.some((text) => /none declared/.test(text))).toBe(false);
    await page.getByText(/A dash never means free from/).waitFor();
    await page.getByText(/never says that a dish is free from/).waitFor();
    await page.getByText(/holds while it is made by .*Lemon curd v1/).waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'allergens-tablet');
  });

  it('show the way each comes in when asked', async () => {
    await page.getByText('How each comes into Lemon tart').click();
    await page
      .getByText(/Tart shell → Flour/)
      .first()
      .waitFor();
    await page.getByText(/Lemon curd → Lemon juice/).waitFor();
    await expectAccessible(page);
  });

  it('fit one landscape sheet, with the date and the versions they hold for', async () => {
    const file = path.join(OUTPUT, 'allergens.pdf');
    const pdf = (await page.pdf({ preferCSSPageSize: true, path: file })).toString('latin1');
    const sheets = pdf.match(/\/Type\s*\/Page\b/g) ?? [];
    expect(sheets).toHaveLength(1);
    const [, width, height] = /\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf) ?? [];
    expect(Number(width)).toBeGreaterThan(Number(height));
    await page.emulateMedia({ media: 'print' });
    await page.setViewportSize({ width: 1050, height: 740 });
    await picture(page, 'allergens-print');
    await page.emulateMedia({ media: 'screen' });
  });

  it('read as a list on a phone', async () => {
    await page.setViewportSize({ width: 360, height: 740 });
    await page.getByText('contains', { exact: true }).first().waitFor();
    await expectFingerSized(page);
    await expectAccessible(page);
    await picture(page, 'allergens-phone');
    await page.goto(`${kitchen.url}/#/card/rcp_jelly?batches=3&site=${SITE}`);
    await heading(/Water jelly/).waitFor();
    await page.getByText(/oven 160 °C/).waitFor();
    await expectFingerSized(page);
    await picture(page, 'card-phone');
    await page.setViewportSize({ width: 820, height: 1180 });
  });

  it('lead on to the declaration, which says what is not known instead of zero', async () => {
    await page.goto(`${kitchen.url}/#/allergens/${SITE}`);
    await page.getByText('How each comes into Lemon tart').click();
    await page.getByRole('link', { name: 'Nutrition, label' }).click();
    await heading('Nutrition and ingredients, Lemon tart').waitFor();
    await page.getByRole('row', { name: /fat/i }).first().getByText('not known').first().waitFor();
    await page.getByText(/nobody has declared Lemon juice/).waitFor();
    await page.getByText('WHEAT', { exact: false }).or(page.getByText(/FLOUR/)).first().waitFor();
    await expectAccessible(page);
    await picture(page, 'declaration-tablet');
    await page.getByLabel('Language').selectOption('it');
    await heading('Valori nutrizionali e ingredienti, Lemon tart').waitFor();
    await page.getByLabel('Lingua').selectOption('en');
  });
});
