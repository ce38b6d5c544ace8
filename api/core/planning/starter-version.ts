import type { VersionsByDate } from './item-order.ts';
import type { PlanVersion } from './plan-input.ts';

/**
 * The recipe that may be started for the sake of a by-product, seen from the by-product: it is the
 * main output, and the recipe's own item is what is left over.
 *
 * @returns undefined where no recipe in force on the date gives the item with the lead's leave to
 *          start a batch for it
 */
export function starterVersion(
  itemId: string,
  serviceDate: string,
  versions: readonly PlanVersion[],
  byDate: VersionsByDate,
): PlanVersion | undefined {
  const starter = versions.find(
    (version) =>
      byDate.on(version.itemId, serviceDate) === version &&
      version.recipe.outputs.some(
        (output) => output.itemId === itemId && !output.main && output.mayStartBatch === true,
      ),
  );
  if (!starter) return undefined;
  return cached(starter, itemId);
}

const swapped = new WeakMap<PlanVersion, Map<string, PlanVersion>>();

/** One object per version and by-product, so that needs of one kind fall into one group. */
function cached(starter: PlanVersion, itemId: string): PlanVersion {
  const known = swapped.get(starter) ?? new Map<string, PlanVersion>();
  swapped.set(starter, known);
  const present = known.get(itemId);
  if (present) return present;
  const own = starter.recipe.outputs.find((output) => output.main);
  const wanted = starter.recipe.outputs.find((output) => output.itemId === itemId);
  const version: PlanVersion = {
    ...starter,
    itemId,
    shelfLifeMin: wanted?.shelfLifeMin ?? starter.shelfLifeMin,
    recipe: {
      ...starter.recipe,
      itemId,
      outputs: starter.recipe.outputs.map((output) => ({
        ...output,
        main: output.itemId === itemId,
      })),
    },
    ...(own ? { madeAs: { itemId: own.itemId, quantityPerBatch: own.quantity } } : {}),
  };
  known.set(itemId, version);
  return version;
}
