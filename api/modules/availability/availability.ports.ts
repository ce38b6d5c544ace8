import type { ForecastsRepository } from '../forecasts/index.ts';
import type { IngredientsRepository } from '../ingredients/index.ts';
import type { MenusRepository } from '../menus/index.ts';
import type { RatesRepository } from '../rates/index.ts';
import type { RecipesRepository, SiteOverridesRead } from '../recipes/index.ts';
import type { SitesRepository } from '../sites/index.ts';
import type { SuppliersRepository } from '../suppliers/index.ts';
import type { SupplyTermsRepository } from '../supply-terms/index.ts';

/** What it is worked out from whether a menu can be served. Nothing here is written. */
export interface AvailabilityRead {
  readonly sites: SitesRepository;
  readonly menus: Pick<MenusRepository, 'activeLines'>;
  readonly recipes: Pick<RecipesRepository, 'publishedGraphRows'>;
  readonly siteOverrides: SiteOverridesRead;
  readonly ingredients: IngredientsRepository;
  readonly suppliers: SuppliersRepository;
  readonly supplyTerms: Pick<SupplyTermsRepository, 'gaps' | 'substitutesOf'>;
  readonly forecasts: Pick<ForecastsRepository, 'newest'>;
  readonly rates: RatesRepository;
}
