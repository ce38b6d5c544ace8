import type { PlanPiecePart, PlanVersion } from '../../core/planning/index.ts';
import type { Item } from '../../core/recipe-graph/index.ts';
import { plannedShelfLifeMin, ruleSetOf, type RuleSet } from '../../core/safety/index.ts';
import type { PlanningData, VersionRow } from './planning-data.ports.ts';

/** Everything recipes name, as the core's items. */
export function itemsOf(data: PlanningData): readonly Item[] {
  return [
    ...data.recipes.map(({ id, kind, name, baseUnit }) => ({ id, kind, name, baseUnit })),
    ...data.ingredients.map(({ id, name, baseUnit }) => ({
      id,
      kind: 'ingredient' as const,
      name,
      baseUnit,
    })),
  ];
}

/**
 * Published versions as the core plans with them. A line's yield is its own trim × cooking; an
 * ingredient's standard trim yield stands in where the line names none. No shelf life is longer than
 * the rule set of the site allows.
 */
export function versionsOf(data: PlanningData): readonly PlanVersion[] {
  const trimOf = trimYields(data);
  const rules = ruleSetOf(data.site.ruleSet);
  return data.versions.map((row) => toPlanVersion(row, trimOf, rules));
}

/** What is kept of a line: its own trim × cooking, with the ingredient's standard trim by default. */
export function lineYield(
  line: VersionRow['lines'][number],
  trimOf: ReadonlyMap<string, number>,
): number {
  return (line.trimYield ?? trimOf.get(line.ingredientId ?? '') ?? 1) * (line.cookingYield ?? 1);
}

/** The standard trim yield of every ingredient. */
export function trimYields(data: PlanningData): ReadonlyMap<string, number> {
  return new Map(data.ingredients.map((row) => [row.id, row.trimYield]));
}

function toPlanVersion(
  row: VersionRow,
  trimOf: ReadonlyMap<string, number>,
  rules: RuleSet,
): PlanVersion {
  return {
    versionId: row.versionId,
    versionNumber: row.versionNumber,
    itemId: row.recipeId,
    station: row.station,
    firstServiceDate: row.firstServiceDate,
    shelfLifeMin: plannedShelfLifeMin(row.shelfLifeMin, row.storage, rules),
    cautions: row.cautions,
    steps: row.steps.map((step) => ({
      id: step.id,
      workingMin: step.workingMin,
      waitingMin: step.waitingMin,
      ...(step.holdMaxMin === null ? {} : { holdMaxMin: step.holdMaxMin }),
      ...(step.temperatureC === null ? {} : { temperatureC: step.temperatureC }),
      ...(step.equipmentKind === null
        ? {}
        : { equipment: { kind: step.equipmentKind, amount: step.equipmentAmount ?? 1 } }),
    })),
    recipe: {
      itemId: row.recipeId,
      versionId: row.versionId,
      outputs: [
        { itemId: row.recipeId, quantity: row.outputQuantity, main: true },
        ...row.byProducts.map((by) => ({
          itemId: by.componentId,
          quantity: by.quantity,
          main: false,
          mayStartBatch: by.mayStartBatch,
          shelfLifeMin: plannedShelfLifeMin(by.shelfLifeMin, by.storage, rules),
        })),
      ],
      lines: row.lines.map((line) => ({
        id: line.id,
        itemId: line.ingredientId ?? line.componentId ?? '',
        quantity: line.quantity,
        yieldFraction: lineYield(line, trimOf),
        perBatch: line.perBatch,
      })),
      batchLimits: {
        stepBatches: row.batchMultiple,
        minimumBatches: row.batchMin,
        ...(row.batchMax === null ? {} : { maximumBatches: row.batchMax }),
      },
    },
  };
}

/** Which ingredients are parts of a bought piece, and how much of each a piece gives. */
export function piecePartsOf(data: PlanningData): readonly PlanPiecePart[] {
  const byId = new Map(data.ingredients.map((row) => [row.id, row]));
  return data.ingredients.flatMap((row) => {
    const piece = row.partOfId === null ? undefined : byId.get(row.partOfId);
    if (!piece || row.partYield === null || piece.pieceMassG === null) return [];
    return [
      {
        itemId: row.id,
        pieceItemId: piece.id,
        pieceMassG: piece.pieceMassG,
        group: row.partGroup ?? row.name,
        yieldPerPiece: row.partYield,
        keepsDays: row.shelfLifeDays ?? 0,
      },
    ];
  });
}
