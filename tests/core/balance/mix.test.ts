import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  mixOf,
  PARTS,
  recipeBalance,
  type IngredientMakeup,
  type MixBook,
  type MixLine,
  type MixRecipe,
  type RecipeToBalance,
} from '../../../api/core/balance/index.ts';

/** Fractions of one ingredient that together come to 1 at most. */
const makeup = (name: string): fc.Arbitrary<IngredientMakeup> =>
  fc
    .tuple(fc.array(fc.nat(100), { minLength: 6, maxLength: 6 }), fc.boolean())
    .map(([weights, dissolves]) => {
      const all = Math.max(
        1,
        weights.reduce((sum, one) => sum + one, 0),
      );
      const [water, fat, milkSolids, sugars, alcohol, salt] = weights.map((one) => one / all);
      return {
        name,
        water: water ?? 0,
        fat: fat ?? 0,
        milkSolids: milkSolids ?? 0,
        sugars: sugars ?? 0,
        sugarsByKind: null,
        alcohol: alcohol ?? 0,
        salt: salt ?? 0,
        ph: null,
        inMix: dissolves ? 'dissolves' : 'stays-whole',
      };
    });

const IDS = ['a', 'b', 'c', 'd'];
const pantry = fc.tuple(...IDS.map((id) => makeup(id)));
/** Sweet and wet, so that syrups and frozen bases come up. */
const sweetPantry = pantry.map((made) =>
  made.map((one) => ({
    ...one,
    ...{ water: 0.6 + 0.1 * (one.water ?? 0), sugars: 0.2 + 0.1 * (one.sugars ?? 0), fat: 0 },
    ...{ milkSolids: 0, alcohol: 0, salt: 0, inMix: 'dissolves' as const },
  })),
);
const weighing = fc.array(
  fc.record({
    itemId: fc.constantFrom(...IDS),
    quantity: fc.double({ min: 0.5, max: 5_000, noNaN: true }),
  }),
  { minLength: 1, maxLength: 8 },
);

function bookOf(
  made: readonly IngredientMakeup[],
  recipes: readonly MixRecipe[] = [],
  unitMassG: Readonly<Record<string, number | undefined>> = {},
): MixBook {
  return {
    nameOf: (itemId) => itemId,
    massPerBaseUnit: (itemId) => (itemId in unitMassG ? unitMassG[itemId] : 1),
    ingredient: (itemId) => made.find((one) => one.name === itemId),
    recipe: (itemId) => recipes.find((one) => one.itemId === itemId),
  };
}

function recipeOf(itemId: string, lines: readonly MixLine[], lossG = 0, heated = false): MixRecipe {
  const massG = lines.reduce((sum, line) => sum + line.quantity, 0);
  return {
    itemId,
    name: itemId,
    lines,
    outputMassG: massG - lossG,
    steps: heated ? [{ kind: 'work', temperatureC: 100 }] : [],
  };
}

describe('what lines bring together', () => {
  it('adds up: every part and the mass are the sums of the lines, in any order', () => {
    fc.assert(
      fc.property(pantry, weighing, (made, lines) => {
        const book = bookOf(made);
        const mix = mixOf(lines, book);
        const reversed = mixOf(lines.toReversed(), book);
        const massG = lines.reduce((sum, line) => sum + line.quantity, 0);
        expect(mix.massG).toBeCloseTo(massG, 6);
        expect(reversed.massG).toBeCloseTo(massG, 6);
        for (const part of PARTS) {
          const sum = lines.reduce(
            (total, line) => total + line.quantity * (book.ingredient(line.itemId)?.[part] ?? 0),
            0,
          );
          expect(mix.partsG[part]).toBeCloseTo(sum, 6);
          expect(reversed.partsG[part]).toBeCloseTo(sum, 6);
        }
        const parts = PARTS.reduce((sum, part) => sum + mix.partsG[part], 0);
        expect(parts).toBeLessThanOrEqual(mix.massG * (1 + 1e-9));
      }),
    );
  });

  it('is the same through a component that loses nothing as with its lines weighed in', () => {
    fc.assert(
      fc.property(pantry, weighing, weighing, (made, inside, beside) => {
        const recipe = recipeOf('base', inside);
        const through = mixOf(
          [{ itemId: 'base', quantity: recipe.outputMassG ?? 0 }, ...beside],
          bookOf(made, [recipe]),
        );
        const flat = mixOf([...inside, ...beside], bookOf(made));
        expect(through.massG).toBeCloseTo(flat.massG, 5);
        for (const part of PARTS) expect(through.partsG[part]).toBeCloseTo(flat.partsG[part], 5);
      }),
    );
  });

  it('loses only water where a component was heated, and some of everything where it was not', () => {
    fc.assert(
      fc.property(
        pantry,
        weighing,
        fc.double({ min: 0, max: 1, noNaN: true }),
        (made, lines, share) => {
          const raw = mixOf(lines, bookOf(made));
          const lossG = share * Math.min(raw.partsG.water, raw.massG * 0.9);
          const hot = recipeOf('base', lines, lossG, true);
          const boiled = mixOf(
            [{ itemId: 'base', quantity: hot.outputMassG ?? 0 }],
            bookOf(made, [hot]),
          );
          expect(boiled.partsG.water).toBeCloseTo(raw.partsG.water - lossG, 4);
          for (const part of PARTS) {
            if (part !== 'water') expect(boiled.partsG[part]).toBeCloseTo(raw.partsG[part], 4);
          }
          const cold = { ...hot, steps: [] };
          const kept = (cold.outputMassG ?? 0) / raw.massG;
          const scraped = mixOf(
            [{ itemId: 'base', quantity: cold.outputMassG ?? 0 }],
            bookOf(made, [cold]),
          );
          for (const part of PARTS) {
            expect(scraped.partsG[part]).toBeCloseTo(kept * raw.partsG[part], 4);
          }
        },
      ),
    );
  });

  it('names what has no mass or is not described, and never counts it as zero', () => {
    const sugar: IngredientMakeup = {
      name: 'sugar',
      water: 0,
      fat: 0,
      milkSolids: 0,
      sugars: 1,
      sugarsByKind: { sucrose: 1 },
      alcohol: 0,
      salt: 0,
      ph: null,
      inMix: 'dissolves',
    };
    const book = bookOf([sugar], [], { lemon: undefined });
    const lines = ['sugar', 'cordial', 'lemon'].map((itemId) => ({ itemId, quantity: 100 }));
    const mix = mixOf(lines, book);
    expect(mix.noMass).toEqual(['lemon']);
    expect(mix.lineMassesG).toEqual([100, 100, null]);
    expect(mix.massG).toBe(200);
    for (const part of PARTS) expect(mix.unknown[part]).toEqual(['cordial']);
  });

  it('ends where a component would hold itself', () => {
    const book = bookOf([], [recipeOf('loop', [{ itemId: 'loop', quantity: 10 }])]);
    expect(mixOf([{ itemId: 'loop', quantity: 10 }], book).unknown.sugars).toEqual(['loop']);
  });
});

describe('a balance', () => {
  const figured = (recipe: RecipeToBalance, book: MixBook): [string, number | null][] =>
    recipeBalance(recipe, book).flatMap(({ kind, figures }) =>
      figures
        // The volume is of one making and grows with it.
        .filter((figure) => figure.id !== 'volume')
        .map((figure): [string, number | null] => [`${kind} ${figure.id}`, figure.value]),
    );

  it('is the same for any size of batch', () => {
    const storages = fc.constantFrom('chilled', 'frozen', 'ambient');
    let balanced = 0;
    fc.assert(
      fc.property(
        fc.oneof(pantry, sweetPantry),
        weighing,
        storages,
        fc.integer({ min: 2, max: 40 }),
        (made, lines, storage, times) => {
          const book = bookOf(made);
          const sized = (factor: number): RecipeToBalance => ({
            ...recipeOf(
              'it',
              lines.map((line) => ({ ...line, quantity: line.quantity * factor })),
            ),
            kind: 'component',
            storage,
            holdsGelatine: false,
          });
          const one = figured(sized(1), book);
          const many = figured(sized(times), book);
          balanced += one.length > 0 ? 1 : 0;
          expect(many.map(([id]) => id)).toEqual(one.map(([id]) => id));
          for (const [at, [id, value]] of one.entries()) {
            const other = many[at]?.[1] ?? null;
            expect(other === null, id).toBe(value === null);
            // Half a unit of the last decimal may round the other way.
            if (value !== null && other !== null)
              expect(Math.abs(other - value)).toBeLessThan(0.11);
          }
        },
      ),
      { numRuns: 300 },
    );
    expect(balanced).toBeGreaterThan(20);
  });

  it('is never drawn up for a dish, nor for a recipe without lines', () => {
    fc.assert(
      fc.property(pantry, weighing, (made, lines) => {
        const recipe = {
          ...recipeOf('it', lines),
          storage: 'frozen',
          holdsGelatine: false,
        } as const;
        expect(recipeBalance({ ...recipe, kind: 'dish' }, bookOf(made))).toEqual([]);
        expect(recipeBalance({ ...recipe, kind: 'component', lines: [] }, bookOf(made))).toEqual(
          [],
        );
      }),
    );
  });
});
