import { describe, expect, it } from 'vitest';
import { unzipSync } from 'fflate';
import {
  centralHeaderOf,
  rowsXml,
  sheetXml,
  workbook,
  workbookOf,
  workbookParts,
  zipped,
} from '../helpers/make-workbook.ts';
import { importDesk, MAIN, plain, ROWS, SHEET } from './import-desk.ts';

// Workbooks made to do harm. They are made by hand, because no spreadsheet writes such files.

const { expectRefused, fingerprint, imports, priceList, send } = importDesk();

/** A copy of an archive with four bytes of a part's header in the directory changed. */
function patched(archive: Buffer, part: string, offset: number, value: number): Buffer {
  const copy = Buffer.from(archive);
  copy.writeUInt32LE(value, centralHeaderOf(copy, part) + offset);
  return copy;
}
const [COMPRESSED, UNCOMPRESSED, PLACE] = [20, 24, 42];

describe('a workbook that unpacks to more than is given room', () => {
  it('is refused by what comes out of it, whatever its headers say', async () => {
    const spaces = Buffer.alloc(170 * 1_048_576, ' ');
    const told = zipped({ ...workbookParts(''), [SHEET]: [spaces, { level: 1 }] });
    expect(told.length).toBeLessThan(1_000_000);
    await expectRefused(told, 'larger than 160 MB', { status: 413 });
    await expectRefused(patched(told, SHEET, UNCOMPRESSED, 1_000), 'cut off or damaged');
    // A part that is no sheet has less room.
    const texts = zipped({
      ...workbookParts(sheetXml('')),
      'xl/sharedStrings.xml': [spaces.subarray(0, 65 * 1_048_576), { level: 1 }],
    });
    await expectRefused(texts, 'larger than 64 MB', { status: 413 });
  }, 120_000);

  it('is refused at the first row, cell or text too many, before the rest comes out', async () => {
    const row = '<row><c><v>1</v></c><c><v>2</v></c><c><v>3</v></c></row>';
    const before = await fingerprint();
    const rows = workbookOf(sheetXml(row.repeat(250_000)));
    for (const path of imports()) {
      expect((await send(path, rows).expect(400)).body.detail).toMatch(
        /more than (50000|200000) rows/,
      );
    }
    const cells = Array.from({ length: 256 }, (_, i) => `<c><v>${i}</v></c>`).join('');
    const wide = workbookOf(sheetXml(`<row>${cells}</row>`.repeat(12_000)));
    const cellsToo = await send(priceList(), wide).expect(413);
    expect(cellsToo.body.detail).toContain('3000000 filled cells');
    expect(await fingerprint()).toBe(before);
  }, 120_000);

  it('is refused where one long text stands in many cells, or a text or tag never ends', async () => {
    const shared = {
      'xl/sharedStrings.xml': `<sst ${MAIN}><si><t>${'x'.repeat(32_767)}</t></si></sst>`,
    };
    const cell = '<c t="s"><v>0</v></c>';
    const before = await fingerprint();
    const texts = workbookOf(
      sheetXml(rowsXml([['Art', 'Holds', 'Net']]) + `<row>${cell.repeat(3)}</row>`.repeat(400)),
      shared,
    );
    for (const path of imports()) {
      expect((await send(path, texts).expect(413)).body.detail).toContain('too much text');
    }
    expect(await fingerprint()).toBe(before);
    const long = 'x'.repeat(3 * 1_048_576);
    await expectRefused(
      workbookOf(sheetXml(`<row><c><v>${long}</v></c></row>`)),
      'a text without end',
      { status: 413 },
    );
    await expectRefused(workbookOf(sheetXml(`<row a="${long}"/>`)), 'a text without end', {
      status: 413,
    });
    await expectRefused(workbookOf(sheetXml(`<!--${long}--><row/>`)), 'a text without end', {
      status: 413,
    });
    const many = `<sst ${MAIN}>${'<si/>'.repeat(1_000_001)}</sst>`;
    await expectRefused(
      workbookOf(sheetXml(''), { 'xl/sharedStrings.xml': many }),
      'too many texts',
      { status: 413 },
    );
  }, 120_000);

  it('is refused for thousands of parts; an archive within it is never opened', async () => {
    const parts = Object.fromEntries(
      Array.from({ length: 2_000 }, (_, i) => [`xl/media/${i}.png`, '']),
    );
    await expectRefused(workbook(ROWS, parts), 'more than 2000 parts', { status: 413 });
    const within = zipped({ 'a.xml': [Buffer.alloc(20 * 1_048_576), { level: 1 }] });
    const nested = workbook([['name', 'base_unit']], { 'xl/embeddings/a.zip': within });
    const answer = await send('/v1/ingredients/import?dryRun=true', nested).expect(200);
    expect(answer.body.problems[0].message).toBe('The file has a header and no rows.');
    await expectRefused(zipped({ 'a.zip': nested }), 'no workbook (.xlsx)');
  });
});

describe('a workbook that lies about its extent', () => {
  it('is read by its cells: what it declares counts for nothing', async () => {
    const rows = rowsXml([
      ['name', 'base_unit'],
      ['Rye flour', 'g'],
    ]);
    const xml = sheetXml(rows).replace(
      '<sheetData>',
      '<dimension ref="A1:XFD1048576"/><sheetData>',
    );
    const answer = await send('/v1/ingredients/import?dryRun=true', workbookOf(xml)).expect(200);
    expect(answer.body).toMatchObject({ rows: 1, added: 1, problems: [] });
  });

  it('is refused where a cell lies beyond what is read, and where rows are beyond a sheet', async () => {
    const head = rowsXml([['Art', 'Holds', 'Net']]);
    const far = `<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>`;
    await expectRefusedRows(head + far, 'The cell XFD1048576 lies beyond IV');
    for (const bad of [
      '<row r="1048577"><c><v>1</v></c></row>',
      '<row r="1"/>',
      '<row r="2"><c r="A3"><v>1</v></c></row>',
      '<row r="2"><c r="B2"><v>1</v></c><c r="A2"><v>1</v></c></row>',
      '<row r="2"><c r="A2"><v>1</v></c><c r="A2"><v>2</v></c></row>',
      '<row r="2"><c r="XXXX2"><v>1</v></c></row>',
      '<row r="NaN"><c><v>1</v></c></row>',
    ]) {
      await expectRefusedRows(head + bad, 'not in order');
    }
    await expectRefusedRows(
      `${head}<row><c t="s"><v>9</v></c></row>`,
      'names a text that the workbook does not hold',
    );
    await expectRefusedRows(
      `${head}<row><c t="s"><v>-1</v></c></row>`,
      'names a text that the workbook does not hold',
    );
  });
});

/** The headings stop reading before such rows. */
const expectRefusedRows = (rows: string, words: string): Promise<void> =>
  expectRefused(workbookOf(sheetXml(rows)), words, { paths: imports() });

describe('the archive of a workbook', () => {
  it('is refused with parts over one another, twice there, or of wrong sizes', async () => {
    const styles = 'xl/styles.xml';
    const archive = plain();
    const place = archive.readUInt32LE(centralHeaderOf(archive, styles) + PLACE);
    await expectRefused(patched(archive, SHEET, PLACE, place), 'lie over one another');
    await expectRefused(patched(archive, SHEET, COMPRESSED, 60_000_000), 'lie over one another');
    await expectRefused(patched(archive, SHEET, COMPRESSED, 20), 'cut off or damaged', {
      paths: imports(),
    });
    await expectRefused(patched(archive, SHEET, UNCOMPRESSED, 1), 'cut off or damaged', {
      paths: imports(),
    });
    await expectRefused(patched(archive, SHEET, UNCOMPRESSED, 9_999), 'cut off or damaged', {
      paths: imports(),
    });
    await expectRefused(patched(archive, SHEET, 16, 12_345), 'cut off or damaged', {
      paths: imports(),
    });
    for (const twin of [SHEET, SHEET.toUpperCase()]) {
      // Names of one length, so that the archive can be given a second part of the name.
      const two = workbook(ROWS, { ['x'.repeat(SHEET.length)]: 'x' });
      const bytes = Buffer.from(
        two.toString('latin1').replaceAll('x'.repeat(SHEET.length), twin),
        'latin1',
      );
      await expectRefused(bytes, 'the same name twice');
    }
  });

  it('is refused with a name that leads out of it', async () => {
    for (const name of [
      '../../etc/cron.d/x',
      '/etc/passwd',
      'C:/x',
      'xl\\..\\..\\x',
      'xl/../../x',
    ]) {
      await expectRefused(workbook(ROWS, { [name]: 'x' }), 'a name that leads out of it');
    }
  });

  it('is refused wherever it is cut off', async () => {
    const archive = plain();
    for (let eighth = 0; eighth < 8; eighth += 1) {
      const cut = archive.subarray(0, Math.max(4, Math.floor((archive.length * eighth) / 8)));
      await expectRefused(cut, 'cut off or damaged');
    }
    await expectRefused(archive.subarray(0, archive.length - 1), 'cut off or damaged');
  });

  it('with any byte changed is read or refused, and never a fault of the service', async () => {
    const archive = workbook([
      ['name', 'base_unit'],
      ['Rye flour', 'g'],
    ]);
    const before = await fingerprint();
    const seen = new Set<number>();
    for (let at = 0; at < archive.length; at += 7) {
      const bytes = Buffer.from(archive);
      bytes[at] = (bytes[at] ?? 0) ^ (1 << (at % 8));
      const answer = await send('/v1/ingredients/import?dryRun=true', bytes);
      expect([200, 400, 413], `byte ${at}: ${answer.text}`).toContain(answer.status);
      seen.add(answer.status);
    }
    expect([...seen].sort()).toEqual(expect.arrayContaining([200, 400]));
    expect(await fingerprint()).toBe(before);
  }, 120_000);
});

describe('the XML of a workbook', () => {
  const bomb = `<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">${Array.from({ length: 9 }, (_, i) => `<!ENTITY a${i} "${`&a${i === 0 ? '' : i - 1};`.repeat(10)}">`).join('')}]>`;

  it('has no document type: no entities that grow, none from outside', async () => {
    const outside = '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>';
    const row = '<row><c t="inlineStr"><is><t>&a8;&e;</t></is></c></row>';
    for (const before of [bomb, outside, '<!DOCTYPE x SYSTEM "http://127.0.0.1:9/x.dtd">']) {
      await expectRefused(workbookOf(sheetXml(row, before)), 'DOCTYPE');
      for (const part of [
        '[Content_Types].xml',
        '_rels/.rels',
        'xl/workbook.xml',
        'xl/styles.xml',
        'xl/sharedStrings.xml',
      ]) {
        await expectRefused(workbook(ROWS, { [part]: `${before}<x>&e;</x>` }), 'DOCTYPE');
      }
    }
    await expectRefused(workbookOf(sheetXml(row)), 'not readable as XML');
  });

  it('is well-formed UTF-8 that does not nest without end', async () => {
    for (const sheet of [
      '',
      '<worksheet>',
      `${sheetXml('')}<more/>`,
      sheetXml('<row><c></row>'),
      sheetXml('<row a="1" a="2"/>'),
      sheetXml('<row><c><v>&#0;</v></c></row>'),
      sheetXml('<a>'.repeat(100_000)),
      sheetXml(`${'<a>'.repeat(65)}${'</a>'.repeat(65)}`),
    ]) {
      await expectRefused(workbookOf(sheet), 'not readable as XML');
    }
    for (const bytes of [Buffer.from(sheetXml(''), 'utf16le'), Buffer.from([0x3c, 0xff, 0xfe])]) {
      await expectRefused(workbook(ROWS, { [SHEET]: bytes }), 'not readable as XML');
    }
  });

  it('leads to no sheet outside the archive', async () => {
    const relation = (target: string, mode = '') =>
      `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="${target}" ${mode}/></Relationships>`;
    const rels = 'xl/_rels/workbook.xml.rels';
    for (const target of ['http://127.0.0.1:9/sheet.xml', 'file:///etc/passwd']) {
      await expectRefused(
        workbook(ROWS, { [rels]: relation(target, 'TargetMode="External"') }),
        'no sheet that can be seen',
      );
    }
    for (const target of ['../../../../etc/passwd', '/etc/passwd', 'file:///etc/passwd']) {
      await expectRefused(workbook(ROWS, { [rels]: relation(target) }), 'cut off or damaged');
    }
  });
});

it('the workbooks of these tests are sound but for what is wrong with them', async () => {
  expect(Object.keys(unzipSync(plain()))).toContain(SHEET);
  const answer = await send(`${priceList()}&dryRun=true`, plain()).expect(200);
  expect(answer.body).toMatchObject({ rows: 1, counts: { new: 1, problems: 0 }, problems: [] });
});
