import { Decimal } from '../../core/money/index.ts';
import type { Order } from './orders.ports.ts';

/** What several sites order of one pack. `total` is decimal text in `currency`, net of tax. */
export interface PackTotal {
  readonly supplierId: string;
  readonly ingredientId: string;
  readonly packId: string;
  readonly packs: number;
  readonly total: string;
  readonly currency: string;
  readonly sites: readonly { readonly siteId: string; readonly packs: number }[];
}

/** Adds the lines of orders up by pack, and by site within a pack. Cancelled orders do not count. */
export function packTotals(orders: readonly Order[]): readonly PackTotal[] {
  const totals = new Map<string, PackTotal>();
  for (const order of orders) {
    if (order.status === 'cancelled') continue;
    for (const line of order.lines) {
      if (line.packs === 0) continue;
      const key = `${line.packId}|${order.currency}`;
      const before = totals.get(key);
      const bySite = new Map(before?.sites.map((site) => [site.siteId, site.packs]));
      bySite.set(order.siteId, (bySite.get(order.siteId) ?? 0) + line.packs);
      totals.set(key, {
        supplierId: order.supplierId,
        ingredientId: line.ingredientId,
        packId: line.packId,
        packs: (before?.packs ?? 0) + line.packs,
        total: new Decimal(line.unitPrice)
          .times(line.packs)
          .plus(before?.total ?? 0)
          .toFixed(4),
        currency: order.currency,
        sites: [...bySite].map(([siteId, packs]) => ({ siteId, packs })),
      });
    }
  }
  return [...totals.values()];
}
