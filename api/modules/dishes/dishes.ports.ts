import type { IngredientsRepository } from '../ingredients/index.ts';
import type { MenusRepository } from '../menus/index.ts';
import type { RatesRepository } from '../rates/index.ts';
import type { RecipesRepository, SiteOverridesRead } from '../recipes/index.ts';
import type { SitesRepository } from '../sites/index.ts';
import type { WasteRead } from '../waste-expectations/index.ts';
import type { SuppliersRepository } from '../suppliers/index.ts';

/** What cost, allergens and nutrition of dishes are worked out from. Nothing here is written. */
export interface DishesRead {
  readonly recipes: RecipesRepository;
  readonly siteOverrides: SiteOverridesRead;
  readonly ingredients: IngredientsRepository;
  readonly suppliers: SuppliersRepository;
  readonly menus: MenusRepository;
  readonly sites: SitesRepository;
  readonly rates: RatesRepository;
  readonly waste: WasteRead;
}
