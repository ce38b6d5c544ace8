import { addDays, serviceInstant } from '../../api/core/calendar/index.ts';
import { unwrap } from '../../api/core/shared/index.ts';
import type { PrepPlan } from '../../api/modules/prep/index.ts';
import type { Database } from '../../api/persistence/database.ts';

/** When yesterday's brigade put its work away, local time. */
const PUT_AWAY_AT = '16:00';
const SHORT_DAYS = 1;
/** Longest a service goes on: what is on the shelf must keep to its end. */
const SERVICE_LENGTH_MIN = 240;

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
  const shelf = await shelfOf(database, plan.fromDate);
  const wanted = new Map<string, number>();
  const want = (itemId: string, quantity: number, atMin: number): void => {
    const made = shelf.get(itemId);
    if (!made) return;
    if (madeMin + made.shelfLifeMin >= atMin + SERVICE_LENGTH_MIN) {
      wanted.set(itemId, (wanted.get(itemId) ?? 0) + quantity);
      return;
    }
    // Too short-lived to have been made yesterday: what it is put together from was.
    for (const part of made.components) want(part.itemId, quantity * part.perUnit, atMin);
  };
  for (const s of plan.summary.shortages) {
    if (s.serviceDate <= lastDate && s.reason !== 'shelf-life-too-short') {
      want(s.itemId, s.quantity, s.atMin);
    }
  }
  let added = 0;
  for (const [itemId, quantity] of wanted) {
    const made = shelf.get(itemId);
    if (!made) continue;
    const id = `lot_${plan.siteId.slice(5)}-yesterday-${round}-${itemId.slice(4)}`;
    const put = Math.ceil(quantity / made.batch - 1e-9) * made.batch;
    const madeAt = new Date(madeMin * 60_000);
    await database.prisma.stockLot.create({
      data: {
        id,
        siteId: plan.siteId,
        itemKind: 'component',
        itemId,
        quantity: put,
        madeAt,
        useBy: new Date((madeMin + made.shelfLifeMin) * 60_000),
        sourceKind: 'opening count',
        movements: {
          create: {
            id: `mov_${id.slice(4)}`,
            kind: 'counted',
            quantity: put,
            at: madeAt,
            actorId: 'demo',
          },
        },
      },
    });
    added += 1;
  }
  return added;
}

interface OnShelf {
  /** What one batch gives, base units. */
  readonly batch: number;
  readonly shelfLifeMin: number;
  readonly components: readonly { readonly itemId: string; readonly perUnit: number }[];
}

/** What the recipes in force yesterday give, how long it keeps, and what it is made from. */
async function shelfOf(database: Database, today: string): Promise<ReadonlyMap<string, OnShelf>> {
  const versions = await database.prisma.recipeVersion.findMany({
    where: { status: 'published', firstServiceDate: { lte: new Date(`${today}T00:00:00Z`) } },
    include: { lines: true, byProducts: true },
    orderBy: { firstServiceDate: 'asc' },
  });
  const shelf = new Map<string, OnShelf>();
  for (const version of versions) {
    for (const by of version.byProducts) {
      shelf.set(by.componentId, {
        batch: by.quantity,
        shelfLifeMin: by.shelfLifeMin,
        components: [],
      });
    }
  }
  for (const version of versions) {
    shelf.set(version.recipeId, {
      batch: version.outputQuantity,
      shelfLifeMin: version.shelfLifeMin,
      components: version.lines.flatMap((line) =>
        line.componentId === null
          ? []
          : [{ itemId: line.componentId, perUnit: line.quantity / version.outputQuantity }],
      ),
    });
  }
  return shelf;
}
