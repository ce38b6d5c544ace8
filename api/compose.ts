import type { Services } from './modules/routes.ts';
import { createAccessServices } from './modules/access/index.ts';
import { AfterwardsService } from './modules/afterwards/index.ts';
import { AvailabilityService } from './modules/availability/index.ts';
import { BacktestsService } from './modules/backtests/index.ts';
import {
  CarryingService,
  ProductionsService,
  TransferRoutesService,
  TransfersService,
} from './modules/central-production/index.ts';
import { CardsService } from './modules/cards/index.ts';
import { CoversImportService, CoversService } from './modules/covers/index.ts';
import { createDishesServices } from './modules/dishes/index.ts';
import { createForecastsServices } from './modules/forecasts/index.ts';
import { highsSolver } from './core/milp/index.ts';
import { planWithEffort, type PlanEffort, type SitePlanInput } from './core/planning/index.ts';
import { checkBy } from './http/csv.ts';
import {
  IngredientBody,
  IngredientsImportService,
  IngredientsService,
} from './modules/ingredients/index.ts';
import { LabelsService } from './modules/labels/index.ts';
import { MeasuredYieldsService } from './modules/measured-yields/index.ts';
import { MenusService } from './modules/menus/index.ts';
import { NightWorkService } from './modules/night-work/index.ts';
import { createParLevelsServices } from './modules/par-levels/index.ts';
import { createOrdersServices } from './modules/orders/index.ts';
import { PreOrdersService } from './modules/pre-orders/index.ts';
import {
  DayListsService,
  PrepService,
  PrepViewsService,
  RemediesService,
  TaskWorkService,
} from './modules/prep/index.ts';
import { RatesService } from './modules/rates/index.ts';
import {
  RecipesExchangeService,
  RecipesService,
  VersionsService,
} from './modules/recipes/index.ts';
import { SafetyOverviewService, SafetyService } from './modules/safety/index.ts';
import { SiteOverridesService } from './modules/site-overrides/index.ts';
import { SitesService } from './modules/sites/index.ts';
import { StockChangesService, StockService } from './modules/stock/index.ts';
import {
  PackBody,
  PackPriceBody,
  PacksImportService,
  PriceListsService,
  SuppliersService,
} from './modules/suppliers/index.ts';
import { createSupplyTermsServices } from './modules/supply-terms/index.ts';
import { TracingService } from './modules/tracing/index.ts';
import { WasteExpectationsService } from './modules/waste-expectations/index.ts';
import type { Clock, NewId } from './modules/platform/index.ts';
import type { Database } from './persistence/database.ts';
import type { Calculator } from './workers/calculator.ts';
import { createDayListsRepository, createDoor } from './persistence/door.ts';
import { createUnitOfWork } from './persistence/repositories.ts';
import { createArgon2Hasher } from './security/argon2-hasher.ts';
import { createSecrets } from './security/secrets.ts';

/** What the services are told besides the database. */
export interface ServiceSettings {
  readonly secureCookies: boolean;
  /** Computes beside the thread that answers requests; left out: in it. */
  readonly calculator?: Pick<Calculator, 'planSite' | 'solver'>;
}

/** Makes every service over one database. Add a new module's service here. */
export function composeServices(
  database: Database,
  clock: Clock,
  newId: NewId,
  settings: ServiceSettings = { secureCookies: false },
): Services {
  const work = createUnitOfWork(database, newId);
  const base = { work, clock, newId };
  const security = { hasher: createArgon2Hasher(), secrets: createSecrets(), ...settings };
  const recipes = new RecipesService(base);
  const versions = new VersionsService(base);
  const forecasts = createForecastsServices(base);
  const { calculator } = settings;
  const solver = calculator?.solver ?? highsSolver();
  const prepBase = {
    ...base,
    solver,
    planSite:
      calculator?.planSite ??
      ((input: SitePlanInput, effort: PlanEffort = 'choose') =>
        planWithEffort(input, effort, solver)),
  };
  const prep = new PrepService(prepBase);
  const orders = createOrdersServices({ ...base, solver });
  return {
    access: createAccessServices({ ...base, ...security, door: createDoor(database) }),
    afterwards: new AfterwardsService(base),
    availability: new AvailabilityService(base),
    backtests: new BacktestsService(base),
    cards: new CardsService({ ...base, recipes, versions }),
    carrying: new CarryingService(base),
    covers: new CoversService(base, forecasts.refresh),
    coversImport: new CoversImportService(base, forecasts.refresh),
    dayLists: new DayListsService({ ...base, kept: createDayListsRepository(database) }),
    dishes: createDishesServices(base),
    forecasts,
    ingredients: new IngredientsService(base),
    ingredientsImport: new IngredientsImportService(base, checkBy(IngredientBody)),
    labels: new LabelsService(base),
    measuredYields: new MeasuredYieldsService(base),
    menus: new MenusService(base),
    parLevels: createParLevelsServices(base),
    ...orders,
    nightWork: new NightWorkService({
      ...base,
      forecasts: forecasts.refresh,
      prep,
      orders: orders.orders,
    }),
    preOrders: new PreOrdersService(base),
    prep,
    productions: new ProductionsService(base),
    prepViews: new PrepViewsService(base, prep),
    remedies: new RemediesService(prepBase, prep),
    rates: new RatesService(base),
    recipes,
    recipesExchange: new RecipesExchangeService(base),
    safety: new SafetyService(base),
    safetyOverview: new SafetyOverviewService(base),
    siteOverrides: new SiteOverridesService(base),
    wasteExpectations: new WasteExpectationsService(base),
    sites: new SitesService(base),
    taskWork: new TaskWorkService(base),
    stock: new StockService(base),
    stockChanges: new StockChangesService(base),
    packsImport: new PacksImportService(base, {
      pack: checkBy(PackBody),
      price: checkBy(PackPriceBody),
    }),
    priceLists: new PriceListsService(base),
    suppliers: new SuppliersService(base),
    supplyTerms: createSupplyTermsServices(base),
    tracing: new TracingService(base),
    transferRoutes: new TransferRoutesService(base),
    transfers: new TransfersService(base),
    versions,
  };
}
