export * from './actor.ts';
export * from './audit.ts';
export * from './clock.ts';
export * from './csv-cells.ts';
export * from './day-list.ts';
export * from './ids.ts';
export * from './keyed-request.ts';
export * from './page.ts';
export * from './past-moment.ts';
export * from './read-csv.ts';
export * from './refusal.ts';
export * from './revision.ts';
export * from './unit-of-work.ts';
export {
  MOST_SHEET_NAME,
  NO_SHEETS,
  WorkbookFile,
  readWorkbook,
  type SheetsSeen,
  type TableFile,
  type WorkbookTable,
} from './workbook/index.ts';
