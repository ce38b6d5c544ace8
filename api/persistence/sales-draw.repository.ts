import { itemKey, type ItemKind, type SalesDrawRepository } from '../modules/stock/index.ts';
import type { Db } from './database.ts';
import { fromServiceDate } from './row-values.ts';

/** What dishes take from stock and what was taken for sales, over Prisma. */
export function createSalesDrawRepository(db: Db): SalesDrawRepository {
  const portions = new Map<string, ReturnType<SalesDrawRepository['portionOf']>>();
  return {
    portionOf(dishId, serviceDate) {
      const key = `${dishId} ${serviceDate}`;
      const known = portions.get(key) ?? portionOf(db, dishId, serviceDate);
      portions.set(key, known);
      return known;
    },
    async movementsOf(saleIds) {
      const rows = await db.stockMovement.findMany({
        where: { saleId: { in: [...saleIds] } },
        include: { lot: { select: { itemKind: true, itemId: true } } },
        orderBy: [{ at: 'asc' }, { id: 'asc' }],
      });
      return rows.flatMap(({ saleId, lotId, quantity, lot }) =>
        saleId === null
          ? []
          : [{ saleId, lotId, quantity, itemKind: lot.itemKind as ItemKind, itemId: lot.itemId }],
      );
    },
    async lastCounts(siteId) {
      const rows = await db.stockCount.groupBy({
        by: ['itemKind', 'itemId'],
        where: { siteId },
        _max: { countedAt: true },
      });
      return new Map(
        rows.flatMap(({ itemKind, itemId, _max }) =>
          _max.countedAt === null
            ? []
            : [[itemKey({ itemKind: itemKind as ItemKind, itemId }), _max.countedAt] as const],
        ),
      );
    },
    async oldestLot(siteId) {
      const found = await db.stockLot.aggregate({
        where: {
          siteId,
          archivedAt: null,
          OR: [{ quantity: { gt: 0 } }, { movements: { some: { saleId: { not: null } } } }],
        },
        _min: { madeAt: true },
      });
      return found._min.madeAt;
    },
  };
}

async function portionOf(db: Db, dishId: string, serviceDate: string) {
  const version = await db.recipeVersion.findFirst({
    where: {
      recipeId: dishId,
      status: 'published',
      firstServiceDate: { lte: fromServiceDate(serviceDate) },
    },
    include: { lines: { orderBy: { position: 'asc' } } },
    orderBy: { firstServiceDate: 'desc' },
  });
  if (!version) return [];
  const ids = version.lines.flatMap((line) => line.ingredientId ?? line.componentId ?? []);
  const ingredients = await db.ingredient.findMany({
    where: { id: { in: ids } },
    select: { id: true, name: true, trimYield: true },
  });
  const recipes = await db.recipe.findMany({
    where: { id: { in: ids } },
    select: { id: true, name: true },
  });
  const names = new Map([...ingredients, ...recipes].map(({ id, name }) => [id, name]));
  const trims = new Map(ingredients.map(({ id, trimYield }) => [id, trimYield]));
  return version.lines.flatMap((line) => {
    const itemId = line.ingredientId ?? line.componentId;
    if (itemId === null) return [];
    const kept = (line.trimYield ?? trims.get(itemId) ?? 1) * (line.cookingYield ?? 1);
    return [
      {
        itemKind: (line.componentId === null ? 'ingredient' : 'component') as ItemKind,
        itemId,
        name: names.get(itemId) ?? itemId,
        perPortion: line.quantity / kept / version.outputQuantity,
      },
    ];
  });
}
