import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { accessRoutes, type AccessServices } from './access/index.ts';
import { afterwardsRoutes, type AfterwardsService } from './afterwards/index.ts';
import {
  productionsRoutes,
  transferRoutesRoutes,
  transfersRoutes,
  type CarryingService,
  type ProductionsService,
  type TransferRoutesService,
  type TransfersService,
} from './central-production/index.ts';
import { cardsRoutes, type CardsService } from './cards/index.ts';
import {
  coversEventsRoutes,
  coversImportRoutes,
  coversRoutes,
  type CoversImportService,
  type CoversService,
} from './covers/index.ts';
import { availabilityRoutes, type AvailabilityService } from './availability/index.ts';
import { backtestsRoutes, type BacktestsService } from './backtests/index.ts';
import { dishesRoutes, type DishesServices } from './dishes/index.ts';
import { forecastsRoutes, type ForecastsServices } from './forecasts/index.ts';
import {
  ingredientsImportRoutes,
  ingredientsRoutes,
  type IngredientsImportService,
  type IngredientsService,
} from './ingredients/index.ts';
import { labelsRoutes, type LabelsService } from './labels/index.ts';
import { measuredYieldsRoutes, type MeasuredYieldsService } from './measured-yields/index.ts';
import { menusRoutes, type MenusService } from './menus/index.ts';
import { nightWorkRoutes, type NightWorkService } from './night-work/index.ts';
import { parLevelsRoutes, type ParLevelsServices } from './par-levels/index.ts';
import { ordersModuleRoutes, type OrdersServices } from './orders/index.ts';
import { preOrdersRoutes, type PreOrdersService } from './pre-orders/index.ts';
import {
  placeDecisionsRoutes,
  prepRoutes,
  prepViewsRoutes,
  remediesRoutes,
  type DayListsService,
  type PrepService,
  type PrepViewsService,
  type RemediesService,
  type TaskWorkService,
} from './prep/index.ts';
import { ratesRoutes, type RatesService } from './rates/index.ts';
import {
  recipesExchangeRoutes,
  recipesRoutes,
  versionMovesRoutes,
  versionsRoutes,
  type RecipesExchangeService,
  type RecipesService,
  type VersionsService,
} from './recipes/index.ts';
import { safetyRoutes, type SafetyOverviewService, type SafetyService } from './safety/index.ts';
import { siteOverridesRoutes, type SiteOverridesService } from './site-overrides/index.ts';
import {
  wasteExpectationsRoutes,
  type WasteExpectationsService,
} from './waste-expectations/index.ts';
import { sitesRoutes, type SitesService } from './sites/index.ts';
import {
  stockChangesRoutes,
  stockRoutes,
  type StockChangesService,
  type StockService,
} from './stock/index.ts';
import {
  packsImportRoutes,
  packsRoutes,
  priceListsRoutes,
  suppliersRoutes,
  type PacksImportService,
  type PriceListsService,
  type SuppliersService,
} from './suppliers/index.ts';
import { supplyTermsRoutes, type SupplyTermsServices } from './supply-terms/index.ts';
import { tracingRoutes, type TracingService } from './tracing/index.ts';

/** The use cases behind /v1. Add a new module's service here and its routes below. */
export interface Services extends OrdersServices {
  readonly access: AccessServices;
  readonly afterwards: AfterwardsService;
  readonly availability: AvailabilityService;
  readonly backtests: BacktestsService;
  readonly cards: CardsService;
  readonly carrying: CarryingService;
  readonly covers: CoversService;
  readonly dayLists: DayListsService;
  readonly coversImport: CoversImportService;
  readonly dishes: DishesServices;
  readonly forecasts: ForecastsServices;
  readonly ingredients: IngredientsService;
  readonly ingredientsImport: IngredientsImportService;
  readonly labels: LabelsService;
  readonly measuredYields: MeasuredYieldsService;
  readonly menus: MenusService;
  readonly nightWork: NightWorkService;
  readonly parLevels: ParLevelsServices;
  readonly preOrders: PreOrdersService;
  readonly prep: PrepService;
  readonly priceLists: PriceListsService;
  readonly productions: ProductionsService;
  readonly prepViews: PrepViewsService;
  readonly remedies: RemediesService;
  readonly rates: RatesService;
  readonly recipes: RecipesService;
  readonly recipesExchange: RecipesExchangeService;
  readonly safety: SafetyService;
  readonly safetyOverview: SafetyOverviewService;
  readonly siteOverrides: SiteOverridesService;
  readonly wasteExpectations: WasteExpectationsService;
  readonly sites: SitesService;
  readonly taskWork: TaskWorkService;
  readonly stock: StockService;
  readonly stockChanges: StockChangesService;
  readonly packsImport: PacksImportService;
  readonly suppliers: SuppliersService;
  readonly supplyTerms: SupplyTermsServices;
  readonly tracing: TracingService;
  readonly transferRoutes: TransferRoutesService;
  readonly transfers: TransfersService;
  readonly versions: VersionsService;
}

/** The routes of every module, in the order they appear in the OpenAPI document. */
export function moduleRoutes(services: Services): readonly FastifyPluginAsyncZod[] {
  return [
    accessRoutes(services.access),
    ...ordersModuleRoutes(services),
    prepRoutes(services.prep, services.dayLists, services.taskWork),
    prepViewsRoutes(services.prepViews),
    remediesRoutes(services.remedies),
    productionsRoutes(services.productions),
    placeDecisionsRoutes(services.prep, services.productions),
    transferRoutesRoutes(services.transferRoutes),
    transfersRoutes(services.transfers, services.carrying),
    sitesRoutes(services.sites),
    ingredientsRoutes(services.ingredients),
    ingredientsImportRoutes(services.ingredientsImport),
    suppliersRoutes(services.suppliers),
    packsRoutes(services.suppliers),
    packsImportRoutes(services.packsImport),
    priceListsRoutes(services.priceLists),
    supplyTermsRoutes(services.supplyTerms),
    availabilityRoutes(services.availability),
    recipesRoutes(services.recipes),
    versionsRoutes(services.versions, services.recipes),
    cardsRoutes(services.cards),
    versionMovesRoutes(services.versions),
    recipesExchangeRoutes(services.recipesExchange, services.recipes, services.versions),
    measuredYieldsRoutes(services.measuredYields),
    siteOverridesRoutes(services.siteOverrides),
    wasteExpectationsRoutes(services.wasteExpectations),
    menusRoutes(services.menus),
    dishesRoutes(services.dishes),
    ratesRoutes(services.rates),
    coversRoutes(services.covers),
    coversEventsRoutes(services.covers),
    coversImportRoutes(services.coversImport),
    preOrdersRoutes(services.preOrders),
    forecastsRoutes(services.forecasts),
    backtestsRoutes(services.backtests),
    parLevelsRoutes(services.parLevels),
    nightWorkRoutes(services.nightWork),
    stockRoutes(services.stock),
    stockChangesRoutes(services.stockChanges, services.stock),
    safetyRoutes(services.safety, services.safetyOverview),
    labelsRoutes(services.labels),
    tracingRoutes(services.tracing),
    afterwardsRoutes(services.afterwards),
  ];
}
