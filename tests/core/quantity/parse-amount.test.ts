import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  UNITS,
  formatAmount,
  parseAmount,
  parseAmountLine,
} from '../../../api/core/quantity/index.ts';
import type { ParsedAmount } from '../../../api/core/quantity/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const read = (text: string) => {
  const { value, unit } = unwrap(parseAmount(text));
  return [value, unit];
};

/** Kind and position (from 0) of a refusal. */
const refusal = (text: string) => {
  const result = parseAmount(text);
  return result.ok ? ['read', result.value] : [result.error.kind, result.error.detail?.position];
};

describe('parseAmount reads what cooks write', () => {
  it.each<[string, number, string]>([
    ['250 g', 250, 'g'],
    ['250g', 250, 'g'],
    ['1 l', 1, 'L'],
    ['1/4 tsp', 0.25, '[tsp_m]'],
    ['1½ tsp', 1.5, '[tsp_m]'],
    ['1 ½ tsp', 1.5, '[tsp_m]'],
    ['1 1/2 tsp', 1.5, '[tsp_m]'],
    ['1 1⁄2 tsp', 1.5, '[tsp_m]'],
    ['½', 0.5, '{each}'],
    ['⅔ US cup', 2 / 3, '[cup_us]'],
    ['3', 3, '{each}'],
    ['3 sheets', 3, 'sheet'],
    ['4 leaves', 4, 'leaf'],
    ['2 bunches', 2, 'bunch'],
    ['a pinch', 1, 'pinch'],
    ['half a bunch', 0.5, 'bunch'],
    ['2 dozen', 24, '{each}'],
    ['half a dozen', 6, '{each}'],
    ['2,5 kg', 2.5, 'kg'],
    ['0,250 kg', 0.25, 'kg'],
    ['.5 l', 0.5, 'L'],
    ['1.250 kg', 1.25, 'kg'],
    ['1,250.5 g', 1250.5, 'g'],
    ['1.250,5 g', 1250.5, 'g'],
    ['1.250.000 mg', 1250000, 'mg'],
    ['1\u00a0250 g', 1250, 'g'],
    ['1\u202f250,5 g', 1250.5, 'g'],
    ['250\u00a0ml', 250, 'mL'],
    ['4 fl. oz', 4, '[foz_br]'],
    ['2 US fluid ounces', 2, '[foz_us]'],
    ['1 lb 4 oz', 20, '[oz_av]'],
    ['1 kg 250 g', 1250, 'g'],
    ['2 tbsp + 1 tsp', 7, '[tsp_m]'],
    ['1 pint 2 fl oz', 22, '[foz_br]'],
    ['2 level tsp', 2, '[tsp_m]'],
    ['2 dessertspoons', 4, '[tsp_m]'],
    ['180 °C', 180, 'Cel'],
    ['-18 °C', -18, 'Cel'],
    ['−18°C', -18, 'Cel'],
    ['350 °F', 350, '[degF]'],
    ['2 [cup_us]', 2, '[cup_us]'],
    ['3 {each}', 3, '{each}'],
    ['  100 G  ', 100, 'g'],
  ])('%s', (text, value, unit) => {
    const [readValue, readUnit] = read(text);
    expect(readUnit).toBe(unit);
    expect(readValue).toBeCloseTo(value, 12);
  });

  it('2 x 400 g tin is 800 g in two tins of 400 g', () => {
    for (const text of ['2 x 400 g tin', '2 × 400g tins', '2x400 g tin']) {
      expect(unwrap(parseAmount(text))).toEqual({
        value: 800,
        unit: 'g',
        multiple: { count: 2, each: 400, container: 'tin' },
      });
    }
    expect(unwrap(parseAmount('3 x 1½ US cup')).multiple).toEqual({ count: 3, each: 1.5 });
  });

  it('three decimals of a gram are read as decimals, with a caution', () => {
    const grams = unwrap(parseAmount('1.250 g'));
    expect(grams.value).toBe(1.25);
    expect(grams.caution).toContain('1250 g');
    expect(unwrap(parseAmount('1.250 kg')).caution).toBeUndefined();
    expect(unwrap(parseAmount('0.125 g')).caution).toBeUndefined();
  });

  it("the ingredient's own measures are words, the longest first", () => {
    const measures = ['cup', 'cup, sifted', 'large', 'heaped tsp', 'tsp'];
    const own = (text: string) => unwrap(parseAmount(text, { measures })).unit;
    expect(own('2 cups')).toBe('cup');
    expect(own('2 cup, sifted')).toBe('cup, sifted');
    expect(own('3 large')).toBe('large');
    expect(own('2 heaped tsp')).toBe('heaped tsp');
    expect(own('2 tsp')).toBe('[tsp_m]');
  });
});

describe('parseAmount refuses with the character and what was expected', () => {
  it.each<[string, string, number]>([
    ['', 'unreadable-amount', 0],
    ['   ', 'unreadable-amount', 3],
    ['flour', 'unreadable-amount', 0],
    ['about 200 g', 'unreadable-amount', 0],
    ['2-3 tbsp', 'unreadable-amount', 1],
    ['2–3 tbsp', 'unreadable-amount', 1],
    ['2 — 3 tbsp', 'unreadable-amount', 2],
    ['2 to 3 tbsp', 'unreadable-amount', 2],
    ['½–1 tsp', 'unreadable-amount', 1],
    ['2 x 400-500 g', 'unreadable-amount', 7],
    ['1,250 g', 'unreadable-amount', 1],
    ['12,34,5 g', 'unreadable-amount', 0],
    ['1 250 g', 'unreadable-amount', 2],
    ['1/0 g', 'unreadable-amount', 0],
    ['1 3/2 tsp', 'unreadable-amount', 2],
    ['-5 g', 'unreadable-amount', 0],
    ['–5', 'unreadable-amount', 0],
    ['-2 x 400 g', 'unreadable-amount', 0],
    ['0 x 400 g', 'unreadable-amount', 0],
    ['5 blobs', 'unknown-unit', 2],
    ['2 x 400 blobs', 'unknown-unit', 8],
    ['2 x 400', 'unreadable-amount', 7],
    ['2 cups', 'unknown-unit', 2],
    ['2 quarts', 'unknown-unit', 2],
    ['2 T', 'unknown-unit', 2],
    ['3 heaped tsp', 'unreadable-amount', 2],
    ['250 g flour', 'unreadable-amount', 6],
    ['250 g 3', 'unreadable-amount', 6],
    ['1 g 2 kg', 'unreadable-amount', 4],
    ['1e9 g', 'unknown-unit', 1],
    ['2000000 kg', 'out-of-range', 0],
    ['-400 °C', 'out-of-range', 0],
    ['9'.repeat(60), 'unreadable-amount', 0],
    ['NaN g', 'unreadable-amount', 0],
  ])('%s', (text, kind, position) => {
    expect(refusal(text)).toEqual([kind, position]);
  });

  it('the message counts characters from 1 and says what to write', () => {
    const range = parseAmount('2–3 tbsp');
    expect(!range.ok && range.error.message).toBe(
      "At character 2 we found '–3 tbsp', but expected one amount, as a range cannot be weighed.",
    );
  });

  it('never throws, and a refusal points inside the text', () => {
    const alphabet = '0123456789½¼ .,/x-–glktspcu°\u00a0[]{}aé';
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string({ unit: 'binary', maxLength: 40 }),
          fc.array(fc.constantFrom(...alphabet), { maxLength: 20 }).map((chars) => chars.join('')),
        ),
        (text) => {
          const result = parseAmount(text);
          if (result.ok) {
            expect(Number.isFinite(result.value.value)).toBe(true);
          } else {
            const position = Number(result.error.detail?.position);
            expect(position).toBeGreaterThanOrEqual(0);
            expect(position).toBeLessThanOrEqual(text.length);
          }
        },
      ),
      { numRuns: 2000 },
    );
  });
});

describe('parseAmountLine', () => {
  it.each<[string, number, string, string]>([
    ['250 g flour', 250, 'g', 'flour'],
    ['3 lemons', 3, '{each}', 'lemons'],
    ['500 g 00 flour', 500, 'g', '00 flour'],
    ['100 g 70% chocolate', 100, 'g', '70% chocolate'],
    ['1 lb 4 oz butter', 20, '[oz_av]', 'butter'],
    ['2 tbsp of honey', 2, '[tbs_m]', 'honey'],
    ['½ vanilla pod', 0.5, '{each}', 'vanilla pod'],
  ])('%s', (text, value, unit, rest) => {
    const line = unwrap(parseAmountLine(text));
    expect([line.amount.value, line.amount.unit, line.rest]).toEqual([value, unit, rest]);
  });

  it('takes the container of a multiple with the amount', () => {
    const line = unwrap(parseAmountLine('2 x 400 g tins apricots'));
    expect(line.rest).toBe('apricots');
    expect(line.amount.value).toBe(800);
  });
});

describe('formatAmount is read back by parseAmount', () => {
  const back = (amount: ParsedAmount, measures?: readonly string[]) => {
    const result = unwrap(
      parseAmount(formatAmount(amount), measures === undefined ? {} : { measures }),
    );
    return { value: result.value, unit: result.unit };
  };
  const decimals = fc.oneof(fc.constant(0), fc.double({ min: 1e-9, max: 1e5, noNaN: true }));
  const fractions = fc
    .tuple(
      fc.integer({ min: 0, max: 999 }),
      fc.integer({ min: 1, max: 9 }),
      fc.integer({ min: 1, max: 10 }),
    )
    .map(([whole, numerator, denominator]) => whole + numerator / denominator);
  const values = fc.oneof(decimals, fractions, fc.integer({ min: 0, max: 100_000 }));

  it('for every unit, with decimals and fractions', () => {
    fc.assert(
      fc.property(values, fc.constantFrom(...UNITS), (value, unit) => {
        fc.pre(unit.dimension !== 'temperature' || value <= 900);
        expect(back({ value, unit: unit.code })).toEqual({ value, unit: unit.code });
      }),
      { numRuns: 1000 },
    );
  });

  it('for household words and measures of the ingredient', () => {
    const names = ['sheet', 'leaf', 'bunch', 'tin', 'box', 'dash', 'cup, sifted', 'extra large'];
    fc.assert(
      fc.property(values, fc.constantFrom(...names), (value, unit) => {
        expect(back({ value, unit }, ['cup, sifted', 'extra large'])).toEqual({ value, unit });
      }),
    );
  });

  it('for multiples', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 200 }),
        fc.double({ min: 0.001, max: 1000, noNaN: true }),
        fc.constantFrom('g', 'mL', '[tsp_m]', '{each}', 'sheet'),
        fc.constantFrom('tin', 'box', undefined),
        (count, each, unit, container) => {
          const multiple = { count, each, ...(container === undefined ? {} : { container }) };
          const amount = { value: count * each, unit, multiple };
          const result = unwrap(parseAmount(formatAmount(amount)));
          expect(result.multiple).toEqual(multiple);
          expect(result.value).toBe(amount.value);
          expect(result.unit).toBe(unit);
        },
      ),
    );
  });

  it('writes as a cook would', () => {
    const format = (text: string) => formatAmount(unwrap(parseAmount(text)));
    expect(format('1.5 tsp')).toBe('1½ tsp');
    expect(format('1.5 kg')).toBe('1.5 kg');
    expect(format('0,5')).toBe('½');
    expect(format('3 sheet')).toBe('3 sheets');
    expect(format('1 leaves')).toBe('1 leaf');
    expect(format('2 x 400g tins')).toBe('2 x 400 g tin');
    expect(formatAmount({ value: 1e-7, unit: 'g' })).toBe('0.0000001 g');
  });
});
