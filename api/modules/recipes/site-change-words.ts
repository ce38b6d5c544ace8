import type { RecipeVersion } from './recipes.ports.ts';
import type { SiteOverride } from './site-override.ports.ts';
import { lineKeys, stepKeys } from './targets.ts';
import { inDuration, inPercent } from './words.ts';

/**
 * What an override does, as it is said on the card of its site: 'Valley cream in place of Whipping
 * cream', 'at 165 °C instead of 180 °C'.
 * @param version the group's, before the override
 */
export function siteChangeWords(
  override: SiteOverride,
  version: Pick<RecipeVersion, 'lines' | 'steps'>,
  names: ReadonlyMap<string, { readonly name: string }>,
): string {
  const line = version.lines[lineKeys(version.lines).indexOf(override.targetKey)];
  const step = version.steps[stepKeys(version.steps).indexOf(override.targetKey)];
  const nameOf = (id: string | null | undefined): string => names.get(id ?? '')?.name ?? id ?? '';
  switch (override.what) {
    case 'ingredient':
      return `${nameOf(override.ingredientId)} in place of ${line ? nameOf(line.ingredientId) : override.label}.`;
    case 'yield':
      return `${override.label}: ${[
        override.trimYield === null ? '' : `${inPercent(override.trimYield)} left when trimmed`,
        override.cookingYield === null
          ? ''
          : `${inPercent(override.cookingYield)} left when cooked`,
      ]
        .filter((text) => text !== '')
        .join(', ')}.`;
    case 'temperature':
      return `${override.label}: at ${override.temperatureC} °C instead of ${
        typeof step?.temperatureC === 'number' ? `${step.temperatureC} °C` : 'no stated temperature'
      }.`;
    case 'time':
      return `${override.label}: ${[
        override.workingMin === null ? '' : `${inDuration(override.workingMin)} of work`,
        override.waitingMin === null ? '' : `waits ${inDuration(override.waitingMin)}`,
      ]
        .filter((text) => text !== '')
        .join(', ')}.`;
  }
}
