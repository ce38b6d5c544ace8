import { addDays, serviceInstant } from '../../api/core/calendar/index.ts';
import { unwrap } from '../../api/core/shared/index.ts';
import type { PrepPlan } from '../../api/modules/prep/index.ts';
import type { Database } from '../../api/persistence/database.ts';

/** When yesterday's brigade put its work away, local time. */
const PUT_AWAY_AT = '16:00';
const SHORT_DAYS = 1;

/**
 * Stock that yesterday's brigade must have made for today to be possible: the demo begins in the
 * middle of a kitchen's life, and its opening count is only rough. What the first plan finds too
 * late to make for today or tomorrow becomes a lot of whole batches, made yesterday, where its shelf
 * life allows.
 * @returns how many lots were added
 */
export async function addYesterdaysWork(
  database: Database,
  plan: PrepPlan,
  zone: string,
  round: number,
): Promise<number> {
  const madeMin = unwrap(serviceInstant(addDays(plan.fromDate, -1), PUT_AWAY_AT, zone));
  const lastDate = addDays(plan.fromDate, SHORT_DAYS);
  const short = new Map<string, number>();
  for (const s of plan.summary.shortages) {
    if (s.serviceDate > lastDate || s.reason === 'shelf-life-too-short') continue;
    short.set(s.itemId, (short.get(s.itemId) ?? 0) + s.quantity);
  }
  const versions = await database.prisma.recipeVersion.findMany({
    where: { recipeId: { in: [...short.keys()] }, status: 'published' },
    orderBy: { firstServiceDate: 'desc' },
  });
  const byProducts = await database.prisma.recipeByProduct.findMany({
    where: { componentId: { in: [...short.keys()] } },
  });
  let added = 0;
  for (const [itemId, quantity] of short) {
    const version = versions.find(
      (v) =>
        v.recipeId === itemId && (v.firstServiceDate?.toISOString() ?? '') <= `${plan.fromDate}Z`,
    );
    const byProduct = byProducts.find((b) => b.componentId === itemId);
    const batch = version?.outputQuantity ?? byProduct?.quantity;
    const shelfLifeMin = version?.shelfLifeMin ?? byProduct?.shelfLifeMin;
    if (batch === undefined || shelfLifeMin === undefined) continue;
    const id = `lot_${plan.siteId.slice(5)}-yesterday-${round}-${itemId.slice(4)}`;
    const made = Math.ceil(quantity / batch - 1e-9) * batch;
    await database.prisma.stockLot.create({
      data: {
        id,
        siteId: plan.siteId,
        itemKind: 'component',
        itemId,
        quantity: made,
        madeAt: new Date(madeMin * 60_000),
        useBy: new Date((madeMin + shelfLifeMin) * 60_000),
        sourceKind: 'opening count',
        movements: {
          create: {
            id: `mov_${id.slice(4)}`,
            kind: 'counted',
            quantity: made,
            at: new Date(madeMin * 60_000),
            actorId: 'demo',
          },
        },
      },
    });
    added += 1;
  }
  return added;
}
