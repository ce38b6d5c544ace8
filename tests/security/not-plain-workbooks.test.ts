import { describe, expect, it } from 'vitest';
import { strToU8 } from 'fflate';
import { calcFile, centralHeaderOf, workbook, XLSX, zipped } from '../helpers/make-workbook.ts';
import { chefOf, LEAD } from '../helpers/test-app.ts';
import { importDesk, MAIN, plain, ROWS, SHEET } from './import-desk.ts';

// Files that only say they are plain workbooks, and cells that are no values of their columns.

const { expectRefused, fingerprint, priceList, routes, send, test } = importDesk();

describe('a file that is no plain workbook', () => {
  const typed = (type: string) =>
    workbook(ROWS, {
      '[Content_Types].xml': `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Override PartName="/xl/workbook.xml" ContentType="${type}"/></Types>`,
      'xl/vbaProject.bin': 'x',
    });

  it('is told apart in words: with a password, with macros, old, binary, another document', async () => {
    // MS-CFB: a compound file begins so; MS-OFFCRYPTO: the encrypted workbook is a stream of that name.
    const locked = Buffer.concat([
      Buffer.from('d0cf11e0a1b11ae1', 'hex'),
      Buffer.alloc(1_016),
      Buffer.from('EncryptedPackage', 'utf16le'),
      Buffer.alloc(480),
    ]);
    await expectRefused(locked, 'protected by a password');
    await expectRefused(calcFile('calc.xls'), 'of the old kind (.xls)');
    const encrypted = plain();
    const at = centralHeaderOf(encrypted, SHEET) + 8;
    encrypted.writeUInt16LE(encrypted.readUInt16LE(at) | 1, at);
    await expectRefused(encrypted, 'protected by a password');
    await expectRefused(
      typed('application/vnd.ms-excel.sheet.macroEnabled.main+xml'),
      'holds macros',
    );
    for (const type of [
      'application/vnd.ms-excel.sheet.binary.macroEnabled.main',
      'application/vnd.ms-excel.template.macroEnabled.main+xml',
    ]) {
      await expectRefused(typed(type), 'holds macros');
    }
    await expectRefused(
      typed('application/vnd.openxmlformats-officedocument.wordprocessingml.document.main+xml'),
      'another kind of document',
    );
    await expectRefused(zipped({ mimetype: strToU8('text/plain') }), 'no workbook (.xlsx)');
  });

  it('is refused as CSV under the type of a workbook, and as a workbook under that of CSV', async () => {
    await expectRefused(Buffer.from('Art,Holds,Net\nM-1,1 kg,2\n'), 'Text is sent as CSV');
    await expectRefused(Buffer.from('x'), 'Text is sent as CSV');
    const before = await fingerprint();
    for (const path of routes()) {
      const asCsv = await send(path, plain(), 'text/csv').expect(400);
      expect(asCsv.body.detail).toContain('is a workbook, not CSV');
      expect((await send(path, Buffer.alloc(0))).status).toBe(400);
      expect((await send(path, plain(), 'application/zip')).status).toBe(415);
    }
    expect((await send('/v1/ingredients/import', Buffer.alloc(4 * 1_048_576 + 1))).status).toBe(
      413,
    );
    expect(await fingerprint()).toBe(before);
  });

  it('is not looked into for anybody who may not import it', async () => {
    const broken = Buffer.from('PK\x03\x04 nothing');
    for (const path of routes()) {
      await test().anonymous.post(path).set('content-type', XLSX).send(broken).expect(401);
      await test()
        .as(chefOf('site_x'))
        .post(path)
        .set('content-type', XLSX)
        .send(broken)
        .expect(403);
    }
  });
});

describe('the cells of a workbook', () => {
  it('that are formulas are taken as their results; texts like formulas as in CSV', async () => {
    const formula = '=HYPERLINK("http://x.example";"a")';
    const rows = [
      ['name', 'base_unit', 'note'],
      ['Spelt', 'g', formula],
    ];
    await send('/v1/ingredients/import', workbook(rows)).expect(200);
    const out = await test().as(LEAD).get('/v1/ingredients/export').expect(200);
    expect(out.text).toContain(`"'=HYPERLINK(`);
    // The way back takes the apostrophe off again, and nothing else.
    const back = await send('/v1/ingredients/import', Buffer.from(out.text), 'text/csv');
    expect(back.body).toMatchObject({ added: 0, replaced: 0, unchanged: 1 });
    const list = workbook([
      ['Art', 'Holds', 'Net'],
      [formula, '1 kg', 2],
    ]);
    const asText = await send(priceList(), list).expect(400);
    expect(asText.body.issues).toEqual([
      { pointer: '/rows/2/Art', message: 'The cell holds a spreadsheet formula, not a text.' },
    ]);
  });

  it('that are no price are refused by their row and column: huge, no number, a date, an error', async () => {
    const styles = {
      'xl/styles.xml': `<styleSheet ${MAIN}><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/></cellXfs></styleSheet>`,
    };
    const cells = [
      '<c><v>1E+308</v></c>',
      '<c><v>NaN</v></c>',
      '<c s="1"><v>46096</v></c>',
      '<c s="1"><v>60</v></c>',
      '<c t="e"><v>#N/A</v></c>',
      '<c><f>1+1</f></c>',
      '<c><v>-3</v></c>',
      '<c t="b"><v>1</v></c>',
    ];
    const rows = cells.map((xml, i) => [`M-${i}`, '1 kg', { xml }] as const);
    const before = await fingerprint();
    const answer = await send(priceList(), workbook([['Art', 'Holds', 'Net'], ...rows], styles));
    expect(answer.status).toBe(400);
    expect(answer.body.issues.map(({ pointer }: { pointer: string }) => pointer)).toEqual(
      cells.map((_, i) => `/rows/${i + 2}/Net`),
    );
    expect(await fingerprint()).toBe(before);
  });
});
