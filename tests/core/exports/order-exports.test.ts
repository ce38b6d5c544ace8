import { read, utils } from '@e965/xlsx';
import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  checkOrderDocument,
  orderSheet,
  orderTotals,
  ordersToCsv,
  ordersToXlsx,
  orderToUbl,
  asBeforeCsv,
  toCsv,
  toXlsx,
} from '../../../api/core/exports/index.ts';
import type { OrderDocument, OrderDocumentLine } from '../../../api/core/exports/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import { fullOrder } from '../../fixtures/exports/order-documents.ts';

describe('order document', () => {
  it('adds up exactly', () => {
    expect(orderTotals(fullOrder())).toEqual({
      lineTotals: ['80.025', '6.4', '7'],
      goodsTotal: '93.425',
      total: '99.925',
    });
  });

  it('is refused with the place of what is wrong, in every format alike', () => {
    const withLine = (changes: Partial<OrderDocumentLine>): Partial<OrderDocument> => ({
      lines: fullOrder().lines.map((line, i) => (i === 1 ? { ...line, ...changes } : line)),
    });
    const bad: [Partial<OrderDocument>, string, (string | number)[]][] = [
      [{ number: ' ' }, 'missing-data', ['number']],
      [{ issueDate: '2026-02-30' }, 'invalid-date', ['issueDate']],
      [{ currency: 'EURO' }, 'invalid-code', ['currency']],
      [{ supplier: { name: '' } }, 'missing-data', ['supplier', 'name']],
      [{ buyer: { name: 'x', gln: '6291041500214' } }, 'invalid-code', ['buyer', 'gln']],
      [{ lines: [] }, 'missing-data', ['lines']],
      [{ deliveryCharge: '-1' }, 'unreadable-amount', ['deliveryCharge']],
      [withLine({ packs: 0 }), 'out-of-range', ['lines', 1, 'packs']],
      [withLine({ packs: 1.5 }), 'out-of-range', ['lines', 1, 'packs']],
      [withLine({ lineNumber: 1 }), 'out-of-range', ['lines', 1, 'lineNumber']],
      [withLine({ packBase: 0 }), 'out-of-range', ['lines', 1, 'packBase']],
      [withLine({ pricePerPack: '1,20' }), 'unreadable-amount', ['lines', 1, 'pricePerPack']],
      [withLine({ gtin: '6291041500214' }), 'invalid-code', ['lines', 1, 'gtin']],
      [withLine({ ingredientName: '' }), 'missing-data', ['lines', 1, 'ingredientName']],
      [withLine({ certainFraction: NaN }), 'out-of-range', ['lines', 1, 'certainFraction']],
    ];
    for (const [changes, kind, path] of bad) {
      const order = fullOrder(changes);
      const refusal = { ok: false, error: { kind, path } };
      expect(checkOrderDocument(order)).toMatchObject(refusal);
      expect(orderToUbl(order)).toMatchObject(refusal);
      expect(orderSheet(order)).toMatchObject(refusal);
      const inList = { ok: false, error: { kind, path: ['orders', 1, ...path] } };
      expect(ordersToCsv([fullOrder(), order])).toMatchObject(inList);
      expect(ordersToXlsx([fullOrder(), order])).toMatchObject(inList);
    }
  });
});

describe('CSV', () => {
  it('gives one record a line of the order, and nothing a spreadsheet would run', () => {
    const text = unwrap(ordersToCsv([fullOrder()]));
    expect(text.split('\r\n')).toHaveLength(5);
    const records: Record<string, string>[] = parse(text, { columns: true });
    expect(records[0]).toMatchObject({
      Order: 'DB-000017',
      Delivery: '2026-03-24',
      Ingredient: 'Butter, unsalted',
      GTIN: '6291041500213',
      Packs: '5',
      'Pack content': '2.5',
      'Content unit': 'kg',
      'Price per pack': '16.005',
      'Line total': '80.02',
      'Booked share': '0.4',
    });
    expect(records[1]).toMatchObject({
      Ingredient: '\'=HYPERLINK("http://evil.example")',
      Pack: "'-12 °C cream",
      Note: '\'@chef: one\u0007 by "noon"',
    });
    expect(records[2]).toMatchObject({ 'Pack content': '30', 'Content unit': 'pc', Note: '' });
  });

  it('encodes as RFC 4180 asks and leaves negative numbers alone', () => {
    const text = toCsv(['a', 'b'], [['He said "hi", ok', -3.5]]);
    expect(text).toBe('a,b\r\n"He said ""hi"", ok",-3.5\r\n');
    expect(toCsv(['a'], [['two\nlines']])).toBe('a\r\n"two\nlines"\r\n');
    expect(() => toCsv(['a', 'b'], [['one']])).toThrow(RangeError);
  });

  it('comes back as it went, but for an apostrophe before what looks like a formula', () => {
    const cell = fc.oneof(
      fc.string(),
      fc.string({ unit: 'grapheme' }),
      fc.constantFrom('=1+1', ' +x', '\t=', '\n@', "'=1", "''-x", "'a", "'"),
    );
    fc.assert(
      fc.property(fc.array(fc.tuple(cell, cell), { minLength: 1, maxLength: 6 }), (rows) => {
        const back: string[][] = parse(toCsv(['x', 'y'], rows), { record_delimiter: '\r\n' });
        for (const [i, row] of rows.entries()) {
          for (const [j, sent] of row.entries()) {
            const got = back[i + 1]?.[j] ?? '';
            expect(got === sent || got === `'${sent}`).toBe(true);
            expect(asBeforeCsv(got)).toBe(sent);
            expect(got).not.toMatch(/^\s*[=+@-]/);
            expect(got).not.toMatch(/^[\t\r\uff1d\uff0b\uff0d\uff20]/);
          }
        }
      }),
      { seed: 4 },
    );
  });
});

describe('workbook', () => {
  const open = (bytes: Uint8Array) => read(bytes, { type: 'array', cellDates: true, UTC: true });

  it('is read by a spreadsheet library of another maker: texts, numbers and dates as such', () => {
    const book = open(unwrap(ordersToXlsx([fullOrder()])));
    expect(book.SheetNames).toEqual(['Order lines', 'Totals']);
    const lines = book.Sheets['Order lines'];
    expect(lines?.['A1']).toMatchObject({ t: 's', v: 'Order' });
    expect(lines?.['B2']?.v).toEqual(new Date('2026-03-23T00:00:00Z'));
    expect(lines?.['K2']).toMatchObject({ t: 'n', v: 5 });
    expect(lines?.['N2']).toMatchObject({ t: 'n', v: 16.005 });
    // A formula would have an `f`; this is text as it was typed.
    expect(lines?.['G3']).toMatchObject({ t: 's', v: '=HYPERLINK("http://evil.example")' });
    expect(lines?.['G3']?.f).toBeUndefined();
    const totals: unknown[][] = utils.sheet_to_json(book.Sheets['Totals'] ?? {}, { header: 1 });
    expect(totals[1]?.slice(4)).toEqual([93.42, 6.5, 99.92, 'EUR']);
  });

  it('gives equal bytes for equal orders', () => {
    const once = unwrap(ordersToXlsx([fullOrder()]));
    expect(unwrap(ordersToXlsx([fullOrder()]))).toEqual(once);
    expect(unwrap(ordersToXlsx([fullOrder({ number: 'X' })]))).not.toEqual(once);
  });

  it('brings any text back, but for characters XML cannot hold', () => {
    const text = fc.oneof(
      fc.string({ unit: 'grapheme' }),
      fc.constantFrom('_x0041_', ' a ', '&<>"', 'a\nb'),
    );
    fc.assert(
      fc.property(fc.array(text, { minLength: 1, maxLength: 5 }), (texts) => {
        const bytes = toXlsx([
          { name: 'T', columns: [{ header: 'x' }], rows: texts.map((t) => [t]) },
        ]);
        const sheet = open(bytes).Sheets['T'];
        for (const [i, sent] of texts.entries()) {
          expect(sheet?.[`A${i + 2}`]?.v ?? '').toBe(sent);
        }
      }),
      { seed: 9, numRuns: 50 },
    );
  });

  it('names columns past Z and sheets as spreadsheets allow', () => {
    const columns = Array.from({ length: 703 }, (_, i) => ({ header: `c${i}` }));
    const bytes = toXlsx([
      { name: "'a/b:c*d?e[f]'", columns, rows: [] },
      { name: 'a b c d e f', columns: [], rows: [] },
      { name: '', columns: [], rows: [] },
    ]);
    const book = open(bytes);
    expect(book.SheetNames).toEqual(['a b c d e f', 'a b c d e f 2', 'Sheet 3']);
    expect(book.Sheets['a b c d e f']?.['AAA1']?.v).toBe('c702');
    expect(() => toXlsx([])).toThrow(RangeError);
    const bad = [{ name: 'x', columns: [{ header: 'n' }], rows: [[{ decimal: '1e5' }]] }];
    expect(() => toXlsx(bad)).toThrow(RangeError);
  });
});

/** Money is written with spaces that do not break. */
const plainSpaces = (text = ''): string => text.replace(/\s/g, ' ');

describe('order sheet', () => {
  it('lays out parties, lines and totals for paper', () => {
    const sheet = unwrap(orderSheet(fullOrder()));
    expect(sheet.title).toBe('Order DB-000017');
    expect(sheet.rows[0]).toEqual([
      '1',
      'BUT-01',
      'Butter, unsalted',
      '82 %, 10 × 250 g',
      '5',
      '12.5 kg',
      '€16.005',
      '€80.02',
      '',
    ]);
    expect(sheet.head.map(({ lines }) => lines).slice(3)).toEqual([
      [expect.stringMatching(/^Tuesday,? 24 March 2026$/)],
      [expect.stringMatching(/^Monday,? 23 March 2026$/)],
    ]);
    expect(sheet.rows.every((row) => row.length === sheet.columns.length)).toBe(true);
    expect(sheet.totals).toEqual([
      { label: 'Goods', amount: '€93.42' },
      { label: 'Delivery', amount: '€6.50' },
      { label: 'Total net of tax', amount: '€99.92' },
    ]);
    expect(unwrap(orderSheet(fullOrder({ deliveryCharge: '0' }))).totals).toHaveLength(2);
  });

  it('writes a round price with the decimals of its currency', () => {
    const priced = (currency: string) =>
      unwrap(
        orderSheet(
          fullOrder({
            currency,
            lines: fullOrder().lines.map((line) => ({ ...line, pricePerPack: '9' })),
          }),
        ),
      ).rows[0]?.[6];
    expect([priced('EUR'), priced('JPY'), priced('KWD')].map(plainSpaces)).toEqual([
      '€9.00',
      'JP¥9',
      'KWD 9.000',
    ]);
  });

  it('is written in the language of the supplier, dates, money and amounts with it', () => {
    const sheet = unwrap(
      orderSheet(fullOrder({ language: 'it', copy: true, deliveryCharge: '1234.5' })),
    );
    expect(sheet).toMatchObject({ language: 'it', title: 'Ordine n. DB-000017 (copia)' });
    expect(sheet.head.map(({ label }) => label)).toEqual([
      'Fornitore',
      'Committente',
      'Consegnare a',
      'Consegna',
      'Data dell’ordine',
    ]);
    expect(sheet.head.map(({ lines }) => lines.at(-1)).slice(3)).toEqual([
      'martedì 24 marzo 2026',
      'lunedì 23 marzo 2026',
    ]);
    expect(sheet.head[1]?.lines).toContain('Codice cliente C-4711');
    expect(sheet.rows[0]?.map(plainSpaces).slice(4)).toEqual([
      '5',
      '12,5 kg',
      '16,005 €',
      '80,02 €',
      '',
    ]);
    expect(sheet.rows[2]?.[5]).toBe('30 pz');
    expect(sheet.totals.map(({ label, amount }) => [label, plainSpaces(amount)])).toEqual([
      ['Merce', '93,42 €'],
      ['Spese di consegna', expect.stringMatching(/^1\.?234,50 €$/)],
      ['Totale IVA esclusa', expect.stringMatching(/^1\.?327,92 €$/)],
    ]);
  });

  it('leaves the files for programs as they are, whatever the supplier reads', () => {
    const [english, italian] = (['en', 'it'] as const).map((language) => {
      const order = fullOrder({ language });
      return [unwrap(orderToUbl(order)), unwrap(ordersToCsv([order]))];
    });
    expect(italian).toEqual(english);
  });

  it('writes large quantities without a sign for thousands, which another reader takes for a comma', () => {
    const quantity = (language: 'en' | 'it') =>
      unwrap(
        orderSheet(
          fullOrder({
            language,
            lines: fullOrder()
              .lines.slice(0, 1)
              .map((line) => ({ ...line, packs: 1, packBase: 12_500_250 })),
          }),
        ),
      ).rows[0]?.[5];
    expect([quantity('en'), quantity('it')]).toEqual(['12500.25 kg', '12500,25 kg']);
  });
});
