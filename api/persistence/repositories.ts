import type { NewId, UnitOfWork } from '../modules/platform/index.ts';
import { createAccessRepository } from './access.repository.ts';
import { createAfterwardsRepository } from './afterwards.repository.ts';
import { createAuditTrail } from './audit.repository.ts';
import { createBacktestsRepository } from './backtests.repository.ts';
import { createCoversRepository } from './covers.repository.ts';
import type { Database, Db } from './database.ts';
import { createForecastsRepository } from './forecasts.repository.ts';
import { createIngredientsRepository } from './ingredients.repository.ts';
import { createLabelsRepository } from './labels.repository.ts';
import { createMeasuredYieldsRepository } from './measured-yields.repository.ts';
import { createMenusRepository } from './menus.repository.ts';
import { createNightRunsRepository } from './night-runs.repository.ts';
import { createParsRepository } from './pars.repository.ts';
import { createApprovalLimitsRepository, createOrdersRepository } from './orders.repository.ts';
import { createPreOrdersRepository } from './pre-orders.repository.ts';
import { createPlanningDataRepository } from './planning-data.repository.ts';
import { createPrepRepository } from './prep.repository.ts';
import { createRatesRepository } from './rates.repository.ts';
import { createRecipesRepository } from './recipes.repository.ts';
import { createSafetyRepository } from './safety.repository.ts';
import { createSalesDrawRepository } from './sales-draw.repository.ts';
import { createSiteOverridesRepository } from './site-overrides.repository.ts';
import { createSitesRepository } from './sites.repository.ts';
import { createStockRepository } from './stock.repository.ts';
import { createSuppliersRepository } from './suppliers.repository.ts';
import { createWasteRepository } from './waste.repository.ts';
import { createTracingRepository } from './tracing.repository.ts';

/** All repositories over one connection or transaction. Add a new noun's repository here. */
export function createRepositories(db: Db, newId: NewId) {
  return {
    approvalLimits: createApprovalLimitsRepository(db),
    access: createAccessRepository(db),
    afterwards: createAfterwardsRepository(db),
    audit: createAuditTrail(db, newId),
    backtests: createBacktestsRepository(db),
    covers: createCoversRepository(db),
    forecasts: createForecastsRepository(db),
    ingredients: createIngredientsRepository(db, newId),
    labels: createLabelsRepository(db),
    measuredYields: createMeasuredYieldsRepository(db),
    menus: createMenusRepository(db, newId),
    nightRuns: createNightRunsRepository(db),
    orders: createOrdersRepository(db),
    pars: createParsRepository(db),
    planningData: createPlanningDataRepository(db),
    preOrders: createPreOrdersRepository(db),
    prep: createPrepRepository(db),
    rates: createRatesRepository(db),
    recipes: createRecipesRepository(db, newId),
    salesDraw: createSalesDrawRepository(db),
    safety: createSafetyRepository(db),
    siteOverrides: createSiteOverridesRepository(db),
    sites: createSitesRepository(db),
    stock: createStockRepository(db, newId),
    suppliers: createSuppliersRepository(db),
    waste: createWasteRepository(db),
    tracing: createTracingRepository(db),
  };
}

export type Repositories = ReturnType<typeof createRepositories>;

/** Transactions over the database: everything in `run` lands together or not at all. */
export function createUnitOfWork(database: Database, newId: NewId): UnitOfWork<Repositories> {
  return {
    read: createRepositories(database.prisma, newId),
    run: (work) => database.prisma.$transaction((tx) => work(createRepositories(tx, newId))),
  };
}
