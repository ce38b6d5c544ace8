import type { CentralProductionRepository } from '../central-production/index.ts';
import type { IngredientsRepository } from '../ingredients/index.ts';
import type { AuditTrail } from '../platform/index.ts';
import type { OverrideKind, RecipesRepository, SiteOverridesRepository } from '../recipes/index.ts';
import type { SitesRepository } from '../sites/index.ts';

/** What a person at a site wants to do otherwise. */
export interface OverrideInput {
  readonly recipeId: string;
  readonly what: OverrideKind;
  /** Of the version in force on the first date; exactly one, by `what`. */
  readonly lineId: string | null;
  readonly stepId: string | null;
  readonly ingredientId: string | null;
  readonly trimYield: number | null;
  readonly cookingYield: number | null;
  readonly temperatureC: number | null;
  readonly workingMin: number | null;
  readonly waitingMin: number | null;
  readonly fromDate: string;
  readonly endsBefore: string | null;
  readonly reason: string;
}

/** The repositories the service works with, inside one transaction. */
export interface SiteOverridesWork {
  readonly siteOverrides: SiteOverridesRepository;
  readonly centralProduction: Pick<CentralProductionRepository, 'productions'>;
  readonly recipes: RecipesRepository;
  readonly ingredients: IngredientsRepository;
  readonly sites: SitesRepository;
  readonly audit: AuditTrail;
}
