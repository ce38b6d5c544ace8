import type { Ingredient } from '../ingredients/index.ts';
import type { Site } from '../sites/index.ts';
import type { Pack, Supplier } from '../suppliers/index.ts';
import type { Contract, SupplyGap } from '../supply-terms/index.ts';
import type { OrdersWork } from './orders.ports.ts';

/** Names and terms beside the ids of orders. */
export interface OrderBook {
  readonly sites: ReadonlyMap<string, Site>;
  readonly suppliers: ReadonlyMap<string, Supplier>;
  readonly packs: ReadonlyMap<string, Pack>;
  readonly ingredients: ReadonlyMap<string, Ingredient>;
  /** What suppliers cannot give, and when. */
  readonly gaps: readonly SupplyGap[];
  readonly contracts: ReadonlyMap<string, Contract>;
}

const byId = <T extends { readonly id: string }>(rows: readonly T[]): ReadonlyMap<string, T> =>
  new Map(rows.map((row) => [row.id, row]));

export async function loadOrderBook(work: OrdersWork): Promise<OrderBook> {
  return {
    sites: byId(await work.sites.all()),
    suppliers: byId(await work.suppliers.all()),
    packs: byId(await work.suppliers.packsWithPrices()),
    ingredients: byId(await work.ingredients.all()),
    gaps: await work.supplyTerms.gaps({}),
    contracts: byId(await work.supplyTerms.contracts({ siteIds: 'all' })),
  };
}
