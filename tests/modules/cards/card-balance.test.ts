import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { figures, openCardPantry, type CardPantry } from '../../helpers/card-pantry.ts';

let pantry: CardPantry;
let book: CardPantry['book'];
let line: CardPantry['line'];
let cardOf: CardPantry['cardOf'];
let draftOf: CardPantry['draftOf'];

beforeAll(async () => {
  pantry = await openCardPantry();
  ({ book, line, cardOf, draftOf } = pantry);
});
afterAll(() => pantry.test.close());

describe('the balance on a card follows from the recipe’s own data', () => {
  it('a syrup has °Brix by definition, and density, Baumé and volume by the sucrose table', async () => {
    const id = await draftOf('Poaching syrup', [line('sugar', '300 g'), line('water', '500 g')], {
      output: { value: 800, unit: 'g' },
    });
    const card = await cardOf(id, '?batches=2');
    expect(card.batches[0].balance[0].kind).toBe('syrup');
    const found = figures(card);
    // 37.5 °Bx by definition; density 1.1637 g/ml: NBS polynomial, see tests/reference/sucrose-tables.
    expect(found.get('brix')?.value).toBe(37.5);
    expect(found.get('density')?.value).toBe(1.164);
    expect(found.get('volume')?.value).toBe(Math.round(1600 / 1.1637));
    // Mohos 2010, Table A2.1 has 30 °Bx as 16.6 and 40 as 22 °Bé: 37.5 lies between.
    expect(found.get('baume')?.value).toBeGreaterThan(20);
    expect(found.get('baume')?.value).toBeLessThan(21);
    for (const figure of found.values()) expect(figure.method.length).toBeGreaterThan(10);
  });

  it('a boiled syrup is stronger as finished than as weighed: what it loses is water', async () => {
    const boil = { text: 'Boil.', kind: 'cook', workingMin: 5, temperatureC: 103 };
    const id = await draftOf('Boiled syrup', [line('sugar', '500 g'), line('water', '500 g')], {
      output: { value: 800, unit: 'g' },
      steps: [boil],
    });
    const found = figures(await cardOf(id));
    expect(found.get('brix-as-weighed')?.value).toBe(50);
    expect(found.get('brix')?.value).toBe(62.5);
  });

  it('what nobody has described is named as missing, and no figure is made up', async () => {
    const id = await draftOf('Cordial syrup', [
      line('sugar', '300 g'),
      line('water', '500 g'),
      line('cordial', '200 g'),
    ]);
    const found = figures(await cardOf(id));
    expect(found.get('brix')).toMatchObject({ value: null, missing: ['Cordial'] });
    expect(found.get('density')).toMatchObject({ value: null, missing: ['Cordial'] });
  });

  it('the sucrose table is not stretched over alcohol', async () => {
    const id = await draftOf('Rum syrup', [
      line('sugar', '300 g'),
      line('water', '500 g'),
      line('rum', '100 g'),
    ]);
    const found = figures(await cardOf(id));
    expect(found.get('brix')?.value).not.toBeNull();
    expect(found.get('density')?.value).toBeNull();
    expect(found.get('density')?.reason).toContain('alcohol');
  });

  it('an ice cream mix gives the figures of the handbook’s worked example', async () => {
    // Goff and Hartel, Ice Cream, 7th ed. 2013, chapter 6, example 13 and Table 6.2, read second-hand:
    // 40 % solids, freezing from −2.74 °C, 70 % frozen at −10.79 °C.
    const id = await draftOf('Ice cream', [line('mix', '1 kg')], { storage: 'frozen' });
    const card = await cardOf(id);
    expect(card.batches[0].balance[0].kind).toBe('frozen-base');
    const found = figures(card);
    const value = (figure: string) => found.get(figure)?.value;
    expect(value('total-solids')).toBe(40);
    expect(value('milk-solids')).toBe(12);
    expect(value('freezing-point')).toBe(-2.7);
    expect(value('serving-coldest')).toBe(-10.8);
    expect(value('serving-warmest')).toBe(-9);
    expect(value('sugar:sucrose')).toBe(12);
    expect(value('sugar:lactose')).toBe(7);
    expect(found.get('freezing-point')?.method).toContain('Goff and Hartel');
  });

  it('milk of which only the kinds of sugar are not told keeps solids and fat, and names itself', async () => {
    const id = await draftOf(
      'Milk ice',
      [line('milk', '700 g'), line('sugar', '150 g'), line('cordial', '10 g')],
      { storage: 'frozen' },
    );
    const found = figures(await cardOf(id));
    expect(found.get('freezing-point')?.value).toBeNull();
    expect(found.get('freezing-point')?.missing).toEqual(
      expect.arrayContaining(['Whole milk', 'Cordial']),
    );
    expect(found.get('fat')).toMatchObject({ value: null, missing: ['Cordial'] });
  });

  it('a dough has the published baker’s percentages, through the raw dough inside it too', async () => {
    // Bread-Bakers digest v102.n038: 500 g flour, 350 g water are 100 and 70 %.
    const inner = await book.recipe('Lean dough', 'component');
    const innerId = await book.draft(inner, [line('flour', '500 g'), line('water', '350 g')], {
      output: { value: 850, unit: 'g' },
      steps: [{ text: 'Knead.', workingMin: 10 }],
    });
    const dough = await cardOf(innerId);
    expect(dough.batches[0].balance[0]).toMatchObject({
      kind: 'dough',
      percentages: [
        { name: 'Strong flour', percent: 100, isFlour: true },
        { name: 'Water', percent: 70, isFlour: false },
      ],
    });
    expect(figures(dough).get('hydration')?.value).toBe(70);
    await book.publish(innerId, '2026-01-01');
    const outer = await draftOf('Sweet dough', [
      { componentId: inner, amount: '425 g' },
      line('sugar', '50 g'),
    ]);
    const found = (await cardOf(outer)).batches[0].balance[0];
    expect(found.percentages.map((row: { percent: number }) => row.percent)).toEqual([100, 70, 20]);
  });

  it('a dish is plated and has no balance of its own', async () => {
    const dish = await book.recipe('Plain plate', 'dish');
    const id = await book.draft(dish, [line('sugar', '30 g'), line('water', '60 g')], {
      output: { value: 1, unit: 'each' },
    });
    expect((await cardOf(id)).batches[0].balance).toEqual([]);
  });
});
