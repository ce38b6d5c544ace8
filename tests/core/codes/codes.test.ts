import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  checkGln,
  checkGtin,
  checkSscc,
  gs1CheckDigit,
  gs1Date,
  readElementStrings,
  toGtin14,
  tradeQuantity,
  tradeUnit,
} from '../../../api/core/codes/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const digits = (length: number) =>
  fc
    .array(fc.integer({ min: 0, max: 9 }), { minLength: length, maxLength: length })
    .map((d) => d.join(''));

describe('check digits', () => {
  it('finds every single wrong digit', () => {
    fc.assert(
      fc.property(digits(12), fc.nat(12), fc.integer({ min: 1, max: 9 }), (body, place, by) => {
        const good = `${body}${unwrap(gs1CheckDigit(body))}`;
        expect(checkGtin(good).ok).toBe(true);
        const wrong = (Number(good[place]) + by) % 10;
        const slip = `${good.slice(0, place)}${wrong}${good.slice(place + 1)}`;
        expect(checkGtin(slip)).toMatchObject({ ok: false, error: { kind: 'invalid-code' } });
      }),
    );
  });

  it('refuses letters, spaces and wrong lengths', () => {
    for (const text of ['', '629104150021', '6291041500213 ', '62910415002I3', '-6291041500213']) {
      expect(checkGtin(text).ok, text).toBe(false);
    }
    expect(gs1CheckDigit('12a').ok).toBe(false);
    expect(checkGln('96385074').ok).toBe(false);
    expect(checkSscc('6291041500213').ok).toBe(false);
  });

  it('writes GTINs of one article alike', () => {
    expect(unwrap(toGtin14('036000291452'))).toBe(unwrap(toGtin14('0036000291452')));
  });
});

describe('goods labels', () => {
  it('reads what follows data of variable length after a separator', () => {
    const scanned = ']C1' + '10LOT-7\u001d' + '0106291041500213' + '3103002500' + '3712';
    expect(unwrap(readElementStrings(scanned, 2026))).toEqual({
      lot: 'LOT-7',
      gtin: '06291041500213',
      netWeightKg: 2.5,
      containedCount: 12,
    });
  });

  it('refuses unknown parts, short data, wrong check digits, repeats and empty labels', () => {
    const bad = [
      '',
      '99ABC',
      '0106291041500',
      '0106291041500214',
      '(10)A(10)B',
      '17261301',
      '(17)26130',
      '37AB',
    ];
    for (const scanned of bad) expect(readElementStrings(scanned, 2026).ok, scanned).toBe(false);
  });

  it('puts a two-digit year within fifty years of the reading', () => {
    expect(unwrap(gs1Date('760101', 2026))).toBe('2076-01-01');
    expect(unwrap(gs1Date('770101', 2026))).toBe('1977-01-01');
    expect(unwrap(gs1Date('260228', 2026))).toBe('2026-02-28');
    expect(unwrap(gs1Date('030101', 2099))).toBe('2103-01-01');
    expect(gs1Date('260230', 2026).ok).toBe(false);
  });
});

describe('units of trade', () => {
  it('says kilograms, litres and pieces where a supplier would', () => {
    expect(tradeQuantity(12500, 'g')).toEqual({ amount: '12.5', code: 'KGM', symbol: 'kg' });
    expect(tradeQuantity(250, 'g')).toEqual({ amount: '250', code: 'GRM', symbol: 'g' });
    expect(tradeQuantity(1000, 'ml')).toEqual({ amount: '1', code: 'LTR', symbol: 'l' });
    expect(tradeQuantity(30, 'each')).toEqual({ amount: '30', code: 'H87', symbol: 'pc' });
    expect(tradeQuantity(0.1 + 0.2, 'g').amount).toBe('0.3');
  });

  it('refuses a code it does not use', () => {
    expect(tradeUnit('CS')).toMatchObject({ ok: false, error: { kind: 'unknown-unit' } });
    expect(unwrap(tradeUnit('DZN')).factor).toBe('12');
  });
});
