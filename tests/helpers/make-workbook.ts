import { readFileSync } from 'node:fs';
import path from 'node:path';
import { strToU8, zipSync, type Zippable } from 'fflate';

const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';
const RELATIONS = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
const PACKAGE = 'http://schemas.openxmlformats.org/package/2006';
const KIND = 'application/vnd.openxmlformats-officedocument.spreadsheetml';
export const XLSX = `${KIND}.sheet`;

/** A cell as its element, or a text or number to be made one. */
export type Cell = string | number | null | { readonly xml: string };

export const letters = (column: number): string =>
  column < 26
    ? String.fromCharCode(65 + column)
    : letters(Math.floor(column / 26) - 1) + letters(column % 26);

const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');

function cellXml(cell: Cell, at: string): string {
  if (cell === null) return '';
  if (typeof cell === 'number') return `<c r="${at}"><v>${cell}</v></c>`;
  if (typeof cell === 'string') {
    return `<c r="${at}" t="inlineStr"><is><t xml:space="preserve">${escaped(cell)}</t></is></c>`;
  }
  return cell.xml.replace('<c', `<c r="${at}"`);
}

/** The rows of a sheet as XML; a row that is null is left out, and its number with it. */
export function rowsXml(rows: readonly (readonly Cell[] | null)[]): string {
  return rows
    .map((cells, r) =>
      cells === null
        ? ''
        : `<row r="${r + 1}">${cells.map((cell, c) => cellXml(cell, `${letters(c)}${r + 1}`)).join('')}</row>`,
    )
    .join('');
}

export const sheetXml = (rows: string, before = ''): string =>
  `${before}<worksheet xmlns="${MAIN}"><sheetData>${rows}</sheetData></worksheet>`;

/** The parts of a plain workbook of one sheet; `more` adds parts or takes the place of them. */
export function workbookParts(
  sheet: string,
  more: Readonly<Record<string, string | Uint8Array>> = {},
): Record<string, Uint8Array> {
  const relation = (id: string, kind: string, target: string): string =>
    `<Relationship Id="${id}" Type="${RELATIONS}/${kind}" Target="${target}"/>`;
  const parts: Record<string, string | Uint8Array> = {
    '[Content_Types].xml':
      `<Types xmlns="${PACKAGE}/content-types"><Default Extension="xml" ContentType="application/xml"/>` +
      `<Override PartName="/xl/workbook.xml" ContentType="${KIND}.sheet.main+xml"/></Types>`,
    '_rels/.rels': `<Relationships xmlns="${PACKAGE}/relationships">${relation('rId1', 'officeDocument', 'xl/workbook.xml')}</Relationships>`,
    'xl/workbook.xml': `<workbook xmlns="${MAIN}" xmlns:r="${RELATIONS}"><sheets><sheet name="List" sheetId="1" r:id="rId1"/></sheets></workbook>`,
    'xl/_rels/workbook.xml.rels':
      `<Relationships xmlns="${PACKAGE}/relationships">${relation('rId1', 'worksheet', 'worksheets/sheet1.xml')}` +
      `${relation('rId2', 'sharedStrings', 'sharedStrings.xml')}${relation('rId3', 'styles', 'styles.xml')}</Relationships>`,
    'xl/sharedStrings.xml': `<sst xmlns="${MAIN}"/>`,
    'xl/styles.xml': `<styleSheet xmlns="${MAIN}"/>`,
    'xl/worksheets/sheet1.xml': sheet,
    ...more,
  };
  return Object.fromEntries(
    Object.entries(parts).map(([name, part]) => [
      name,
      typeof part === 'string' ? strToU8(part) : part,
    ]),
  );
}

export function zipped(parts: Zippable): Buffer {
  return Buffer.from(zipSync(parts, { level: 6, mtime: '1980-01-01T12:00:00' }));
}

/** A workbook of one sheet. */
export function workbook(
  rows: readonly (readonly Cell[] | null)[],
  more: Readonly<Record<string, string | Uint8Array>> = {},
): Buffer {
  return zipped(workbookParts(sheetXml(rowsXml(rows)), more));
}

/** A workbook of several sheets, in order; each with its name, rows and, where it is hidden, state. */
export function workbookOfSheets(
  sheets: readonly {
    readonly name: string;
    readonly rows: readonly (readonly Cell[] | null)[];
    readonly state?: 'hidden' | 'veryHidden';
  }[],
): Buffer {
  const escapedName = (name: string): string => escaped(name).replaceAll('"', '&quot;');
  const named = sheets.map(
    ({ name, state }, i) =>
      `<sheet name="${escapedName(name)}" sheetId="${i + 1}" r:id="rId${i + 1}"${state ? ` state="${state}"` : ''}/>`,
  );
  const relations = sheets.map(
    (_, i) =>
      `<Relationship Id="rId${i + 1}" Type="${RELATIONS}/worksheet" Target="worksheets/sheet${i + 1}.xml"/>`,
  );
  return workbook([], {
    'xl/workbook.xml': `<workbook xmlns="${MAIN}" xmlns:r="${RELATIONS}"><sheets>${named.join('')}</sheets></workbook>`,
    'xl/_rels/workbook.xml.rels': `<Relationships xmlns="${PACKAGE}/relationships">${relations.join('')}</Relationships>`,
    ...Object.fromEntries(
      sheets.map(({ rows }, i) => [`xl/worksheets/sheet${i + 1}.xml`, sheetXml(rowsXml(rows))]),
    ),
  });
}

/** A workbook whose sheet is given as XML. */
export const workbookOf = (
  sheet: string,
  more: Readonly<Record<string, string | Uint8Array>> = {},
): Buffer => zipped(workbookParts(sheet, more));

/** A workbook that LibreOffice made; see tests/fixtures/spreadsheets/source.md. */
export const calcFile = (name: 'calc-1900.xlsx' | 'calc-1904.xlsx' | 'calc.xls'): Buffer =>
  readFileSync(path.join(import.meta.dirname, '..', 'fixtures', 'spreadsheets', name));

/** Where an archive's central directory says something of a part: the offset of its header there. */
export function centralHeaderOf(archive: Buffer, name: string): number {
  let at = archive.indexOf(Buffer.from('PK\x01\x02', 'latin1'));
  while (at >= 0) {
    const length = archive.readUInt16LE(at + 28);
    if (archive.subarray(at + 46, at + 46 + length).toString() === name) return at;
    at = archive.indexOf(Buffer.from('PK\x01\x02', 'latin1'), at + 4);
  }
  throw new Error(`The archive names no ${name}.`);
}
