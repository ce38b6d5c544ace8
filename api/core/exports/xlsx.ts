import { strToU8, zipSync } from 'fflate';
import { daysBetween, parseServiceDate } from '../calendar/index.ts';
import { xmlElement, xmlText } from './xml-text.ts';

/** A cell: text, a number as decimal text (kept to the last digit), or nothing. */
export type SheetCell = string | { readonly decimal: string } | null;

export interface SheetColumn {
  readonly header: string;
  /** Width in characters. */
  readonly width?: number;
  /** `date`: cells hold 'YYYY-MM-DD' and are shown as dates. Text when left out. */
  readonly kind?: 'text' | 'number' | 'date';
}

export interface Sheet {
  readonly name: string;
  readonly columns: readonly SheetColumn[];
  readonly rows: readonly (readonly SheetCell[])[];
}

const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';
const RELATIONS = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
const PACKAGE_RELATIONS = 'http://schemas.openxmlformats.org/package/2006/relationships';
const TYPES = 'http://schemas.openxmlformats.org/package/2006/content-types';
const KIND = 'application/vnd.openxmlformats-officedocument.spreadsheetml';
const HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n';

/** Styles by index: plain, bold header, date. */
const STYLE = { plain: 0, header: 1, date: 2 } as const;
/** Longest text a cell may hold. */
const MOST_CHARACTERS = 32_767;
/** Archives carry a time; a fixed one (the earliest a ZIP can hold) keeps equal content equal. */
const FIXED_TIME = '1980-01-01T12:00:00';

/**
 * Writes sheets as an Office Open XML workbook: bold header row that stays in view, column widths,
 * inline texts, numbers with all their digits, dates as dates. Texts are never formulas. Equal
 * sheets give equal bytes.
 *
 * Source: ECMA-376 Part 1 (SpreadsheetML: 18.3 worksheets, 18.8 styles) and Part 2 (packages).
 *
 * @throws RangeError without sheets, for a row longer than its columns or a number that is no
 *         decimal text (programmer's mistakes)
 */
export function toXlsx(sheets: readonly Sheet[]): Uint8Array {
  if (sheets.length === 0) throw new RangeError('A workbook has at least one sheet');
  const names = sheetNames(sheets.map((sheet) => sheet.name));
  const parts: Record<string, string> = {
    '[Content_Types].xml': contentTypes(sheets.length),
    '_rels/.rels': relations([['officeDocument', 'xl/workbook.xml']]),
    'xl/workbook.xml': workbook(names),
    'xl/_rels/workbook.xml.rels': relations([
      ...sheets.map((_, i) => ['worksheet', `worksheets/sheet${i + 1}.xml`] as const),
      ['styles', 'styles.xml'],
    ]),
    'xl/styles.xml': styles(),
  };
  for (const [i, sheet] of sheets.entries()) {
    parts[`xl/worksheets/sheet${i + 1}.xml`] = worksheet(sheet, i === 0);
  }
  const files = Object.entries(parts).map(([path, text]) => [path, strToU8(HEAD + text)] as const);
  return zipSync(Object.fromEntries(files), { level: 6, mtime: FIXED_TIME });
}

/** Names that spreadsheets take: at most 31 characters, none of []:*?/\, no apostrophe at the ends, distinct. */
function sheetNames(names: readonly string[]): string[] {
  const used = new Set<string>();
  return names.map((name, i) => {
    const clean = name
      .replace(/[[\]:*?/\\]/g, ' ')
      .replace(/^'+|'+$/g, '')
      .trim();
    let candidate = clean.slice(0, 31) || `Sheet ${i + 1}`;
    for (let n = 2; used.has(candidate.toLowerCase()); n += 1) {
      candidate = `${clean.slice(0, 27)} ${n}`;
    }
    used.add(candidate.toLowerCase());
    return candidate;
  });
}

function contentTypes(sheetCount: number): string {
  const override = (part: string, type: string): string =>
    `<Override PartName="/xl/${part}" ContentType="${KIND}.${type}+xml"/>`;
  const sheets = Array.from({ length: sheetCount }, (_, i) =>
    override(`worksheets/sheet${i + 1}.xml`, 'worksheet'),
  );
  return (
    `<Types xmlns="${TYPES}">` +
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>' +
    '<Default Extension="xml" ContentType="application/xml"/>' +
    override('workbook.xml', 'sheet.main') +
    override('styles.xml', 'styles') +
    `${sheets.join('')}</Types>`
  );
}

function relations(targets: readonly (readonly [type: string, target: string])[]): string {
  const rows = targets.map(
    ([type, target], i) =>
      `<Relationship Id="rId${i + 1}" Type="${RELATIONS}/${type}" Target="${target}"/>`,
  );
  return `<Relationships xmlns="${PACKAGE_RELATIONS}">${rows.join('')}</Relationships>`;
}

function workbook(names: readonly string[]): string {
  const sheets = names.map(
    (name, i) => `<sheet name="${xmlText(name)}" sheetId="${i + 1}" r:id="rId${i + 1}"/>`,
  );
  return `<workbook xmlns="${MAIN}" xmlns:r="${RELATIONS}"><sheets>${sheets.join('')}</sheets></workbook>`;
}

function styles(): string {
  const font = (bold: string): string => `<font>${bold}<sz val="11"/><name val="Calibri"/></font>`;
  const xf = (numberFormat: number, fontId: number): string =>
    `<xf numFmtId="${numberFormat}" fontId="${fontId}" fillId="0" borderId="0" xfId="0" ` +
    `applyNumberFormat="1" applyFont="1"/>`;
  return (
    `<styleSheet xmlns="${MAIN}">` +
    '<numFmts count="1"><numFmt numFmtId="164" formatCode="yyyy\\-mm\\-dd"/></numFmts>' +
    `<fonts count="2">${font('')}${font('<b/>')}</fonts>` +
    '<fills count="2"><fill><patternFill patternType="none"/></fill>' +
    '<fill><patternFill patternType="gray125"/></fill></fills>' +
    '<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>' +
    '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>' +
    `<cellXfs count="3">${xf(0, 0)}${xf(0, 1)}${xf(164, 0)}</cellXfs></styleSheet>`
  );
}

/** Column letters: 0 A, 25 Z, 26 AA. */
function columnName(index: number): string {
  const before = Math.floor(index / 26);
  const letter = String.fromCharCode(65 + (index % 26));
  return before === 0 ? letter : columnName(before - 1) + letter;
}

function worksheet(sheet: Sheet, selected: boolean): string {
  const widths = sheet.columns.map(
    (column, i) =>
      `<col min="${i + 1}" max="${i + 1}" width="${column.width ?? 12}" customWidth="1"/>`,
  );
  const header = sheet.columns.map((column, i) => textCell(i, 1, column.header, STYLE.header));
  const rows = sheet.rows.map((row, r) => {
    if (row.length > sheet.columns.length) throw new RangeError(`Row ${r} has too many cells`);
    const cells = row.map((cell, c) => cellXml(c, r + 2, cell, sheet.columns[c]?.kind ?? 'text'));
    return `<row r="${r + 2}">${cells.join('')}</row>`;
  });
  return (
    `<worksheet xmlns="${MAIN}"><sheetViews>` +
    `<sheetView ${selected ? 'tabSelected="1" ' : ''}workbookViewId="0">` +
    '<pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/>' +
    '</sheetView></sheetViews>' +
    (widths.length > 0 ? `<cols>${widths.join('')}</cols>` : '') +
    `<sheetData><row r="1">${header.join('')}</row>${rows.join('')}</sheetData></worksheet>`
  );
}

function cellXml(column: number, row: number, cell: SheetCell, kind: string): string {
  const place = `r="${columnName(column)}${row}"`;
  if (cell === null) return '';
  if (typeof cell !== 'string') {
    if (!/^-?\d+(\.\d+)?$/.test(cell.decimal)) throw new RangeError(`No number: ${cell.decimal}`);
    return `<c ${place} s="${STYLE.plain}"><v>${cell.decimal}</v></c>`;
  }
  if (kind === 'date' && parseServiceDate(cell).ok && cell > '1900-03-01') {
    // Day 0 is 1899-12-30, so that days after the false leap day of 1900 come out right.
    return `<c ${place} s="${STYLE.date}"><v>${daysBetween('1899-12-30', cell)}</v></c>`;
  }
  return textCell(column, row, cell, STYLE.plain);
}

function textCell(column: number, row: number, text: string, style: number): string {
  // _xHHHH_ stands for a character code, so a text that looks like one is escaped itself.
  const safe = text.slice(0, MOST_CHARACTERS).replace(/_(?=x[0-9A-Fa-f]{4}_)/g, '_x005F_');
  const shown = xmlElement('t', safe, { 'xml:space': 'preserve' });
  return `<c r="${columnName(column)}${row}" s="${style}" t="inlineStr"><is>${shown}</is></c>`;
}
