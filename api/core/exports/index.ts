/** Exports: orders and prep lists as text or bytes in open formats. Nothing here reads or writes files. */
export { toCalendarFeed } from './calendar-feed.ts';
export type { CalendarEntry, CalendarFeed } from './calendar-feed.ts';
export { asBeforeCsv, toCsv } from './csv.ts';
export type { CsvCell } from './csv.ts';
export { checkOrderDocument, orderTotals } from './order-document.ts';
export type {
  OrderDocument,
  OrderDocumentLine,
  OrderParty,
  OrderTotals,
} from './order-document.ts';
export { ordersToCsv, ordersToXlsx } from './order-rows.ts';
export { orderSheet } from './order-sheet.ts';
export type { OrderSheet } from './order-sheet.ts';
export { PAPER_LANGUAGES } from './paper-words.ts';
export type { PaperLanguage } from './paper-words.ts';
export { orderToUbl } from './ubl-order.ts';
export { toXlsx } from './xlsx.ts';
export type { Sheet, SheetCell, SheetColumn } from './xlsx.ts';
