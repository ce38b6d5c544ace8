import { describe, expect, it } from 'vitest';
import type { AllergenDeclaration } from '../../../api/core/allergens/index.ts';
import { allergenChange, allergenStatement } from '../../../api/core/allergens/index.ts';
import type { Item } from '../../../api/core/recipe-graph/index.ts';
import { buildRecipeGraph } from '../../../api/core/recipe-graph/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const ITEMS: readonly Item[] = [
  { id: 'plate', kind: 'dish', name: 'Plate', baseUnit: 'each' },
  { id: 'compote', kind: 'component', name: 'Compote', baseUnit: 'g' },
  { id: 'dried-fruit', kind: 'ingredient', name: 'Dried apricots', baseUnit: 'g' },
  { id: 'wine', kind: 'ingredient', name: 'White wine', baseUnit: 'ml' },
  { id: 'water', kind: 'ingredient', name: 'Water', baseUnit: 'g' },
];
/** A plate of 100 g compote; a kilogram of compote holds 10 g fruit and 100 ml wine. */
function graphWith(fruitYield = 1) {
  const line = (itemId: string, quantity: number, yieldFraction = 1) => ({
    id: itemId,
    itemId,
    quantity,
    yieldFraction,
  });
  return unwrap(
    buildRecipeGraph(ITEMS, [
      {
        itemId: 'plate',
        versionId: 'p',
        outputs: [{ itemId: 'plate', quantity: 1, main: true }],
        lines: [line('compote', 100)],
      },
      {
        itemId: 'compote',
        versionId: 'c',
        outputs: [{ itemId: 'compote', quantity: 1000, main: true }],
        lines: [line('dried-fruit', 10, fruitYield), line('wine', 100), line('water', 890)],
      },
    ]),
  );
}
const none: AllergenDeclaration = { contains: [], mayContain: [] };
const sulphited = (sulphitesMgPerKg?: number): AllergenDeclaration => ({
  contains: ['sulphites'],
  mayContain: [],
  ...(sulphitesMgPerKg === undefined ? {} : { sulphitesMgPerKg }),
});
const declarations = (fruit: AllergenDeclaration, wine: AllergenDeclaration = none) =>
  new Map([
    ['dried-fruit', fruit],
    ['wine', wine],
    ['water', none],
  ]);
const density = { massPerBaseUnit: (id: string) => (id === 'wine' ? 0.99 : undefined) };

describe('sulphites', () => {
  it('are listed above 10 mg/kg in the dish and not at exactly 10', () => {
    const at = unwrap(allergenStatement(graphWith(), declarations(sulphited(1000)), 'plate', 'eu'));
    expect(at.sulphites.kind === 'calculated' && at.sulphites.mgPerKg).toBeCloseTo(10, 9);
    expect(at.contains).toEqual([]);
    const over = unwrap(
      allergenStatement(graphWith(), declarations(sulphited(1010)), 'plate', 'eu'),
    );
    expect(over.sulphites).toMatchObject({ kind: 'calculated', aboveThreshold: true });
    expect(over.contains.map((p) => p.code)).toEqual(['sulphites']);
  });

  it('add up over ingredients, a volume by its density', () => {
    const made = unwrap(
      allergenStatement(
        graphWith(),
        declarations(sulphited(500), sulphited(100)),
        'plate',
        'eu',
        density,
      ),
    );
    // (10 g × 500 + 99 g × 100 mg/kg) ÷ 1000 g
    expect(made.sulphites.kind === 'calculated' && made.sulphites.mgPerKg).toBeCloseTo(14.9, 9);
  });

  it('are listed where an amount or a mass is not known', () => {
    const noAmount = declarations(sulphited());
    const noMass = declarations(none, sulphited(100));
    for (const known of [noAmount, noMass]) {
      const made = unwrap(allergenStatement(graphWith(), known, 'plate', 'eu'));
      expect(made.sulphites).toEqual({ kind: 'not-calculated' });
      expect(made.contains.map((p) => p.code)).toEqual(['sulphites']);
    }
  });

  it('are counted before what is trimmed, and listed while anything is not declared', () => {
    const trimmed = unwrap(
      allergenStatement(graphWith(0.5), declarations(sulphited(800)), 'plate', 'eu'),
    );
    expect(trimmed.sulphites.kind === 'calculated' && trimmed.sulphites.mgPerKg).toBeCloseTo(16, 9);
    const partly = new Map([['dried-fruit', sulphited(100)]]);
    const made = unwrap(allergenStatement(graphWith(), partly, 'plate', 'eu'));
    expect(made.sulphites).toMatchObject({ kind: 'calculated', aboveThreshold: false });
    expect(made.contains.map((p) => p.code)).toEqual(['sulphites']);
  });

  it('that nobody declares are no sulphites declared', () => {
    const made = unwrap(allergenStatement(graphWith(), declarations(none), 'plate', 'eu'));
    expect(made.sulphites).toEqual({ kind: 'none-declared' });
  });
});

describe('the allergen difference between two versions', () => {
  const made = (fruit: AllergenDeclaration | null, regime: 'eu' | 'us' = 'eu') => {
    const known = new Map([...declarations(none), ['dried-fruit', fruit] as const]);
    return unwrap(allergenStatement(graphWith(), known, 'plate', regime));
  };
  const nuts = { contains: ['nuts:almond'], mayContain: ['peanuts'] } as const;

  it('names what comes in and what goes', () => {
    const change = allergenChange(made({ contains: ['milk'], mayContain: ['eggs'] }), made(nuts));
    expect(change.addedContains.map((p) => p.code)).toEqual(['nuts:almond']);
    expect(change.removedContains.map((p) => p.code)).toEqual(['milk']);
    expect(change.addedMayContain.map((p) => p.code)).toEqual(['peanuts']);
    expect(change.removedMayContain.map((p) => p.code)).toEqual(['eggs']);
    expect(change.addsRisk).toBe(true);
  });

  it('adds a risk when may contain becomes contains, but not the other way round', () => {
    const may: AllergenDeclaration = { contains: [], mayContain: ['milk'] };
    const does: AllergenDeclaration = { contains: ['milk'], mayContain: [] };
    expect(allergenChange(made(may), made(does)).addsRisk).toBe(true);
    expect(allergenChange(made(does), made(may))).toMatchObject({ addsRisk: false });
    expect(allergenChange(made(does), made(does)).addsRisk).toBe(false);
  });

  it('adds a risk when an ingredient comes in that nobody declared', () => {
    const change = allergenChange(made(none), made(null));
    expect(change.newlyNotDeclared).toEqual(['dried-fruit']);
    expect(change.addsRisk).toBe(true);
    expect(allergenChange(made(null), made(none)).addsRisk).toBe(false);
  });

  it('is not drawn between two laws', () => {
    expect(() => allergenChange(made(none), made(none, 'us'))).toThrow('cannot be compared');
  });
});
