import type { PublishedRecipes } from './recipes.ports.ts';
import type { OverrideKind, SiteOverride } from './site-override.ports.ts';
import { lineKeys, stepKeys } from './targets.ts';

interface LineLike {
  readonly ingredientId: string | null;
  readonly componentId: string | null;
  readonly trimYield: number | null;
  readonly cookingYield: number | null;
  readonly siteMay: readonly string[];
}
interface StepLike {
  readonly text: string;
  readonly temperatureC: number | null;
  readonly workingMin: number;
  readonly waitingMin: number;
  readonly siteMay: readonly string[];
}
interface VersionLike {
  readonly recipeId: string;
  readonly lines: readonly LineLike[];
  readonly steps: readonly StepLike[];
}

/** Whether an override is in force on a service date, leave of the version aside. */
export function holdsOn(override: SiteOverride, date: string): boolean {
  const { status, fromDate, endsBefore } = override;
  return status === 'standing' && fromDate <= date && (endsBefore === null || date < endsBefore);
}

/** Whether a version lets a site do this, and still has the line or step. */
export function isAllowed(
  version: VersionLike,
  { what, targetKey }: Pick<SiteOverride, 'what' | 'targetKey'>,
): boolean {
  if (isOfLine(what)) {
    return (
      version.lines[lineKeys(version.lines).indexOf(targetKey)]?.siteMay.includes(what) ?? false
    );
  }
  return version.steps[stepKeys(version.steps).indexOf(targetKey)]?.siteMay.includes(what) ?? false;
}

/** Whether a kind of override is of a line; the others are of a step. */
export function isOfLine(what: OverrideKind): boolean {
  return what === 'ingredient' || what === 'yield';
}

/**
 * A version as one site makes it on a date: what the version does not allow, or no longer has, stays
 * as the group's recipe says.
 * @returns the version and the overrides that took hold in it
 */
export function versionAtSite<V extends VersionLike>(
  version: V,
  overrides: readonly SiteOverride[],
  date: string,
): { readonly version: V; readonly applied: readonly SiteOverride[] } {
  const applied = overrides.filter(
    (override) =>
      override.recipeId === version.recipeId &&
      holdsOn(override, date) &&
      isAllowed(version, override),
  );
  if (applied.length === 0) return { version, applied };
  const lineKey = lineKeys(version.lines);
  const stepKey = stepKeys(version.steps);
  const of = (key: string | undefined) => applied.filter(({ targetKey }) => targetKey === key);
  return {
    version: {
      ...version,
      lines: version.lines.map((line, i) => of(lineKey[i]).reduce(lineAtSite, line)),
      steps: version.steps.map((step, i) => of(stepKey[i]).reduce(stepAtSite, step)),
    },
    applied,
  };
}

function lineAtSite<L extends LineLike>(line: L, override: SiteOverride): L {
  if (override.what === 'ingredient') return { ...line, ingredientId: override.ingredientId };
  return {
    ...line,
    trimYield: override.trimYield ?? line.trimYield,
    cookingYield: override.cookingYield ?? line.cookingYield,
    // The chain told of other fractions.
    yields: [],
  };
}

function stepAtSite<S extends StepLike>(step: S, override: SiteOverride): S {
  if (override.what === 'temperature') return { ...step, temperatureC: override.temperatureC };
  return {
    ...step,
    workingMin: override.workingMin ?? step.workingMin,
    waitingMin: override.waitingMin ?? step.waitingMin,
  };
}

/** All recipes as one site makes them on a date. `overrides` are the site's. */
export function recipesAtSite(
  published: PublishedRecipes,
  overrides: readonly SiteOverride[],
  date: string,
): PublishedRecipes {
  if (!overrides.some((override) => holdsOn(override, date))) return published;
  return {
    recipes: published.recipes,
    versions: published.versions.map((one) => versionAtSite(one, overrides, date).version),
  };
}

/** Service dates after `from` on which what holds at a site changes. */
export function overrideDates(overrides: readonly SiteOverride[], from: string): readonly string[] {
  const dates = overrides
    .filter(({ status }) => status === 'standing')
    .flatMap(({ fromDate, endsBefore }) => [fromDate, endsBefore ?? from])
    .filter((date) => date > from);
  return [...new Set(dates)].sort();
}
