/** What was made, used, thrown away and missing, beside what the plans expected. */
export { afterReport, factsTogether, WORK_CAUSES } from './after-report.ts';
export type { AfterFacts, AfterRow, EndedTask, Plain, Reasoned } from './after-report.ts';
