import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  addMoney,
  compareMoney,
  currencyCodes,
  minorDigits,
  money,
  multiplyMoney,
  roundMoney,
  subtractMoney,
  sumMoney,
} from '../../../api/core/money/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const eur = (amount: string) => unwrap(money(amount, 'EUR'));
const cents = fc.integer({ min: -1e9, max: 1e9 }).map((n) => (n / 100).toFixed(2));

describe('money', () => {
  it('adds what floats cannot', () => {
    expect(unwrap(addMoney(eur('0.1'), eur('0.2')))).toEqual(eur('0.3'));
    expect(unwrap(sumMoney([eur('9.95'), eur('0.05'), eur('-10')], 'EUR')).amount).toBe('0');
  });

  it('refuses two currencies in one sum, difference or comparison', () => {
    const gbp = unwrap(money('1', 'GBP'));
    for (const f of [addMoney, subtractMoney, compareMoney]) {
      expect(f(eur('1'), gbp)).toMatchObject({ ok: false, error: { kind: 'currency-mismatch' } });
    }
    expect(sumMoney([eur('1'), gbp], 'EUR')).toMatchObject({ ok: false });
  });

  it('refuses text that is no plain amount and codes that are no currency', () => {
    for (const text of ['', '1,20', '1e3', 'NaN', '--2', '.5', '5.', ' 1', '=1', 'Infinity']) {
      expect(money(text, 'EUR')).toMatchObject({ ok: false, error: { kind: 'unreadable-amount' } });
    }
    for (const code of ['eur', 'EURO', 'XXX', '']) {
      expect(money('1', code)).toMatchObject({ ok: false, error: { kind: 'invalid-code' } });
    }
  });

  it('rounds halves to the even digit of the smallest unit', () => {
    expect(roundMoney(eur('2.345')).amount).toBe('2.34');
    expect(roundMoney(eur('2.355')).amount).toBe('2.36');
    expect(roundMoney(eur('-2.345')).amount).toBe('-2.34');
    expect(roundMoney(unwrap(money('10.5', 'JPY'))).amount).toBe('10');
    expect(roundMoney(unwrap(money('11.5', 'JPY'))).amount).toBe('12');
    expect(roundMoney(unwrap(money('1.0005', 'TND'))).amount).toBe('1.000');
  });

  it('multiplies without loss and refuses a factor that is no number', () => {
    expect(multiplyMoney(eur('16.5'), 4).amount).toBe('66');
    expect(multiplyMoney(eur('0.0123456789'), '1000000').amount).toBe('12345.6789');
    expect(() => multiplyMoney(eur('1'), Infinity)).toThrow(RangeError);
  });

  it('keeps sums exact whatever the order', () => {
    fc.assert(
      fc.property(fc.array(cents, { maxLength: 30 }), (amounts) => {
        const forward = unwrap(sumMoney(amounts.map(eur), 'EUR'));
        const backward = unwrap(sumMoney([...amounts].reverse().map(eur), 'EUR'));
        expect(unwrap(compareMoney(forward, backward))).toBe(0);
        const inCents = amounts.reduce((sum, a) => sum + Math.round(Number(a) * 100), 0);
        expect(Math.round(Number(forward.amount) * 100)).toBe(inCents);
      }),
    );
  });

  it('knows the currencies of the runtime (ICU data) and, but for coins out of use, their digits', () => {
    const known = new Set(Intl.supportedValuesOf('currency'));
    const differing = new Set<string>();
    for (const code of currencyCodes()) {
      expect(known, code).toContain(code);
      const format = new Intl.NumberFormat('en', { style: 'currency', currency: code });
      const runtimeDigits = format.resolvedOptions().maximumFractionDigits;
      if (runtimeDigits !== minorDigits(code)) differing.add(`${code} ${runtimeDigits}`);
    }
    // CLDR writes these without coins, as in daily use; ISO 4217 still gives them a minor unit.
    const withoutCoins = 'AFN ALL COP HUF IDR IQD IRR KPW LAK LBP MGA MMK PKR SOS SYP YER';
    const allowed = withoutCoins.split(' ').map((code) => `${code} 0`);
    for (const entry of differing) expect(allowed).toContain(entry);
    expect(currencyCodes().length).toBeGreaterThan(140);
  });
});
