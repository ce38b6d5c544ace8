import { parseAmount, type IngredientMeasures } from '../../core/quantity/index.ts';
import { planBatches } from '../../core/scaling/index.ts';
import { chainYields } from '../../core/yields/index.ts';
import { measuresOf, toBaseOrRefuse } from '../ingredients/index.ts';
import { fromCoreError, invalid, orRefuse, Refusal } from '../platform/index.ts';
import type { Larder } from './larder.ts';
import { lineYields } from './line-yields.ts';
import type {
  LineFields,
  Recipe,
  VersionInput,
  VersionToSave,
  WrittenAmount,
} from './recipes.ports.ts';

const UNWEIGHED = { pieceMassG: null, densityGPerMl: null };

/** How amounts of a recipe's output convert. */
export function recipeMeasures(
  recipe: Recipe,
  version: Pick<VersionInput, 'pieceMassG' | 'densityGPerMl'> = UNWEIGHED,
): IngredientMeasures {
  return {
    name: recipe.name,
    baseUnit: recipe.baseUnit,
    ...(version.densityGPerMl === null ? {} : { densityGPerMl: version.densityGPerMl }),
    ...(version.pieceMassG === null ? {} : { pieceMassG: version.pieceMassG }),
    household: [],
  };
}

/**
 * Reads a draft: amounts become base units, and everything named must be there.
 * @throws Refusal with a pointer into the draft: `unknown-unit` at /lines/3/amount/unit, `no-density`
 *         at /lines/3/amount, `unreadable-amount`, `out-of-range`, `missing-ingredient`,
 *         `missing-component`, `infeasible` for batch sizes that none fits
 */
export function readVersion(recipe: Recipe, input: VersionInput, larder: Larder): VersionToSave {
  const rule = {
    min: input.batch.min,
    multiple: input.batch.multiple,
    ...(input.batch.max === null ? {} : { max: input.batch.max }),
  };
  orRefuse(planBatches(1, rule), '/batch');
  const output = weigh(input.output, recipeMeasures(recipe, input), '/output');
  const lines = input.lines.map((line, i) => ({
    ...line,
    ...lineYields(line, `/lines/${i}`),
    ...weigh(line.amount, lineMeasures(recipe, line, larder, `/lines/${i}`), `/lines/${i}/amount`),
  }));
  for (const [i, step] of input.steps.entries()) {
    orRefuse(chainYields(step.yields), `/steps/${i}/yields`);
  }
  const seen = new Set<string>([recipe.id]);
  const byProducts = input.byProducts.map((byProduct, i) => {
    const at = `/byProducts/${i}`;
    const component = componentOf(byProduct.componentId, larder, `${at}/componentId`);
    if (seen.has(component.id)) {
      throw invalid(`${at}/componentId`, `${component.name} is an output of this recipe already.`);
    }
    seen.add(component.id);
    const measures = recipeMeasures(component, larder.newest.get(component.id));
    return { ...byProduct, ...weigh(byProduct.amount, measures, `${at}/amount`) };
  });
  return { ...input, output, lines, byProducts };
}

/** A saved version as a person would write it again. */
export function toInput(version: VersionToSave): VersionInput {
  return {
    pieceMassG: version.pieceMassG,
    densityGPerMl: version.densityGPerMl,
    batch: version.batch,
    shelfLifeMin: version.shelfLifeMin,
    storage: version.storage,
    cautions: version.cautions,
    note: version.note,
    output: version.output.amount,
    lines: version.lines.map((line) => ({
      ingredientId: line.ingredientId,
      componentId: line.componentId,
      // A chain is read into the two fractions anew.
      ...(line.yields.length === 0
        ? { trimYield: line.trimYield, cookingYield: line.cookingYield }
        : { trimYield: null, cookingYield: null }),
      yields: line.yields,
      siteMay: line.siteMay,
      perBatch: line.perBatch,
      scaleStep: line.scaleStep,
      note: line.note,
      amount: line.amount,
    })),
    steps: version.steps.map((step) => ({
      text: step.text,
      kind: step.kind,
      workingMin: step.workingMin,
      waitingMin: step.waitingMin,
      equipment: step.equipment,
      temperatureC: step.temperatureC,
      holdMaxMin: step.holdMaxMin,
      cooling: step.cooling,
      yields: step.yields,
      siteMay: step.siteMay,
    })),
    byProducts: version.byProducts.map((byProduct) => ({
      componentId: byProduct.componentId,
      shelfLifeMin: byProduct.shelfLifeMin,
      storage: byProduct.storage,
      mayStartBatch: byProduct.mayStartBatch,
      amount: byProduct.amount,
    })),
  };
}

function weigh(written: WrittenAmount, measures: IngredientMeasures, pointer: string) {
  if (typeof written !== 'string') {
    return {
      amount: { value: written.value, unit: written.unit },
      quantity: toBaseOrRefuse(written, measures, pointer),
    };
  }
  const { value, unit } = readText(written, measures, pointer);
  try {
    return {
      amount: { value, unit },
      quantity: toBaseOrRefuse({ value, unit }, measures, pointer),
    };
  } catch (error) {
    if (!(error instanceof Refusal) || error.kind !== 'unknown-unit') throw error;
    // A text has no members to point into: the unit begins at its first letter.
    throw new Refusal(error.kind, error.message, {
      issues: [{ pointer, message: error.message }],
      detail: { ...error.detail, position: Math.max(0, written.search(/\p{L}/u)) },
    });
  }
}

function readText(text: string, measures: IngredientMeasures, pointer: string) {
  const parsed = parseAmount(text, { measures: measures.household.map(({ name }) => name) });
  if (!parsed.ok) throw fromCoreError(parsed.error, pointer);
  return parsed.value;
}

function lineMeasures(
  recipe: Recipe,
  line: LineFields,
  larder: Larder,
  at: string,
): IngredientMeasures {
  if (line.ingredientId !== null && line.componentId === null) {
    const ingredient = larder.ingredients.get(line.ingredientId);
    if (ingredient && !ingredient.archived) return measuresOf(ingredient);
    const message = ingredient
      ? `${ingredient.name} is archived.`
      : `There is no ingredient ${line.ingredientId}.`;
    throw new Refusal('missing-ingredient', message, {
      issues: [{ pointer: `${at}/ingredientId`, message }],
    });
  }
  if (line.componentId !== null && line.ingredientId === null) {
    const component = componentOf(line.componentId, larder, `${at}/componentId`);
    if (component.id === recipe.id) {
      const message = `A recipe cannot contain itself: ${recipe.name} → ${recipe.name}.`;
      throw new Refusal('recipe-cycle', message, {
        issues: [{ pointer: `${at}/componentId`, message }],
        detail: { names: [recipe.name, recipe.name], itemIds: [recipe.id, recipe.id] },
      });
    }
    return recipeMeasures(component, larder.newest.get(component.id));
  }
  throw invalid(at, 'A line names either an ingredient or a component.');
}

function componentOf(id: string, larder: Larder, pointer: string): Recipe {
  const component = larder.recipes.get(id);
  if (component && !component.archived && component.kind === 'component') return component;
  const message = !component
    ? `There is no component ${id}.`
    : component.archived
      ? `${component.name} is archived.`
      : `${component.name} is a dish; dishes are plated, not put into recipes.`;
  throw new Refusal('missing-component', message, { issues: [{ pointer, message }] });
}
