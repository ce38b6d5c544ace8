/** Every type of the demo data and of the history made for it. */
export type * from './data-types.ts';
export type * from './history-types.ts';
