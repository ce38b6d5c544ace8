import { recipeBook } from './recipe-book.ts';
import { LEAD, startTestApp } from './test-app.ts';

const bought = { contains: [], mayContain: [] };
const ingredients: readonly [string, string, object][] = [
  [
    'sugar',
    'Caster sugar',
    {
      composition: { waterFraction: 0, fatFraction: 0, sugars: { sucrose: 1 }, inMix: 'dissolves' },
    },
  ],
  ['water', 'Water', { notBought: true }],
  ['cordial', 'Cordial', {}],
  ['flour', 'Strong flour', { composition: { inMix: 'flour', waterFraction: 0.13 } }],
  [
    'milk',
    'Whole milk',
    {
      allergens: { contains: ['milk'], mayContain: [] },
      composition: { waterFraction: 0.8813, fatFraction: 0.0325, milkSolidsFraction: 0.0862 },
    },
  ],
  [
    // One mix with the make-up of the handbook's worked example (its whey lactose written out).
    'mix',
    'Ice cream mix',
    {
      composition: {
        waterFraction: 0.6,
        fatFraction: 0.1156,
        milkSolidsFraction: 0.12,
        sugars: { sucrose: 0.12, 'glucose-syrup-42de': 0.04, lactose: 0.0044 },
      },
    },
  ],
  [
    'gold',
    'Gelatine sheets, gold',
    { gelatine: { bloom: 200, sheetMassG: 2 }, measures: [{ name: 'sheet', massG: 2 }] },
  ],
  ['powder', 'Gelatine powder', { gelatine: { bloom: 225, sheetMassG: null } }],
  ['pineapple', 'Pineapple', { composition: { ph: 3.5, inMix: 'stays-whole' } }],
  [
    'rum',
    'Rum',
    { composition: { alcoholFraction: 0.33, waterFraction: 0.67, sugars: {}, inMix: 'dissolves' } },
  ],
  [
    'nuts',
    'Hazelnuts',
    { allergens: { contains: ['nuts:hazelnut'], mayContain: ['nuts:almond'] } },
  ],
  ['secret', 'Spice mix', { allergens: null }],
];

/** A figure of the balance as the API gives it. */
export interface Figure {
  id: string;
  value: number | null;
  missing: string[];
  method: string;
  reason: string | null;
}

/** The figures of one batch of a card, by id. */
export const figures = (card: { batches: { balance: { figures: Figure[] }[] }[] }, batch = 0) =>
  new Map(card.batches[batch]?.balance[0]?.figures.map((figure) => [figure.id, figure]));

/** Starts the application and enters the ingredients. */
export async function openCardPantry() {
  const test = await startTestApp();
  const book = recipeBook(test);
  const item: Record<string, string> = {};
  for (const [key, name, body] of ingredients)
    item[key] = await book.ingredient(name, { allergens: bought, ...body });
  return {
    test,
    book,
    item,
    line: (key: string, amount: string, more: object = {}) => ({
      ingredientId: item[key],
      amount,
      ...more,
    }),
    cardOf: async (versionId: string, query = '') =>
      (await test.as(LEAD).get(`/v1/recipe-versions/${versionId}/card${query}`).expect(200)).body,
    draftOf: async (name: string, lines: readonly object[], body: object = {}) =>
      book.draft(await book.recipe(name, 'component'), lines, body),
  };
}

/** A group with ingredients described for the figures of a card, and what its tests need of it. */
export type CardPantry = Awaited<ReturnType<typeof openCardPantry>>;
