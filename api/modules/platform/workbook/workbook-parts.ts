import { posix } from 'node:path';
import type { Archive } from './archive.ts';
import { unescaped } from './cell-text.ts';
import { sheetName, type Sheet } from './pick-sheet.ts';
import { readXml, type XmlReading } from './read-xml.ts';
import { CUT_OFF, notSound } from './refuse-workbook.ts';
import type { DateBase } from './serial-dates.ts';

/** Where in a workbook what is read stands. */
export interface WorkbookParts {
  /** The worksheets that can be seen, in order, by the names they are shown by. */
  readonly sheets: readonly [Sheet, ...Sheet[]];
  readonly texts: string | null;
  readonly styles: string | null;
  readonly base: DateBase;
}

const MOST_SMALL_PART = 8 * 1_048_576;
const MOST_SHEETS = 1_000;
const CONTENT_TYPES = '[Content_Types].xml';
const WORKBOOK_TYPE = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml';

interface Relation {
  readonly kind: string;
  readonly target: string;
}

/**
 * Finds the worksheets of a workbook and what their cells refer to, by content types and
 * relationships. What a relationship names outside the archive is never followed.
 * Source: ECMA-376 Part 2 (content types, relationships) and Part 1 section 18.2 (workbook).
 * @throws Refusal for another kind of document, for one with macros, and for one without a sheet
 */
export async function workbookParts(archive: Archive): Promise<WorkbookParts> {
  if (!archive.has(CONTENT_TYPES)) throw notSound('This file is no workbook (.xlsx).');
  const types = new Map<string, string>();
  await read(archive, CONTENT_TYPES, {
    open: (name, { PartName: part, Extension: extension, ContentType: type = '' }) => {
      if (name === 'Override' && part) types.set(part.toLowerCase(), type);
      if (name === 'Default' && extension) types.set(`.${extension.toLowerCase()}`, type);
    },
  });
  const [main] = [...(await relationsOf(archive, '')).values()].filter(
    ({ kind }) => kind === 'officeDocument',
  );
  if (!main) throw notSound('This file is no workbook (.xlsx).');
  refuseOtherKinds(types.get(`/${main.target}`.toLowerCase()) ?? types.get('.xml') ?? '');

  const sheets: { readonly name: string; readonly id: string }[] = [];
  let base: DateBase = 1900;
  await read(archive, main.target, {
    open: (element, { name = '', id = '', state = 'visible', date1904 }) => {
      if (element === 'workbookPr' && (date1904 === '1' || date1904 === 'true')) base = 1904;
      if (element === 'sheet' && state === 'visible' && sheets.length < MOST_SHEETS) {
        sheets.push({ name, id });
      }
    },
  });
  const relations = await relationsOf(archive, main.target);
  const [first, ...others] = sheets.flatMap(({ name, id }, i): Sheet[] => {
    const relation = relations.get(id);
    if (relation?.kind !== 'worksheet') return [];
    return [{ name: sheetName(unescaped(name)) || `#${i + 1}`, part: relation.target }];
  });
  if (!first) throw notSound('The workbook has no sheet that can be seen.');
  const only = (kind: string): string | null =>
    [...relations.values()].find((relation) => relation.kind === kind)?.target ?? null;
  return {
    sheets: [first, ...others],
    texts: only('sharedStrings'),
    styles: only('styles'),
    base,
  };
}

function refuseOtherKinds(type: string): void {
  if (type === WORKBOOK_TYPE) return;
  if (/macroEnabled/i.test(type)) {
    throw notSound(
      'This workbook holds macros. Save it as .xlsx, which has none, and send it again.',
    );
  }
  throw notSound('This file is another kind of document, not a workbook (.xlsx).');
}

/** What a part (or, for '', the archive) refers to inside it, by id. */
async function relationsOf(archive: Archive, part: string): Promise<ReadonlyMap<string, Relation>> {
  const { dir, base } = posix.parse(part);
  const file = posix.join(dir, '_rels', `${base}.rels`);
  const found = new Map<string, Relation>();
  if (!archive.has(file)) return found;
  await read(archive, file, {
    open: (name, { Id: id, Type: type = '', Target: target = '', TargetMode: mode }) => {
      if (name !== 'Relationship' || id === undefined || mode === 'External') return;
      const path = target.startsWith('/') ? target : posix.join('/', dir, target);
      found.set(id, { kind: type.slice(type.lastIndexOf('/') + 1), target: path.slice(1) });
    },
  });
  return found;
}

async function read(archive: Archive, part: string, reading: XmlReading): Promise<void> {
  if (!archive.has(part)) throw notSound(CUT_OFF);
  await readXml(archive.read(part, MOST_SMALL_PART), part, reading);
}
