import type { PlanPiecePart, PlanVersion } from '../../core/planning/index.ts';
import type { Item } from '../../core/recipe-graph/index.ts';
import { plannedShelfLifeMin, ruleSetOf, type RuleSet } from '../../core/safety/index.ts';
import {
  isAllowed,
  lineKeys,
  overrideDates,
  versionAtSite,
  type SiteOverride,
} from '../recipes/index.ts';
import { planSteps } from './plan-capacity.ts';
import type { PlanningData, VersionRow } from './planning-data.ports.ts';
import type { PrepTask } from './prep.ports.ts';

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
  return data.versions.flatMap((row) =>
    stretchesOf(row, data.overrides).map(({ stretch, applied, cut }) => {
      const version = toPlanVersion(stretch, { trimOf, rules, applied, keys: lineKeys(row.lines) });
      return cut ? { ...version, stretchFrom: stretch.firstServiceDate } : version;
    }),
  );
}

/** A version as the site makes it, over the dates on which that stays the same. */
interface Stretch {
  readonly stretch: VersionRow;
  readonly applied: readonly SiteOverride[];
  /** Whether there are several. */
  readonly cut: boolean;
}

function stretchesOf(row: VersionRow, overrides: readonly SiteOverride[]): readonly Stretch[] {
  const own = overrides.filter((one) => one.recipeId === row.recipeId && isAllowed(row, one));
  const dates = [row.firstServiceDate, ...overrideDates(own, row.firstServiceDate)];
  return dates.map((date) => {
    const { version, applied } = versionAtSite(row, own, date);
    return {
      stretch: { ...version, firstServiceDate: date },
      applied,
      cut: dates.length > 1 || applied.length > 0,
    };
  });
}

/** The version a task is made by, as the site makes it for the service the task is first needed for. */
export function taskVersion(
  data: PlanningData,
  task: Pick<PrepTask, 'versionId' | 'neededFor' | 'makeDate'>,
): VersionRow | undefined {
  const row = data.versions.find((version) => version.versionId === task.versionId);
  const serviceDate = task.neededFor[0]?.serviceDate ?? task.makeDate;
  return row && versionAtSite(row, data.overrides, serviceDate).version;
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
  at: {
    readonly trimOf: ReadonlyMap<string, number>;
    readonly rules: RuleSet;
    readonly applied: readonly SiteOverride[];
    /** Of the group's own lines: a local ingredient would be found by another key. */
    readonly keys: readonly string[];
  },
): PlanVersion {
  const { trimOf, rules, applied, keys } = at;
  const noteOf = (key: string | undefined) =>
    applied
      .filter(({ targetKey }) => targetKey === key)
      .map(({ label, reason }) => `this site’s own, in place of ${label}: ${reason}`);
  return {
    versionId: row.versionId,
    versionNumber: row.versionNumber,
    itemId: row.recipeId,
    station: row.station,
    firstServiceDate: row.firstServiceDate,
    shelfLifeMin: plannedShelfLifeMin(row.shelfLifeMin, row.storage, rules),
    cautions: row.cautions,
    steps: planSteps(row.steps),
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
      lines: row.lines.map((line, i) => ({
        ...(noteOf(keys[i]).length === 0 ? {} : { note: noteOf(keys[i]).join('; ') }),
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
