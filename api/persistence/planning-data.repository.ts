import type {
  CoversRows,
  IngredientRow,
  PlanningDataRepository,
  RecipeRow,
  VersionRow,
} from '../modules/prep/index.ts';
import type { Db } from './database.ts';
import { preOrderRows } from './pre-orders.repository.ts';
import { fromServiceDate, toOptionalDate, toServiceDate } from './row-values.ts';
import { createSiteOverridesRepository } from './site-overrides.repository.ts';
import { createSitesRepository } from './sites.repository.ts';

type BaseUnit = 'g' | 'ml' | 'each';

/** Reads everything the plan of one site is worked out from. */
export function createPlanningDataRepository(db: Db): PlanningDataRepository {
  const sites = createSitesRepository(db);
  const overrides = createSiteOverridesRepository(db);
  return {
    async load(siteId, historyFrom, toDate) {
      const site = await sites.find(siteId);
      if (!site) return null;
      return {
        site,
        services: await sites.servicesOf(siteId, false),
        closedDays: await sites.closedDaysOf(siteId),
        equipment: await sites.equipmentOf(siteId, false),
        recipes: await recipes(db),
        versions: await versions(db),
        ingredients: await ingredients(db),
        menuLines: await menuLines(db, siteId),
        lots: await usableLots(db, siteId),
        covers: await covers(db, siteId, historyFrom, toDate),
        overrides: await overrides.standing(siteId),
      };
    },
  };
}

async function recipes(db: Db): Promise<RecipeRow[]> {
  const rows = await db.recipe.findMany({
    select: { id: true, name: true, kind: true, baseUnit: true },
    orderBy: { id: 'asc' },
  });
  return rows.map((row) => ({
    ...row,
    kind: row.kind as RecipeRow['kind'],
    baseUnit: row.baseUnit as BaseUnit,
  }));
}

async function versions(db: Db): Promise<VersionRow[]> {
  const rows = await db.recipeVersion.findMany({
    where: { status: 'published', firstServiceDate: { not: null }, recipe: { archivedAt: null } },
    include: {
      recipe: true,
      lines: { orderBy: { position: 'asc' } },
      steps: { orderBy: { position: 'asc' } },
      byProducts: { orderBy: { id: 'asc' } },
    },
    orderBy: { id: 'asc' },
  });
  return rows.flatMap((row) =>
    row.firstServiceDate === null
      ? []
      : [
          {
            versionId: row.id,
            versionNumber: row.number,
            recipeId: row.recipeId,
            recipeName: row.recipe.name,
            kind: row.recipe.kind as VersionRow['kind'],
            baseUnit: row.recipe.baseUnit as BaseUnit,
            station: row.recipe.station,
            firstServiceDate: toServiceDate(row.firstServiceDate),
            outputQuantity: row.outputQuantity,
            batchMin: row.batchMin,
            batchMax: row.batchMax,
            batchMultiple: row.batchMultiple,
            shelfLifeMin: row.shelfLifeMin,
            storage: row.storage as VersionRow['storage'],
            cautions: row.cautions,
            lines: row.lines,
            steps: row.steps,
            byProducts: row.byProducts.map((by) => ({
              ...by,
              storage: by.storage as VersionRow['storage'],
            })),
          },
        ],
  );
}

async function ingredients(db: Db): Promise<IngredientRow[]> {
  const rows = await db.ingredient.findMany({
    select: {
      id: true,
      name: true,
      baseUnit: true,
      pieceMassG: true,
      trimYield: true,
      partOfId: true,
      partGroup: true,
      partYield: true,
      shelfLifeDays: true,
    },
    orderBy: { id: 'asc' },
  });
  return rows.map((row) => ({ ...row, baseUnit: row.baseUnit as BaseUnit }));
}

async function menuLines(db: Db, siteId: string) {
  const rows = await db.menuLine.findMany({
    where: { menu: { siteId, archivedAt: null } },
    include: { menu: true },
    orderBy: { id: 'asc' },
  });
  return rows.map((row) => ({
    id: row.id,
    dishId: row.dishId,
    serviceId: row.serviceId,
    share: row.share,
    oneACover: row.oneACover,
    activeFrom: toServiceDate(row.menu.activeFrom),
    activeTo: toOptionalDate(row.menu.activeTo),
  }));
}

async function usableLots(db: Db, siteId: string) {
  const rows = await db.stockLot.findMany({
    where: { siteId, archivedAt: null, heldReason: null, quantity: { gt: 0 } },
    orderBy: [{ useBy: 'asc' }, { id: 'asc' }],
  });
  return rows.map((row) => ({
    id: row.id,
    itemId: row.itemId,
    itemKind: row.itemKind as 'ingredient' | 'component',
    quantity: row.quantity,
    madeAt: row.madeAt,
    useBy: row.useBy,
  }));
}

async function covers(
  db: Db,
  siteId: string,
  fromDate: string,
  toDate: string,
): Promise<CoversRows> {
  const serviceDate = { gte: fromServiceDate(fromDate), lte: fromServiceDate(toDate) };
  const where = { siteId, serviceDate };
  const date = <T extends { serviceDate: Date }>(row: T) => ({
    ...row,
    serviceDate: toServiceDate(row.serviceDate),
  });
  const snapshots = await db.coversSnapshot.findMany({
    where,
    select: {
      id: true,
      serviceId: true,
      serviceDate: true,
      takenAt: true,
      booked: true,
      cancelled: true,
    },
    orderBy: [{ serviceDate: 'asc' }, { takenAt: 'asc' }],
  });
  const outcomes = await db.serviceOutcome.findMany({ where, orderBy: { serviceDate: 'asc' } });
  const sales = await db.dishSale.findMany({ where, orderBy: { serviceDate: 'asc' } });
  const events = await db.coversEvent.findMany({ where: { ...where, removedAt: null } });
  const stated = await db.statedCovers.findMany({
    where: {
      serviceId: {
        in: (await db.service.findMany({ where: { siteId }, select: { id: true } })).map(
          (s) => s.id,
        ),
      },
    },
  });
  return {
    snapshots: snapshots.map(date),
    outcomes: outcomes.map(date),
    sales: sales.map((row) => ({ ...date(row), soldOut: row.soldOutAt !== null })),
    events: events.map(date),
    stated,
    preOrders: await preOrderRows(db, siteId, fromDate, toDate),
  };
}
