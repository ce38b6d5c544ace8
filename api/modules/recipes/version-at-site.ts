import { notFound, requireSite, type Actor } from '../platform/index.ts';
import { versionAtSite } from './at-site.ts';
import type { RecipesWork, RecipeVersion } from './recipes.ports.ts';
import { siteChangeWords } from './site-change-words.ts';

/** What a site does otherwise, as its card says it. */
export interface SiteChange {
  readonly overrideId: string;
  readonly what: string;
  readonly text: string;
  readonly reason: string;
  readonly fromDate: string;
  readonly endsBefore: string | null;
}

/** A version as a site makes it on a date, with what is other than in the group's recipe. */
export interface VersionAtSite {
  readonly version: RecipeVersion;
  readonly changes: readonly SiteChange[];
}

/** @throws Refusal `forbidden` for a site that is not one of the actor's */
export async function readVersionAtSite(
  read: Pick<RecipesWork, 'recipes' | 'ingredients' | 'siteOverrides'>,
  actor: Actor,
  version: RecipeVersion,
  siteId: string,
  date: string,
): Promise<VersionAtSite> {
  requireSite(actor, siteId);
  const overrides = await read.siteOverrides.standing(siteId);
  const own = versionAtSite(version, overrides, date);
  if (own.applied.length === 0) return { version, changes: [] };
  const recipe = await read.recipes.find(version.recipeId);
  if (!recipe) throw notFound('recipe', version.recipeId);
  const ids = [...version.lines, ...own.version.lines].flatMap(
    ({ ingredientId }) => ingredientId ?? [],
  );
  const names = new Map((await read.ingredients.findMany(ids)).map((item) => [item.id, item]));
  return {
    version: own.version,
    changes: own.applied.map((override) => ({
      overrideId: override.id,
      what: override.what,
      text: siteChangeWords(override, version, names),
      reason: override.reason,
      fromDate: override.fromDate,
      endsBefore: override.endsBefore,
    })),
  };
}
