import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { toXlsx } from '../../../api/core/exports/index.ts';
import {
  readTable,
  readWorkbook,
  Refusal,
  WorkbookFile,
} from '../../../api/modules/platform/index.ts';
import {
  letters,
  workbook,
  workbookOf,
  workbookOfSheets,
  sheetXml,
  workbookParts,
  zipped,
  type Cell,
} from '../../helpers/make-workbook.ts';

const options = { mostRows: 1000, headerCells: 1, mark: '.' } as const;
const read = (bytes: Uint8Array, more: object = {}) =>
  readWorkbook(new WorkbookFile(Buffer.from(bytes)), { ...options, ...more });
const HEAD: readonly Cell[] = ['a', 'b', 'c', 'd'];
const cellsOf = async (...cells: Cell[]) => (await read(workbook([HEAD, cells]))).rows[0]?.cells;
const faultOf = async (xml: string, more = {}) =>
  (await read(workbook([HEAD, ['x', { xml }]], more))).rows[0]?.faults[0];
const MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"';
const styles = (code: string) => ({
  'xl/styles.xml': `<styleSheet ${MAIN}><numFmts><numFmt numFmtId="164" formatCode="${code}"/></numFmts><cellStyleXfs><xf numFmtId="14"/></cellStyleXfs><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="164"/></cellXfs></styleSheet>`,
});

describe('the cells of a workbook', () => {
  it('are text as they stand, shared, inline, in runs or by a formula', async () => {
    const shared = `<sst ${MAIN}><si><t>Plain</t></si><si><r><t>Two </t></r><r><t>runs</t></r><rPh><t>spoken</t></rPh></si><si><t>tab_x0009_and _x005F_x0041_</t></si></sst>`;
    const { rows } = await read(
      workbook(
        [
          HEAD,
          [0, 1, 2].map((n) => ({ xml: `<c t="s"><v>${n}</v></c>` })),
          [{ xml: '<c t="str"><f>A1&amp;B1</f><v>joined</v></c>' }, '=1+1', ' in  line ', '<&>'],
        ],
        { 'xl/sharedStrings.xml': shared },
      ),
    );
    expect(rows.map(({ cells }) => cells)).toEqual([
      ['Plain', 'Two runs', 'tab\tand _x0041_'],
      ['joined', '=1+1', ' in  line ', '<&>'],
    ]);
  });

  it('are numbers with the digits a spreadsheet shows, by the mark of the file', async () => {
    const raw = (text: string): Cell => ({ xml: `<c><v>${text}</v></c>` });
    expect(
      await cellsOf(raw('17.899999999999999'), raw('0.30000000000000004'), raw('-0'), 1e21),
    ).toEqual([...['17.9', '0.3', '0', '1e+21']]);
    expect(await cellsOf(raw('1E+308'), raw('1.5E-7'), raw('8001234567895'), raw('12.40'))).toEqual(
      [...['1e+308', '0.00000015', '8001234567895', '12.4']],
    );
    const comma = await read(workbook([HEAD, [raw('1234.5')]]), { mark: ',' });
    expect(comma.rows[0]?.cells).toEqual(['1234,5']);
  });

  it('are dates where a format shows them, article numbers with their zeros, and yes or no', async () => {
    const made = await read(
      workbook(
        [
          HEAD,
          [
            { xml: '<c s="1"><v>38749</v></c>' },
            { xml: '<c s="2"><v>417</v></c>' },
            { xml: '<c t="b"><v>1</v></c>' },
            { xml: '<c t="d"><v>2026-03-01T00:00:00Z</v></c>' },
          ],
        ],
        styles('00000'),
      ),
    );
    // 38749: ECMA-376, see tests/reference/spreadsheet-dates.test.ts.
    expect(made.rows[0]?.cells).toEqual(['2006-02-01', '00417', 'TRUE', '2026-03-01']);
  });

  it('are faults of their row where there is no value to be had, each by its place', async () => {
    for (const [xml, words] of [
      ['<c t="e"><v>#REF!</v></c>', 'The cell B2 holds an error'],
      ['<c><f>A1*2</f></c>', 'The cell B2 is a formula without its result'],
      ['<c><v>NaN</v></c>', 'no number'],
      ['<c><v>INF</v></c>', 'no number'],
      ['<c><v>1e999</v></c>', 'no number'],
      ['<c><v>1,5</v></c>', 'no number'],
      ['<c><v>0x10</v></c>', 'no number'],
      [`<c t="inlineStr"><is><t>${'x'.repeat(32_768)}</t></is></c>`, 'more than 32767 characters'],
      [`<c t="str"><v>${'x'.repeat(32_768)}</v></c>`, 'more than 32767 characters'],
      ['<c t="inlineStr"><is><t>_x0000_</t></is></c>', 'cannot be kept'],
      ['<c t="inlineStr"><is><t>_xD800_</t></is></c>', 'cannot be kept'],
    ] as const) {
      const fault = await faultOf(xml);
      expect(fault?.column, xml.slice(0, 60)).toBe(1);
      expect(fault?.message).toContain(words);
    }
    expect(await cellsOf('x', 'y'.repeat(32_767))).toHaveLength(2);
  });

  it('stand where their references say, or one after the other where they have none', async () => {
    const bare = '<row><c><v>1</v></c><c t="inlineStr"><is><t>b</t></is></c></row>';
    const far = `<row r="9"><c r="B9"><v>2</v></c><c r="XFD9" s="1"/></row>`;
    const { header, rows } = await read(workbookOf(sheetXml(bare + far)));
    expect(header).toMatchObject({ row: 1, cells: ['1', 'b'] });
    expect(rows).toEqual([{ row: 9, cells: ['', '2'], faults: [] }]);
  });

  it('come back as they were written, whatever the texts and numbers', async () => {
    const text = fc
      .string({ unit: 'grapheme', maxLength: 40 })
      .filter((t) => !/[^\P{C}\n\t]/u.test(t) && t.trim() !== '');
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(text, fc.integer()), { minLength: 1, maxLength: 8 }),
        async (rows) => {
          const bytes = toXlsx([
            {
              name: 'List',
              columns: [{ header: 'name' }, { header: 'n', kind: 'number' }],
              rows: rows.map(([name, n]) => [name, { decimal: String(n) }]),
            },
          ]);
          const back = await read(bytes);
          expect(back.rows.map(({ cells }) => cells)).toEqual(
            rows.map(([name, n]) => [name, String(n)]),
          );
        },
      ),
      { numRuns: 100 },
    );
  });
});

describe('the table of a workbook', () => {
  it('begins at the first row with enough filled cells and keeps the numbers of the sheet', async () => {
    const { header, rows } = await read(
      workbook([
        ['Spring list'],
        null,
        ['valid', 'May'],
        ['Art', 'Holds\n one', 'Net'],
        null,
        ['1', '2', '3'],
      ]),
      { headerCells: 3 },
    );
    expect(header).toMatchObject({ row: 4, cells: ['Art', 'Holds one', 'Net'] });
    expect(rows.map(({ row }) => row)).toEqual([6]);
  });

  const sheet = (name: string, first: Cell = name, state?: 'hidden' | 'veryHidden') => ({
    ...{ name, rows: [[first]] },
    ...(state ? { state } : {}),
  });
  const readFrom = (bytes: Buffer, name: string | null, more: object = {}) =>
    readWorkbook(new WorkbookFile(bytes).onSheet(name), { ...options, ...more });
  const refusalOf = async (bytes: Buffer, name: string | null, more: object = {}) => {
    const refusal: unknown = await readFrom(bytes, name, more).catch((error: unknown) => error);
    if (!(refusal instanceof Refusal)) throw new Error('It was not refused.');
    return refusal;
  };

  it('is the first sheet that can be seen, or the one that is asked for; all are named', async () => {
    const book = workbookOfSheets([
      sheet('Notes', 'hidden', 'hidden'),
      sheet('Codes', 'hidden', 'veryHidden'),
      sheet('Terms & "more"'),
      sheet('Prices'),
      sheet('PRICES', 'in capitals'),
    ]);
    const sheets = ['Terms & "more"', 'Prices', 'PRICES'];
    for (const [asked, name, first] of [
      [null, 'Terms & "more"', 'Terms & "more"'],
      ['Prices', 'Prices', 'Prices'],
      ['PRICES', 'PRICES', 'in capitals'],
      ['terms & "MORE"', 'Terms & "more"', 'Terms & "more"'],
    ] as const) {
      const made = await readFrom(book, asked);
      expect(made).toMatchObject({ sheet: name, sheets, header: { cells: [first] } });
    }
    // Alike but for capitals, and neither is written so: which is meant is not guessed.
    expect((await refusalOf(book, 'prices')).message).toContain('more than one sheet "prices"');
  });

  it('is refused by a name that no sheet has that can be seen, with the names there are', async () => {
    const book = workbookOfSheets([sheet('Prices'), sheet('Notes', 'x', 'hidden'), sheet('Terms')]);
    for (const asked of ['Notes', 'Price', '']) {
      const refusal = await refusalOf(book, asked);
      const message = `The workbook has no sheet "${asked}"; it has "Prices", "Terms".`;
      expect(refusal).toMatchObject({
        kind: 'missing-data',
        message,
        issues: [{ pointer: '/querystring/sheet', message }],
        detail: { sheets: ['Prices', 'Terms'] },
      });
    }
  });

  it('names the other sheets where the one that is read has nothing or is not right', async () => {
    const book = workbookOfSheets([
      sheet('Cover', 'Spring list'),
      { name: 'Prices', rows: [['Art', 'Holds', 'Net']] },
      { name: 'Broken', rows: [['Art', { xml: '<c t="e"><v>#REF!</v></c>' }, 'Net']] },
    ]);
    const detail = { sheets: ['Cover', 'Prices', 'Broken'] };
    const three = { headerCells: 3 };
    expect(await refusalOf(book, null, three)).toMatchObject({
      message: 'The sheet has no rows that can be read.',
      detail: { ...detail, sheet: 'Cover' },
    });
    expect(await refusalOf(book, 'Broken', three)).toMatchObject({
      message: 'The cell B1 holds an error, not a value.',
      detail: { ...detail, sheet: 'Broken' },
    });
    expect((await readFrom(book, 'Prices', three)).header.cells).toEqual(['Art', 'Holds', 'Net']);
  });

  it('has a name on one line, of at most 100 characters, and a number where it has none', async () => {
    const long = '🍋'.repeat(5_000);
    const book = workbookOfSheets([
      sheet('', 'x'),
      sheet('  two_x000A_lines_x0000__xD800_and  more ', 'x'),
      sheet(long, 'x'),
    ]);
    const cut = '🍋'.repeat(100);
    const sheets = ['#1', 'two lines and more', cut];
    for (const [i, name] of sheets.entries()) {
      expect(await readFrom(book, name)).toMatchObject({ sheet: sheets[i], sheets });
    }
    expect(await readFrom(book, long)).toMatchObject({ sheet: cut });
    const many = workbookOfSheets(Array.from({ length: 30 }, (_, i) => sheet(`${i} ${long}`, 'x')));
    const { message, detail } = await refusalOf(many, long);
    expect(message.length).toBeLessThan(2_500);
    expect(message).toMatch(/ \(\+20\)\.$/);
    expect(detail.sheets).toHaveLength(30);
  });

  it('has the columns, problems and rows that comma-separated values would have', async () => {
    const columns = { required: ['name', 'base_unit'], optional: ['note'] };
    const rows = [
      ['Name', 'Base unit', 'note'],
      ['Flour', 'g', ''],
      ['', 'g', 'x'.repeat(2_001)],
      ['Milk', 'ml', ' kept '],
      ['Egg', 'each', '', 'more'],
    ];
    const csv = rows.map((cells) => cells.join(',')).join('\n');
    const ofCsv = await readTable(csv, columns);
    const ofWorkbook = await readTable(new WorkbookFile(workbook(rows)), columns);
    expect(ofCsv.problems.map(({ row }) => row)).toEqual([3, 5]);
    const from = { sheet: 'List', sheets: ['List'] };
    expect(ofWorkbook).toEqual({ ...ofCsv, ...from });
    for (const head of [['name'], ['name', 'base_unit', 'colour'], ['name', 'name', 'base_unit']]) {
      const asCsv = await readTable(`${head.join(',')}\n${head.map(() => 'x').join(',')}`, columns);
      expect(asCsv.problems).toHaveLength(1);
      expect(
        await readTable(new WorkbookFile(workbook([head, head.map(() => 'x')])), columns),
      ).toEqual({ ...asCsv, ...from });
    }
  });

  it('names the column of a cell without a value, and takes the other rows', async () => {
    const rows = [
      ['name', 'base_unit'],
      ['Flour', { xml: '<c t="e"><v>#N/A</v></c>' }],
      ['Milk', 'ml'],
    ];
    const table = await readTable(new WorkbookFile(workbook(rows)), {
      required: ['name', 'base_unit'],
      optional: [],
    });
    expect(table.problems).toEqual([
      { row: 2, column: 'base_unit', message: 'The cell B2 holds an error, not a value.' },
    ]);
    expect(table.records.map(({ row }) => row)).toEqual([3]);
  });

  it('has at most as many rows and columns as are read', async () => {
    const many = (count: number) => workbook([['a'], ...Array.from({ length: count }, () => [1])]);
    expect((await read(many(5), { mostRows: 5 })).rows).toHaveLength(5);
    await expect(read(many(6), { mostRows: 5 })).rejects.toThrow('more than 5 rows');
    const wide = (count: number) => workbook([Array.from({ length: count }, (_, c) => letters(c))]);
    expect((await read(wide(256))).header.cells.at(-1)).toBe('IV');
    await expect(read(wide(257))).rejects.toThrow('The cell IW1 lies beyond IV');
  });

  it('is found in an archive that parts its names by backslashes', async () => {
    const parts = Object.entries(workbookParts(sheetXml('<row><c><v>1</v></c></row>')));
    const named = parts.map(([name, part]) => [name.replaceAll('/', '\\'), part] as const);
    expect((await read(zipped(Object.fromEntries(named)))).header.cells).toEqual(['1']);
  });

  it('is read one workbook after the other, a bad one holding no other up', async () => {
    const bad = read(Buffer.from('PK nothing'));
    const good = read(workbook([HEAD]));
    await expect(bad).rejects.toBeInstanceOf(Refusal);
    expect((await good).header.cells).toEqual(['a', 'b', 'c', 'd']);
  });
});
