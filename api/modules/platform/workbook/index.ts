export { MOST_SHEET_NAME, NO_SHEETS, type SheetsSeen } from './pick-sheet.ts';
export { readWorkbook, type WorkbookTable } from './read-workbook.ts';
export type { CellFault, SheetReadOptions, SheetRow } from './sheet-rows.ts';
export { WorkbookFile, type TableFile } from './workbook-file.ts';
