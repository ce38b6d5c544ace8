import { describe, expect, it } from 'vitest';
import { comparePriceList, readPriceList } from '../../../api/core/ordering/index.ts';
import type { PriceListMapping } from '../../../api/core/ordering/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const mapping: PriceListMapping = {
  columns: {
    supplierCode: 'Art.',
    packName: 'Name',
    content: 'Content',
    contentUnit: 'Unit',
    price: 'Price',
    gtin: 'EAN',
    minPacks: 'Min',
    shelfLifeDays: 'Life',
  },
  decimalComma: true,
  currency: 'EUR',
};
const header = ['Art.', ' Name ', 'Content', 'Unit', 'Price', 'EAN', 'Min', 'Life'];
const row = (changes: Partial<Record<string, string>> = {}): string[] => {
  const cells: Record<string, string> = {
    'Art.': 'B1',
    Name: 'Butter',
    Content: '2,5',
    Unit: 'kg',
    Price: '16,40',
    EAN: '6291041500213',
    Min: '',
    Life: '60',
  };
  return header.map((name) => changes[name.trim()] ?? cells[name.trim()] ?? '');
};

describe('price list of a supplier', () => {
  it('is read by the kept mapping, contents in base units', () => {
    const reading = unwrap(
      readPriceList(
        header,
        [
          row(),
          row({ 'Art.': 'B2', Content: '10 x 250 g', Unit: '' }),
          row({ 'Art.': 'M1', Content: '6×1', Unit: 'LTR', EAN: '', Life: '' }),
          row({ 'Art.': 'E1', Content: '2.5', Unit: 'dozen', Min: '2' }),
          header.map(() => ' '),
        ],
        mapping,
      ),
    );
    expect(reading.problems).toEqual([]);
    expect(reading.entries.map((e) => [e.row, e.supplierCode, e.quantityBase, e.baseUnit])).toEqual(
      [
        [2, 'B1', 2500, 'g'],
        [3, 'B2', 2500, 'g'],
        [4, 'M1', 6000, 'ml'],
        [5, 'E1', 30, 'each'],
      ],
    );
    expect(reading.entries[0]).toMatchObject({
      price: '16.40',
      currency: 'EUR',
      gtin: '6291041500213',
      shelfLifeDays: 60,
    });
    expect(reading.entries[3]?.minPacks).toBe(2);
  });

  it('tells every cell it cannot take, with row and column, and takes no such row', () => {
    const bad: [Partial<Record<string, string>>, string, string][] = [
      [{ Content: '0' }, 'out-of-range', 'Content'],
      [{ Content: 'a few' }, 'unreadable-amount', 'Content'],
      [{ Unit: 'cup' }, 'unknown-unit', 'Content'],
      [{ Price: '-3' }, 'out-of-range', 'Price'],
      [{ Price: '0,00' }, 'out-of-range', 'Price'],
      [{ Price: '=1+1' }, 'unreadable-amount', 'Price'],
      [{ Name: '=HYPERLINK("x")' }, 'invalid-code', ' Name '],
      [{ Name: '@sum' }, 'invalid-code', ' Name '],
      [{ 'Art.': '' }, 'missing-data', 'Art.'],
      [{ EAN: '6291041500214' }, 'invalid-code', 'EAN'],
      [{ Min: '1,5' }, 'out-of-range', 'Min'],
      [{ Life: '-2' }, 'out-of-range', 'Life'],
    ];
    const rows = [row({ 'Art.': 'ok' }), ...bad.map(([changes]) => row(changes))];
    const reading = unwrap(readPriceList(header, rows, mapping));
    expect(reading.entries.map((e) => e.supplierCode)).toEqual(['ok']);
    expect(reading.problems.map((p) => [p.row, p.kind, p.column])).toEqual(
      bad.map(([, kind, column], i) => [i + 3, kind, column]),
    );
  });

  it('refuses a code given twice and prices in other money', () => {
    const twice = unwrap(readPriceList(header, [row(), row()], mapping));
    expect(twice.problems).toMatchObject([{ row: 3, kind: 'invalid-code', text: 'B1' }]);
    const columns = { ...mapping.columns, currency: 'Cur' };
    const given = [...header, 'Cur'];
    const foreign = unwrap(
      readPriceList(
        given,
        [
          [...row(), 'CHF'],
          [...row(), 'X'],
        ],
        { ...mapping, columns },
      ),
    );
    expect(foreign.problems.map((p) => p.kind)).toEqual(['currency-mismatch', 'invalid-code']);
  });

  it('tells rows with more or fewer cells than the header', () => {
    const reading = unwrap(readPriceList(header, [row().slice(1), [...row(), 'x']], mapping));
    expect(reading.entries).toEqual([]);
    expect(reading.problems.map((p) => [p.row, p.kind])).toEqual([
      [2, 'missing-data'],
      [3, 'missing-data'],
    ]);
  });

  it('refuses a header without a named or needed column', () => {
    expect(readPriceList(['Art.'], [], mapping)).toMatchObject({
      ok: false,
      error: { kind: 'missing-data' },
    });
    const { price: _price, ...columns } = mapping.columns;
    expect(_price).toBe('Price');
    expect(readPriceList(header, [], { ...mapping, columns })).toMatchObject({
      ok: false,
      error: { kind: 'missing-data', path: ['columns', 'price'] },
    });
  });

  it('reads 200 000 rows whole', () => {
    const rows = Array.from({ length: 200_000 }, (_, i) => row({ 'Art.': `A${i}` }));
    rows[150_000] = row({ 'Art.': 'bad', Price: 'free' });
    const reading = unwrap(readPriceList(header, rows, mapping));
    expect(reading.entries).toHaveLength(199_999);
    expect(reading.problems).toMatchObject([{ row: 150_002, text: 'free' }]);
  });

  it('shows what an import would change', () => {
    const reading = unwrap(
      readPriceList(
        header,
        [row(), row({ 'Art.': 'B2', Content: '2' }), row({ 'Art.': 'N' }), row({ 'Art.': 'S' })],
        mapping,
      ),
    );
    const held = new Map([
      ['B1', { price: '16', quantityBase: 2500 }],
      ['B2', { price: '16.40', quantityBase: 2500 }],
      ['S', { price: '16.4', quantityBase: 2500 }],
      ['OLD', { price: '1', quantityBase: 1 }],
    ]);
    const changes = comparePriceList(reading.entries, held);
    expect(changes.map((c) => [c.supplierCode, c.what, c.before, c.after])).toEqual([
      ['B1', 'price', '16', '16.40'],
      ['B2', 'content', '2500', '2000'],
      ['N', 'new', null, '16.40'],
      ['OLD', 'gone', '1', null],
    ]);
    expect(changes[0]?.changeFraction).toBeCloseTo(0.025, 12);
  });
});
