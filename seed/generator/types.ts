/** Every type of the demo data and of the history made for it. */
export type * from './item-types.ts';
export type * from './site-types.ts';
export type * from './history-types.ts';
