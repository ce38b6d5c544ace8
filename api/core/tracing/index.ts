/** Where a lot came from and what it went into. */
export { walkLots } from './walk-lots.ts';
export type { LotLink, Walk } from './walk-lots.ts';
