import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  MAX_SUCROSE_PER_100G_WATER,
  SUCROSE_FREEZING_TABLE,
  SWEETENERS,
  balanceFrozenBase,
  freezingPointC,
  frozenFractionAt,
  sucroseDepressionC,
} from '../../../api/core/frozen-base/index.ts';
import type { FrozenIngredient, SweetenerKind } from '../../../api/core/frozen-base/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import type { Result } from '../../../api/core/shared/result.ts';

const kindOf = (result: Result<unknown>) => (result.ok ? 'ok' : result.error.kind);

/** Synthetic ingredients of round composition. */
const water = (massG: number): FrozenIngredient => ({ name: 'Water', massG, composition: {} });
const sugar = (massG: number, kind: SweetenerKind = 'sucrose'): FrozenIngredient => ({
  name: SWEETENERS[kind].name,
  massG,
  composition: { sugars: { [kind]: 1 } },
});
const dairy: FrozenIngredient = {
  name: 'Dairy',
  massG: 700,
  composition: { fat: 0.1, msnf: 0.08 },
};

const solutes = fc.record({
  sucroseEquivalentG: fc.double({ min: 1, max: 25, noNaN: true }),
  milkSolidsG: fc.double({ min: 0, max: 12, noNaN: true }),
  saltG: fc.double({ min: 0, max: 0.5, noNaN: true }),
  waterG: fc.double({ min: 50, max: 80, noNaN: true }),
});

describe('balanceFrozenBase', () => {
  it('adds up solids, fat, milk solids and sugars, and leaves the rest to water', () => {
    const base = unwrap(balanceFrozenBase([dairy, sugar(120), sugar(40, 'dextrose'), water(140)]));
    expect(base.massG).toBe(1000);
    expect(base.fatPercent).toBeCloseTo(7, 10);
    expect(base.msnfPercent).toBeCloseTo(5.6, 10);
    expect(base.totalSolidsPercent).toBeCloseTo(7 + 5.6 + 12 + 4, 10);
    expect(base.waterPercent).toBeCloseTo(71.4, 10);
    expect(base.sugarsPercent.sucrose).toBeCloseTo(12, 10);
    expect(base.sugarsPercent.dextrose).toBeCloseTo(4, 10);
    expect(base.sugarsPercent.lactose).toBeCloseTo(5.6 * 0.545, 10);
    expect(base.totalSugarsPercent).toBeCloseTo(16 + 5.6 * 0.545, 10);
    expect(base.sweetnessPercent).toBeCloseTo(12 + 4 * 0.743 + 5.6 * 0.545 * 0.16, 10);
    expect(base.sucroseEquivalentPercent).toBeCloseTo(12 + 4 * 1.9 + 5.6 * 0.545, 10);
  });

  it('does not depend on the size of the batch', () => {
    const mix = [dairy, sugar(150), water(100)];
    const large = mix.map((one) => ({ ...one, massG: one.massG * 37 }));
    const [small, big] = [unwrap(balanceFrozenBase(mix)), unwrap(balanceFrozenBase(large))];
    expect(big.freezingPointC).toBeCloseTo(small.freezingPointC, 10);
    expect(big.sweetnessPercent).toBeCloseTo(small.sweetnessPercent, 10);
  });

  it('dextrose for sucrose is less sweet and freezes lower; a spirit lowers it further', () => {
    const plain = unwrap(balanceFrozenBase([sugar(200), water(800)]));
    const dextrose = unwrap(balanceFrozenBase([sugar(150), sugar(50, 'dextrose'), water(800)]));
    const spirit: FrozenIngredient = { name: 'Spirit', massG: 60, composition: { alcohol: 0.333 } };
    const drunk = unwrap(balanceFrozenBase([sugar(200), water(740), spirit]));
    expect(dextrose.sweetnessPercent).toBeLessThan(plain.sweetnessPercent);
    expect(dextrose.freezingPointC).toBeLessThan(plain.freezingPointC);
    expect(drunk.freezingPointC).toBeLessThan(plain.freezingPointC - 0.5);
    expect(drunk.totalSolidsPercent).toBeCloseTo(20, 10);
  });

  it('salt lowers the freezing point as a dissociated solute: 1 g in 100 g water by 0.637 °C', () => {
    const salt: FrozenIngredient = { name: 'Salt', massG: 1, composition: { salt: 1 } };
    /* 1.86 °C·kg/mol · 2 ions / 58.44 g/mol, ideal solution (cryoscopic constant: any handbook). */
    expect(unwrap(balanceFrozenBase([salt, water(100)])).freezingPointC).toBeCloseTo(-0.6366, 3);
  });

  it('says nothing of serving when the mix is beyond the table', () => {
    const strong = unwrap(balanceFrozenBase([sugar(400), water(500)]));
    expect(strong.serving).toBeUndefined();
    expect(strong.freezingPointC).toBeLessThan(-5);
    expect(kindOf(balanceFrozenBase([sugar(950), water(500)]))).toBe('out-of-range');
  });

  it('serves between the temperatures of 65 and 70 % frozen', () => {
    const base = unwrap(balanceFrozenBase([dairy, sugar(160), water(140)]));
    if (base.serving === undefined) throw new Error('This mix is inside the table');
    expect(unwrap(frozenFractionAt(base.solutes, base.serving.warmestC))).toBeCloseTo(0.65, 6);
    expect(unwrap(frozenFractionAt(base.solutes, base.serving.coldestC))).toBeCloseTo(0.7, 6);
    expect(base.serving.coldestC).toBeLessThan(base.serving.warmestC);
  });

  it('refuses parts over 100 %, negative parts, no mix and bad weights, at the ingredient', () => {
    const wrong = (composition: FrozenIngredient['composition']) =>
      balanceFrozenBase([water(100), { name: 'Wrong', massG: 10, composition }]);
    for (const composition of [
      { fat: 0.6, msnf: 0.5 },
      { fat: 1.2 },
      { msnf: -0.1 },
      { sugars: { sucrose: 0.7, dextrose: 0.4 } },
      { sugars: { sucrose: NaN } },
    ]) {
      const refused = wrong(composition);
      expect(kindOf(refused)).toBe('out-of-range');
      expect(!refused.ok && refused.error.path?.[0]).toBe(1);
    }
    expect(kindOf(wrong({ fat: 0.3, msnf: 0.3, sugars: { sucrose: 0.4 } }))).toBe('ok');
    expect(kindOf(balanceFrozenBase([]))).toBe('missing-data');
    expect(kindOf(balanceFrozenBase([water(0)]))).toBe('missing-data');
    expect(kindOf(balanceFrozenBase([water(-5)]))).toBe('out-of-range');
    expect(kindOf(balanceFrozenBase([sugar(100)]))).toBe('out-of-range');
  });
});

describe('freezing curve', () => {
  it('the table rises all the way', () => {
    expect(SUCROSE_FREEZING_TABLE).toHaveLength(61);
    for (const [row, depression] of SUCROSE_FREEZING_TABLE.entries()) {
      if (row > 0) expect(depression).toBeGreaterThan(SUCROSE_FREEZING_TABLE[row - 1] ?? NaN);
    }
    expect(unwrap(sucroseDepressionC(MAX_SUCROSE_PER_100G_WATER))).toBe(13.68);
    expect(unwrap(sucroseDepressionC(1.5))).toBeCloseTo(0.09, 12);
    expect(kindOf(sucroseDepressionC(181))).toBe('out-of-range');
    expect(kindOf(sucroseDepressionC(-1))).toBe('out-of-range');
  });

  it('the more water is ice, the colder', () => {
    fc.assert(
      fc.property(
        solutes,
        fc.double({ min: 0, max: 0.5, noNaN: true }),
        fc.double({ min: 0.001, max: 0.2, noNaN: true }),
        (mix, fraction, more) => {
          const warm = freezingPointC(mix, fraction);
          const cold = freezingPointC(mix, fraction + more);
          if (warm.ok && cold.ok) expect(cold.value).toBeLessThan(warm.value);
          else expect(cold.ok).toBe(false);
        },
      ),
    );
  });

  it('frozenFractionAt undoes freezingPointC', () => {
    fc.assert(
      fc.property(solutes, fc.double({ min: 0.01, max: 0.9, noNaN: true }), (mix, fraction) => {
        const point = freezingPointC(mix, fraction);
        fc.pre(point.ok);
        expect(unwrap(frozenFractionAt(mix, unwrap(point)))).toBeCloseTo(fraction, 6);
      }),
    );
  });

  it('nothing is frozen above the freezing point; colder than the table is refused', () => {
    const mix = { sucroseEquivalentG: 20, milkSolidsG: 10, saltG: 0, waterG: 60 };
    expect(unwrap(frozenFractionAt(mix, 4))).toBe(0);
    expect(kindOf(frozenFractionAt(mix, -60))).toBe('out-of-range');
    expect(kindOf(freezingPointC(mix, 1))).toBe('out-of-range');
    expect(kindOf(freezingPointC({ ...mix, waterG: 0 }))).toBe('out-of-range');
  });
});
