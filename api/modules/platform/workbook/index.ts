export { readWorkbook, type WorkbookTable } from './read-workbook.ts';
export type { CellFault, SheetReadOptions, SheetRow } from './sheet-rows.ts';
export { WorkbookFile, type TableFile } from './workbook-file.ts';
