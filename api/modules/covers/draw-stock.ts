import type { Actor, Clock, NewId, RefusalIssue } from '../platform/index.ts';
import { drawForSales } from '../stock/index.ts';
import type { CoversContext } from './covers-rules.ts';
import type { CoversWork, DishSale } from './covers.ports.ts';

/**
 * Takes what was sold out of stock, in the transaction that keeps the sales.
 * @returns what was sold and not on record, as warnings
 */
export async function drawStock(
  { stock, salesDraw }: CoversWork,
  deps: { readonly clock: Clock; readonly newId: NewId },
  actor: Actor,
  { site, services }: CoversContext,
  sales: readonly DishSale[],
): Promise<readonly RefusalIssue[]> {
  const missing = await drawForSales(
    { stock, draw: salesDraw, actor, newId: deps.newId, now: deps.clock.now() },
    site,
    services,
    sales.map(({ id, ...sale }) => ({ saleId: id, ...sale })),
  );
  const names = [...new Set(missing.map(({ name }) => name))];
  return names.map((name) => ({
    pointer: '/portions',
    message: `More ${name} was sold than the record held: count it.`,
  }));
}
