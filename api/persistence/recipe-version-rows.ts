import type { YieldStep } from '../core/yields/index.ts';
import type {
  LineFreedom,
  RecipeVersion,
  StepFreedom,
  Storage,
  VersionStatus,
  VersionToSave,
} from '../modules/recipes/index.ts';
import type {
  RecipeByProduct as ByProductRow,
  RecipeLine as LineRow,
  RecipeStep as StepRow,
  RecipeVersion as VersionRow,
} from './generated/client.ts';
import { toOptionalDate } from './row-values.ts';

/** What is read with a version. */
export const withContents = {
  lines: { orderBy: { position: 'asc' } },
  steps: { orderBy: { position: 'asc' } },
  byProducts: { orderBy: { id: 'asc' } },
} as const;

type Row = VersionRow & {
  readonly lines: readonly LineRow[];
  readonly steps: readonly StepRow[];
  readonly byProducts: readonly ByProductRow[];
};

/** A version with its lines, steps and by-products. */
export function toVersion(row: Row): RecipeVersion {
  return {
    id: row.id,
    recipeId: row.recipeId,
    number: row.number,
    status: row.status as VersionStatus,
    firstServiceDate: toOptionalDate(row.firstServiceDate),
    withdrawnFrom: toOptionalDate(row.withdrawnFrom),
    output: {
      amount: { value: row.outputValue, unit: row.outputUnit },
      quantity: row.outputQuantity,
    },
    pieceMassG: row.pieceMassG,
    densityGPerMl: row.densityGPerMl,
    batch: { min: row.batchMin, max: row.batchMax, multiple: row.batchMultiple },
    shelfLifeMin: row.shelfLifeMin,
    storage: row.storage as Storage,
    cautions: row.cautions,
    note: row.note,
    lines: row.lines.map((line) => ({
      id: line.id,
      ingredientId: line.ingredientId,
      componentId: line.componentId,
      amount: { value: line.value, unit: line.unit },
      quantity: line.quantity,
      trimYield: line.trimYield,
      cookingYield: line.cookingYield,
      perBatch: line.perBatch,
      scaleStep: line.scaleStep,
      yields: (line.yields ?? []) as unknown as readonly YieldStep[],
      siteMay: line.siteMay as readonly LineFreedom[],
      note: line.note,
    })),
    steps: row.steps.map((step) => ({
      id: step.id,
      text: step.text,
      kind: step.kind,
      workingMin: step.workingMin,
      waitingMin: step.waitingMin,
      equipment:
        step.equipmentKind === null
          ? null
          : { kind: step.equipmentKind, amount: step.equipmentAmount ?? 1 },
      temperatureC: step.temperatureC,
      holdMaxMin: step.holdMaxMin,
      cooling: step.cooling,
      yields: (step.yields ?? []) as unknown as readonly YieldStep[],
      siteMay: step.siteMay as readonly StepFreedom[],
    })),
    byProducts: row.byProducts.map((byProduct) => ({
      id: byProduct.id,
      componentId: byProduct.componentId,
      amount: { value: byProduct.value, unit: byProduct.unit },
      quantity: byProduct.quantity,
      shelfLifeMin: byProduct.shelfLifeMin,
      storage: byProduct.storage as Storage,
      mayStartBatch: byProduct.mayStartBatch,
    })),
    createdBy: row.createdBy,
    createdAt: row.createdAt,
    submittedBy: row.submittedBy,
    submittedAt: row.submittedAt,
    publishedBy: row.publishedBy,
    publishedAt: row.publishedAt,
    rev: row.rev,
  };
}

/** The columns of a version itself. */
export function versionColumns(version: VersionToSave) {
  return {
    outputValue: version.output.amount.value,
    outputUnit: version.output.amount.unit,
    outputQuantity: version.output.quantity,
    pieceMassG: version.pieceMassG,
    densityGPerMl: version.densityGPerMl,
    batchMin: version.batch.min,
    batchMax: version.batch.max,
    batchMultiple: version.batch.multiple,
    shelfLifeMin: version.shelfLifeMin,
    storage: version.storage,
    cautions: [...version.cautions],
    note: version.note,
  };
}
