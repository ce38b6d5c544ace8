/** What stock already covers, and the time-phased record of what must still be made. */
export { byExpiry, byTime, netNeeds } from './net-needs.ts';
export type { DatedNeed, LotAllocation, LotOnHand, NetNeeds } from './net-needs.ts';
