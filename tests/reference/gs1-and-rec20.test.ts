import { UcumLhcUtils } from '@lhncbc/ucum-lhc';
import { describe, expect, it } from 'vitest';
import {
  checkGtin,
  gs1CheckDigit,
  gs1Date,
  gtinOfCase,
  readElementStrings,
  toGtin14,
  tradeUnits,
} from '../../api/core/codes/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';

describe('GS1 worked examples', () => {
  // GS1, "How to calculate a check digit manually"; GS1 Sweden's example; the last two are the
  // usual textbook UPC and EAN-8 (from memory, arithmetic checked by hand: sums 58 and 86).
  it.each([
    ['629104150021', 3, 'GS1 worked example'],
    ['730001100001', 7, 'GS1 Sweden worked example'],
    ['03600029145', 2, 'textbook GTIN-12'],
    ['9638507', 4, 'textbook GTIN-8'],
  ])('gives %s the check digit %i (%s)', (body, digit) => {
    expect(unwrap(gs1CheckDigit(body))).toBe(digit);
    expect(unwrap(checkGtin(`${body}${digit}`))).toBe(`${body}${digit}`);
  });

  it('gives a sum that is a multiple of ten the digit 0 (case of the first example)', () => {
    expect(unwrap(gtinOfCase('6291041500213', 1))).toBe('16291041500210');
  });

  it('keeps the check digit when a number is filled with zeros to 14 digits', () => {
    expect(unwrap(toGtin14('6291041500213'))).toBe('06291041500213');
  });

  it('reads dates as in GS1 Denmark’s examples, day 00 as the last of the month', () => {
    // 990800 is the end of August 1999 (GS1 Denmark).
    expect(unwrap(gs1Date('990800', 2000))).toBe('1999-08-31');
    expect(unwrap(gs1Date('990701', 2000))).toBe('1999-07-01');
    expect(unwrap(gs1Date('000615', 2000))).toBe('2000-06-15');
    expect(unwrap(gs1Date('011126', 2000))).toBe('2001-11-26');
  });

  it('reads GTIN, use-by and lot from one label, scanned or printed', () => {
    const expected = { gtin: '06291041500213', useByDate: '2026-12-01', lot: 'A12' };
    expect(unwrap(readElementStrings('01062910415002131726120110A12', 2026))).toEqual(expected);
    expect(unwrap(readElementStrings('(01)06291041500213(17)261201(10)A12', 2026))).toEqual(
      expected,
    );
  });
});

describe('UN/ECE Recommendation 20 units against the UCUM library of the US National Library of Medicine', () => {
  const ucum = UcumLhcUtils.getInstance();
  const ucumCode: Record<string, string> = {
    KGM: 'kg',
    GRM: 'g',
    MGM: 'mg',
    TNE: 't',
    LBR: '[lb_av]',
    ONZ: '[oz_av]',
    LTR: 'L',
    MLT: 'mL',
    CLT: 'cL',
    DLT: 'dL',
    OZA: '[foz_us]',
    OZI: '[foz_br]',
    PTL: '[pt_us]',
    PTI: '[pt_br]',
    GLL: '[gal_us]',
    G21: '[cup_us]',
    G24: '[tbs_us]',
    G25: '[tsp_us]',
  };
  const measured = tradeUnits().filter((unit) => unit.baseUnit !== 'each');

  it.each(measured.map((unit) => [unit.code, unit] as const))(
    '%s holds as much as in UCUM',
    (code, unit) => {
      const answer = ucum.convertUnitTo(
        ucumCode[code] ?? '',
        1,
        unit.baseUnit === 'g' ? 'g' : 'mL',
      );
      expect(answer.status).toBe('succeeded');
      const expected = Number(answer.toVal);
      expect(Math.abs(Number(unit.factor) - expected) / expected).toBeLessThan(1e-9);
    },
  );

  it('leaves only pieces and dozens without a UCUM measure', () => {
    const counted = tradeUnits().filter((unit) => unit.baseUnit === 'each');
    expect(counted.map((unit) => [unit.code, unit.factor])).toEqual([
      ['H87', '1'],
      ['C62', '1'],
      ['EA', '1'],
      ['DZN', '12'],
      ['DPC', '12'],
    ]);
  });
});
