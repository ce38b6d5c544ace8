import { keyedRequest, type NewId, type UnitOfWork } from '../modules/platform/index.ts';
import { createAccessRepository } from './access.repository.ts';
import { createAfterwardsRepository } from './afterwards.repository.ts';
import { createAuditTrail } from './audit.repository.ts';
import { createBacktestsRepository } from './backtests.repository.ts';
import { createCentralProductionRepository } from './central-production.repository.ts';
import { createCoversRepository } from './covers.repository.ts';
import type { Database, Db } from './database.ts';
import { createForecastsRepository } from './forecasts.repository.ts';
import { faultOf } from './database-errors.ts';
import { markLanded, markMade } from './idempotency.repository.ts';
import { createIngredientsRepository } from './ingredients.repository.ts';
import { createJointPurchasesRepository } from './joint-purchases.repository.ts';
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
import { createSupplyTermsRepository } from './supply-terms.repository.ts';
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
    centralProduction: createCentralProductionRepository(db),
    covers: createCoversRepository(db),
    forecasts: createForecastsRepository(db),
    ingredients: createIngredientsRepository(db, newId),
    jointPurchases: createJointPurchasesRepository(db),
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
    supplyTerms: createSupplyTermsRepository(db),
    waste: createWasteRepository(db),
    tracing: createTracingRepository(db),
  };
}

export type Repositories = ReturnType<typeof createRepositories>;

/** A clash of transactions undoes one of them whole; it then goes again, this many times in all. */
const TRIES = 4;

/**
 * Transactions over the database: everything in `run` lands together or not at all, with the mark
 * that the request it is for was done.
 */
export function createUnitOfWork(database: Database, newId: NewId): UnitOfWork<Repositories> {
  return {
    read: createRepositories(database.prisma, newId),
    run: async (work) => {
      const request = keyedRequest();
      for (let tries = 1; ; tries += 1) {
        const madeBefore = request?.made.length ?? 0;
        try {
          const done = await database.prisma.$transaction(async (tx) => {
            if (request && !request.landed) await markLanded(tx, request);
            const result = await work(createRepositories(tx, newId));
            if (request && request.made.length > madeBefore) await markMade(tx, request);
            return result;
          });
          if (request) request.landed = true;
          return done;
        } catch (error) {
          if (request) request.made.length = madeBefore;
          if (tries === TRIES || faultOf(error) !== 'clash') throw error;
        }
      }
    },
  };
}
