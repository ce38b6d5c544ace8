import type { CoreError } from '../shared/errors.ts';
import { coreError } from '../shared/errors.ts';
import type { BatchLimits, Item, RecipeDef, RecipeGraphLimits } from './recipe.ts';
import { MAX_YIELD_FRACTION } from './recipe.ts';

type Path = readonly (string | number)[];

/** The first thing wrong with the items or the recipes taken one by one; undefined when all is well. */
export function findRecipeFault(
  items: readonly Item[],
  recipes: readonly RecipeDef[],
  limits: RecipeGraphLimits,
): CoreError | undefined {
  const byId = new Map<string, Item>();
  for (const [index, item] of items.entries()) {
    if (byId.has(item.id)) {
      return coreError('out-of-range', `The item ${item.name} is given twice.`, {
        path: ['items', index, 'id'],
        detail: { itemId: item.id },
      });
    }
    byId.set(item.id, item);
  }
  const made = new Set<string>();
  const available = new Set(recipes.flatMap((recipe) => recipe.outputs.map((o) => o.itemId)));
  for (const [index, recipe] of recipes.entries()) {
    const path: Path = ['recipes', index];
    const item = byId.get(recipe.itemId);
    if (item === undefined) return unknownItem(recipe.itemId, 'A recipe', [...path, 'itemId']);
    if (item.kind === 'ingredient') {
      return coreError('out-of-range', `${item.name} is an ingredient and cannot have a recipe.`, {
        path: [...path, 'itemId'],
        detail: { itemId: item.id },
      });
    }
    if (made.has(item.id)) {
      return coreError('out-of-range', `${item.name} has two recipes for the same date.`, {
        path: [...path, 'itemId'],
        detail: { itemId: item.id, versionId: recipe.versionId },
      });
    }
    made.add(item.id);
    const fault =
      outputFault(recipe, item, byId, path) ??
      lineFault(recipe, item, byId, available, limits, path) ??
      limitFault(recipe.batchLimits, item, path);
    if (fault !== undefined) return fault;
  }
  return undefined;
}

function outputFault(
  recipe: RecipeDef,
  item: Item,
  byId: ReadonlyMap<string, Item>,
  path: Path,
): CoreError | undefined {
  const mains = recipe.outputs.filter((output) => output.main);
  if (mains.length !== 1 || mains[0]?.itemId !== recipe.itemId) {
    return coreError(
      'out-of-range',
      `The recipe for ${item.name} needs one main output, and that is ${item.name}.`,
      { path: [...path, 'outputs'], detail: { itemId: item.id, mainOutputs: mains.length } },
    );
  }
  const seen = new Set<string>();
  for (const [index, output] of recipe.outputs.entries()) {
    const at: Path = [...path, 'outputs', index];
    const made = byId.get(output.itemId);
    if (made === undefined) return unknownItem(output.itemId, item.name, [...at, 'itemId']);
    if (seen.has(output.itemId)) {
      return coreError('out-of-range', `${item.name} gives ${made.name} twice in one recipe.`, {
        path: at,
        detail: { itemId: output.itemId },
      });
    }
    seen.add(output.itemId);
    if (!(output.quantity > 0 && Number.isFinite(output.quantity))) {
      return outOfRange(
        `What a batch of ${item.name} gives of ${made.name} must be above zero.`,
        [...at, 'quantity'],
        output.quantity,
        made.baseUnit,
      );
    }
    const life = output.shelfLifeMin;
    if (life !== undefined && !(life > 0 && Number.isFinite(life))) {
      return outOfRange(
        `The shelf life of ${made.name} must be above zero.`,
        [...at, 'shelfLifeMin'],
        life,
        'min',
      );
    }
  }
  return undefined;
}

function lineFault(
  recipe: RecipeDef,
  item: Item,
  byId: ReadonlyMap<string, Item>,
  available: ReadonlySet<string>,
  limits: RecipeGraphLimits,
  path: Path,
): CoreError | undefined {
  if (recipe.lines.length > limits.maximumLinesPerRecipe) {
    return coreError('too-large', `The recipe for ${item.name} has too many lines.`, {
      path: [...path, 'lines'],
      detail: { lines: recipe.lines.length, maximum: limits.maximumLinesPerRecipe },
    });
  }
  const seen = new Set<string>();
  for (const [index, line] of recipe.lines.entries()) {
    const at: Path = [...path, 'lines', index];
    const child = byId.get(line.itemId);
    if (child === undefined) return unknownItem(line.itemId, item.name, [...at, 'itemId']);
    if (child.kind !== 'ingredient' && !available.has(child.id)) {
      return coreError(
        'missing-component',
        `${item.name} uses ${child.name}, which has no published recipe for the date.`,
        { path: [...at, 'itemId'], detail: { itemId: child.id, usedBy: item.id } },
      );
    }
    if (seen.has(line.id)) {
      return coreError('out-of-range', `Two lines of ${item.name} share an id.`, {
        path: [...at, 'id'],
        detail: { lineId: line.id },
      });
    }
    seen.add(line.id);
    if (!(line.quantity > 0 && Number.isFinite(line.quantity))) {
      return outOfRange(
        `The amount of ${child.name} in ${item.name} must be above zero.`,
        [...at, 'quantity'],
        line.quantity,
        child.baseUnit,
      );
    }
    if (!(line.yieldFraction > 0 && line.yieldFraction <= MAX_YIELD_FRACTION)) {
      return outOfRange(
        `The yield of ${child.name} in ${item.name} must be above 0 and at most ${MAX_YIELD_FRACTION}.`,
        [...at, 'yieldFraction'],
        line.yieldFraction,
        'fraction',
      );
    }
  }
  return undefined;
}

function limitFault(
  limits: BatchLimits | undefined,
  item: Item,
  path: Path,
): CoreError | undefined {
  if (limits === undefined) return undefined;
  const at: Path = [...path, 'batchLimits'];
  const { stepBatches, minimumBatches, maximumBatches } = limits;
  const largest = maximumBatches ?? Infinity;
  for (const [name, value] of Object.entries({ stepBatches, minimumBatches })) {
    if (!(value > 0 && Number.isFinite(value))) {
      return outOfRange(
        `The batch sizes of ${item.name} must be above zero.`,
        [...at, name],
        value,
        'batches',
      );
    }
  }
  // The smallest permitted making is the first step at or above the minimum.
  const smallest = Math.ceil(minimumBatches / stepBatches - 1e-9) * stepBatches;
  if (!(largest >= smallest * (1 - 1e-9))) {
    return outOfRange(
      `No batch of ${item.name} fits: the largest batch is below the smallest permitted.`,
      [...at, 'maximumBatches'],
      largest,
      'batches',
    );
  }
  return undefined;
}

function unknownItem(itemId: string, usedBy: string, path: Path): CoreError {
  return coreError('missing-component', `${usedBy} names ${itemId}, which is not known.`, {
    path,
    detail: { itemId },
  });
}

function outOfRange(message: string, path: Path, value: number, unit: string): CoreError {
  return coreError('out-of-range', message, { path, detail: { value, unit } });
}
