import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  SHEET_GRADES,
  convertGelatine,
  equivalentMassG,
  exchangeSheets,
  findEnzymeFruit,
  gelatineAmount,
  settingCard,
  settingCautions,
  settingLevelGPerL,
} from '../../../api/core/setting/index.ts';
import type { GelatineForm, SheetGrade } from '../../../api/core/setting/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import type { Result } from '../../../api/core/shared/result.ts';

const kindOf = (result: Result<unknown>) => (result.ok ? 'ok' : result.error.kind);
const bloom = fc.double({ min: 50, max: 300, noNaN: true });
const mass = fc.double({ min: 0, max: 5000, noNaN: true });
const silver: GelatineForm = { kind: 'sheet', grade: 'silver', bloom: 160, sheetMassG: 2.5 };
const powder: GelatineForm = { kind: 'powder', bloom: 200 };

describe('equal firmness', () => {
  it('keeps c·√B the same', () => {
    fc.assert(
      fc.property(mass, bloom, bloom, (massG, from, to) => {
        const other = unwrap(equivalentMassG(massG, from, to));
        expect(other * Math.sqrt(to)).toBeCloseTo(massG * Math.sqrt(from), 8);
      }),
    );
  });

  it('goes there and back by either rule, and directly or through a third grade', () => {
    fc.assert(
      fc.property(
        mass,
        bloom,
        bloom,
        bloom,
        fc.constantFrom('square-root', 'linear'),
        (massG, from, via, to, rule) => {
          const direct = unwrap(equivalentMassG(massG, from, to, rule));
          const first = unwrap(equivalentMassG(massG, from, via, rule));
          expect(unwrap(equivalentMassG(first, via, to, rule))).toBeCloseTo(direct, 8);
          expect(unwrap(equivalentMassG(direct, to, from, rule))).toBeCloseTo(massG, 8);
        },
      ),
    );
  });

  it('the linear rule corrects more than the square root', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 100, noNaN: true }), bloom, bloom, (massG, from, to) => {
        const root = Math.abs(unwrap(equivalentMassG(massG, from, to)) - massG);
        const linear = Math.abs(unwrap(equivalentMassG(massG, from, to, 'linear')) - massG);
        expect(linear).toBeGreaterThanOrEqual(root * (1 - 1e-12));
      }),
    );
  });

  it('refuses negative and impossible Bloom values and weights', () => {
    for (const wrong of [-160, 0, 49, 301, NaN]) {
      expect(kindOf(equivalentMassG(10, wrong, 200))).toBe('out-of-range');
      expect(kindOf(equivalentMassG(10, 200, wrong))).toBe('out-of-range');
      expect(kindOf(convertGelatine({ massG: 10, bloom: 200 }, { ...powder, bloom: wrong }))).toBe(
        'out-of-range',
      );
    }
    expect(kindOf(equivalentMassG(-1, 160, 200))).toBe('out-of-range');
  });

  it('the level of a mix does not depend on which gelatine sets it', () => {
    const inPowder = unwrap(equivalentMassG(10, 160, 240));
    const level = unwrap(settingLevelGPerL(10, 160, 800));
    expect(unwrap(settingLevelGPerL(inPowder, 240, 800))).toBeCloseTo(level, 10);
    expect(unwrap(settingLevelGPerL(8, 200, 500))).toBeCloseTo(16, 10);
    expect(kindOf(settingLevelGPerL(8, 200, 0))).toBe('out-of-range');
  });
});

describe('sheets and powder', () => {
  it('six silver sheets are 15 g of 160 Bloom, or 13.4 g of 200 Bloom powder', () => {
    const amount = unwrap(gelatineAmount(6, silver));
    expect(amount).toEqual({ massG: 15, bloom: 160 });
    const card = unwrap(settingCard(amount, [silver, powder]));
    expect(card.text).toBe(
      'use 6 sheets of silver (160 Bloom, 2.5 g each) or 13.4 g powder (200 Bloom)',
    );
    expect(card.options[0]?.sheets).toEqual({ exact: 6, rounded: 6, firmnessRatio: 1 });
  });

  it('without forms the card still says what to weigh', () => {
    expect(unwrap(settingCard({ massG: 12, bloom: 180 }, [])).text).toBe(
      'use 12 g gelatine of 180 Bloom',
    );
  });

  it('sheets round to halves, never to none, and the firmness that gives is stated', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 500, noNaN: true }),
        bloom,
        bloom,
        fc.double({ min: 1, max: 5, noNaN: true }),
        (massG, from, to, sheetMassG) => {
          const form: GelatineForm = { kind: 'sheet', grade: 'test', bloom: to, sheetMassG };
          const { sheets } = unwrap(convertGelatine({ massG, bloom: from }, form));
          if (sheets === undefined) throw new Error('A sheet form gives sheets');
          expect(sheets.rounded * 2).toBe(Math.round(sheets.rounded * 2));
          expect(sheets.rounded).toBeGreaterThanOrEqual(0.5);
          if (sheets.exact >= 0.5) {
            expect(Math.abs(sheets.rounded - sheets.exact)).toBeLessThanOrEqual(0.25);
          }
          /* Firmness goes as (c·√B)²: from the rounded sheets, against what was asked. */
          const used = sheets.rounded * sheetMassG * Math.sqrt(to);
          const asked = massG * Math.sqrt(from);
          expect(sheets.firmnessRatio / (used / asked) ** 2).toBeCloseTo(1, 9);
        },
      ),
    );
  });

  it('half a sheet reads ½ sheet, one and a half 1½ sheets', () => {
    const of = (massG: number) => unwrap(convertGelatine({ massG, bloom: 160 }, silver)).text;
    expect(of(1.25)).toMatch(/^½ sheet of silver/);
    expect(of(2.5)).toMatch(/^1 sheet of silver/);
    expect(of(3.75)).toMatch(/^1½ sheets of silver/);
  });

  it('refuses a sheet with no mass', () => {
    for (const sheetMassG of [0, -2.5, NaN, 60]) {
      expect(kindOf(gelatineAmount(3, { ...silver, sheetMassG }))).toBe('out-of-range');
      expect(kindOf(convertGelatine({ massG: 5, bloom: 160 }, { ...silver, sheetMassG }))).toBe(
        'out-of-range',
      );
    }
  });

  it('goes from every listed grade to every other and back', () => {
    const formOf = ({ grade, bloomMin, bloomMax, sheetMassG }: SheetGrade): GelatineForm => ({
      kind: 'sheet',
      grade,
      bloom: (bloomMin + bloomMax) / 2,
      sheetMassG,
    });
    for (const from of SHEET_GRADES) {
      for (const to of SHEET_GRADES) {
        const amount = unwrap(gelatineAmount(10, formOf(from)));
        const there = unwrap(convertGelatine(amount, formOf(to)));
        const back = { massG: there.massG, bloom: there.form.bloom };
        expect(unwrap(convertGelatine(back, formOf(from))).sheets?.exact).toBeCloseTo(10, 9);
      }
    }
  });

  it('sheet for sheet is only roughly right: 2.0 g of 205 Bloom is 2.26 g of 160, not 2.5 g', () => {
    const { massG, sheets } = unwrap(convertGelatine({ massG: 2, bloom: 205 }, silver));
    expect(massG).toBeCloseTo(2.264, 3);
    expect(sheets?.exact).toBeCloseTo(0.9055, 4);
  });

  it('three professional sheets do the work of six small retail ones (common practice, no source)', () => {
    expect(unwrap(exchangeSheets(3, 'professional', 'retail'))).toBe(6);
    expect(unwrap(exchangeSheets(6, 'retail', 'professional'))).toBe(3);
    expect(kindOf(exchangeSheets(-1, 'retail', 'professional'))).toBe('out-of-range');
  });
});

describe('cautions', () => {
  it('come for acid, alcohol, raw enzyme fruit and boiling, each with its source', () => {
    const cautions = settingCautions({
      ph: 3.2,
      alcoholPercent: 25,
      rawFruit: ['Golden kiwifruit', 'raspberries', 'Pineapples, diced'],
      boiled: true,
    });
    expect(cautions.map((one) => one.id)).toEqual([
      'acid',
      'alcohol',
      'enzyme',
      'enzyme',
      'boiling',
    ]);
    for (const caution of cautions) expect(caution.source).not.toBe('');
  });

  it('stay away where nothing calls for them', () => {
    expect(settingCautions({})).toEqual([]);
    expect(
      settingCautions({ ph: 6.5, alcoholPercent: 3, rawFruit: ['plum'], boiled: false }),
    ).toEqual([]);
  });

  it('do not take a name for a fruit that only looks like it', () => {
    expect(findEnzymeFruit('Mangoes, ripe')?.name).toBe('mango');
    expect(findEnzymeFruit('Fresh figs')?.name).toBe('fig');
    expect(findEnzymeFruit('Configured sugar')).toBeUndefined();
    expect(findEnzymeFruit('Mangosteen')).toBeUndefined();
    expect(findEnzymeFruit('Gingerbread spice')).toBeUndefined();
  });
});
