import { describe, expect, it } from 'vitest';
import { serialText } from '../../api/modules/platform/workbook/serial-dates.ts';
import { formatOfCode } from '../../api/modules/platform/workbook/number-formats.ts';
import { readWorkbook, WorkbookFile } from '../../api/modules/platform/workbook/index.ts';
import { calcFile } from '../helpers/make-workbook.ts';

// Source: ECMA-376 1st edition, Part 4, section 3.17.4.1 'Date Representation' (December 2006).
const OF_1900: readonly (readonly [serial: number, date: string])[] = [
  [1, '1900-01-01'],
  [59, '1900-02-28'],
  [61, '1900-03-01'],
  [3687, '1910-02-03'],
  [38_749, '2006-02-01'],
  [2_958_465, '9999-12-31'],
];
const OF_1904: readonly (readonly [serial: number, date: string])[] = [
  [0, '1904-01-01'],
  [2225, '1910-02-03'],
  [37_287, '2006-02-01'],
  [2_957_003, '9999-12-31'],
];

describe('the dates of SpreadsheetML', () => {
  it('are those of the standard in both systems', () => {
    for (const [serial, date] of OF_1900) expect(serialText(serial, 1900, 'date')).toBe(date);
    for (const [serial, date] of OF_1904) expect(serialText(serial, 1904, 'date')).toBe(date);
  });

  it('keep day 60 of the 1900 system as the 29th of February that no calendar has', () => {
    expect(serialText(60, 1900, 'date')).toBe('1900-02-29');
    expect(serialText(60, 1904, 'date')).toBe('1904-03-01');
  });

  it('are none before the first and after the last day of a system', () => {
    for (const serial of [-1, -0.5, 2_958_466, 1e308, Number.NaN]) {
      expect(serialText(serial, 1900, 'date')).toBeNull();
    }
    expect(serialText(2_957_004, 1904, 'date')).toBeNull();
    // Rounded to the second this is the first of January 10000.
    expect(serialText(2_958_465.999_999_9, 1900, 'date and time')).toBeNull();
  });

  it('have times as parts of a day, a midnight being the day alone', () => {
    expect(serialText(38_749.25, 1900, 'date and time')).toBe('2006-02-01T06:00:00');
    expect(serialText(38_749, 1900, 'date and time')).toBe('2006-02-01');
    expect(serialText(38_749.25, 1900, 'date')).toBe('2006-02-01');
    expect(serialText(0.562_5, 1900, 'time')).toBe('13:30:00');
    expect(serialText(1.5, 1900, 'time')).toBeNull();
    expect(serialText(38_748.999_999, 1900, 'date and time')).toBe('2006-02-01');
  });

  it('are known by their format; quoted text, colours and languages are no letters of one', () => {
    const shown = (code: string) => {
      const format = formatOfCode(code);
      return format.kind === 'moment' ? format.shown : format.kind;
    };
    // Built of the rules of ECMA-376 Part 1, 18.8.31; the codes are invented.
    for (const [code, expected] of [
      ['yyyy\\-mm\\-dd', 'date'],
      ['[$-410]d mmmm yyyy;@', 'date'],
      ['mmm', 'date'],
      ['dd/mm/yyyy hh:mm', 'date and time'],
      ['mm:ss', 'time'],
      ['[h]:mm', 'time'],
      ['mm:ss.00', 'time'],
      ['0.00 stk/d', 'plain'],
      ['#,##0.00\\ [$CHF-807]', 'plain'],
      ['General', 'plain'],
      ['#,##0.00 "days"', 'plain'],
      ['[Red]0.00', 'plain'],
      ['0.00E+00', 'plain'],
      ['_-* #,##0.00 \\d_-', 'plain'],
      ['0;yyyy', 'plain'],
      ['000000', 'digits'],
      [`${'['.repeat(5_000)}yyyy`, 'plain'],
    ] as const) {
      expect(shown(code), code).toBe(expected);
    }
  });
});

describe('a workbook that LibreOffice made', () => {
  const options = { mostRows: 100, headerCells: 3, mark: '.' } as const;

  it('is read as Calc shows it: rows by number, the title passed over, results of formulas', async () => {
    const read = await readWorkbook(new WorkbookFile(calcFile('calc-1900.xlsx')), options);
    expect(read).toMatchObject({ sheet: 'Spring list', sheets: ['Spring list', 'Terms'] });
    expect(read.header).toMatchObject({
      row: 3,
      cells: [
        'Art. no.',
        'Article',
        'Content',
        'Net price',
        'From',
        'Cut off',
        'Organic',
        'Changed',
      ],
    });
    expect(read.rows).toEqual([
      {
        row: 4,
        faults: [],
        cells: [
          ...['000417', 'Crème fraîche & “café” 30 %', '6 x 1 kg', '1234.5', '2026-03-15'],
          ...['13:30:00', '1', '2026-03-14T05:30:00'],
        ],
      },
      {
        row: 6,
        faults: [{ column: 7, message: 'The cell H6 holds an error, not a value.' }],
        // The 1st of March 1900 is day 61 to Calc as well.
        cells: ['LD-200', 'Butter', '2.5 kg', '17.9', '1900-03-01', '', '0', ''],
      },
    ]);
  });

  it('has the same dates where its days are counted from 1904', async () => {
    const [first, second] = (
      await readWorkbook(new WorkbookFile(calcFile('calc-1904.xlsx')), options)
    ).rows;
    expect(first?.cells.slice(4)).toEqual(['2026-03-15', '13:30:00', '1', '2026-03-14T05:30:00']);
    // The 1st of March 1900 is before the first day, and no date.
    expect(second?.cells[4]).toBe('-1401');
  });
});
