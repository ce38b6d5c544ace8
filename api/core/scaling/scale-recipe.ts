import { MAX_BASE_AMOUNT, checkRange } from '../quantity/index.ts';
import type { BaseUnit } from '../quantity/index.ts';
import { coreError } from '../shared/errors.ts';
import { allResults, err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { planBatches } from './batch-plan.ts';
import type { BatchGroup, BatchRule } from './batch-plan.ts';
import { roundLines } from './round-lines.ts';
import type { RoundedLine } from './round-lines.ts';
import { countVessels, planLoads } from './vessels.ts';
import type { LoadPlan, LoadRule, VesselCount, VesselRule } from './vessels.ts';

/** A line of the written recipe, in its base unit. */
export interface ScalableLine {
  readonly id: string;
  readonly amountBase: number;
  readonly baseUnit: BaseUnit;
  /** The same in every batch whatever its size: a cinnamon stick, oil for the tin. */
  readonly perBatch?: boolean;
  /** What the scale shows, in the base unit; absent: not rounded. */
  readonly scaleStep?: number;
}

/** A written recipe as far as scaling goes. */
export interface RecipeToScale {
  readonly lines: readonly ScalableLine[];
  /** What the written amounts yield, in the yield unit of the recipe. */
  readonly baseYield: number;
  readonly batches: BatchRule;
  readonly vessel?: VesselRule;
  readonly loads?: readonly LoadRule[];
  /** Largest change of a line's share that rounding may make; 0.02 (2 %) when absent. */
  readonly ratioTolerance?: number;
}

/** What is asked for. */
export type ScaleRequest =
  | { readonly kind: 'yield'; readonly amountBase: number }
  | { readonly kind: 'factor'; readonly factor: number }
  /** Whole moulds or trays of the recipe's vessel. */
  | { readonly kind: 'vessels'; readonly count: number }
  /** As much as a line's amount at hand allows: rounded down to a permitted size. */
  | { readonly kind: 'from-line'; readonly lineId: string; readonly amountBase: number };

/** One card: batches of the same size, the weights of one of them, its moulds and loads. */
export interface BatchCard extends BatchGroup {
  readonly yieldBase: number;
  readonly lines: readonly RoundedLine[];
  readonly vessels?: VesselCount;
  readonly loads: readonly LoadPlan[];
}

/** A scaled recipe. */
export interface ScaledRecipe {
  readonly requestedYieldBase: number;
  readonly totalYieldBase: number;
  readonly batchCount: number;
  readonly cards: readonly BatchCard[];
  /** Amounts over all batches, as rounded on the cards. */
  readonly totals: readonly { readonly id: string; readonly amountBase: number }[];
  /** Lines whose rounding changes their share more than the tolerance, over all cards. */
  readonly outsideTolerance: readonly string[];
  readonly ratioTolerance: number;
}

/** The usual tolerance of a line's share. */
export const RATIO_TOLERANCE = 0.02;
/** The most lines one recipe may have. */
export const MAX_LINES = 10_000;

/**
 * Scales a recipe to what is asked, in batches of permitted size (planBatches), each with rounded
 * weights (roundLines), moulds and loads. Lines scale with the size of the batch, per-batch lines with the
 * number of batches only.
 * Errors: `out-of-range` for bad amounts, yields, steps or rules (the path points at the line),
 * `too-large` for more than 10 000 lines, `infeasible` when no batch size fits, `missing-data` for a
 * request by a line or vessel that the recipe does not have.
 */
export function scaleRecipe(recipe: RecipeToScale, request: ScaleRequest): Result<ScaledRecipe> {
  const checked = checkRecipe(recipe);
  if (!checked.ok) return checked;
  const factor = factorOf(recipe, request);
  if (!factor.ok) return factor;
  const groups = planBatches(factor.value, recipe.batches);
  if (!groups.ok) return groups;
  const tolerance = recipe.ratioTolerance ?? RATIO_TOLERANCE;
  const cards = allResults(groups.value.map((group) => cardFor(recipe, group, tolerance)));
  if (!cards.ok) return cards;
  const totals = recipe.lines.map((line, index) => ({
    id: line.id,
    amountBase: cards.value.reduce(
      (sum, card) => sum + card.count * (card.lines[index]?.amount ?? 0),
      0,
    ),
  }));
  const outside = cards.value.flatMap((card) =>
    card.lines.filter((line) => !line.insideTolerance).map((line) => line.id),
  );
  return ok({
    requestedYieldBase: factor.value * recipe.baseYield,
    totalYieldBase: cards.value.reduce((sum, card) => sum + card.count * card.yieldBase, 0),
    batchCount: cards.value.reduce((sum, card) => sum + card.count, 0),
    cards: cards.value,
    totals,
    outsideTolerance: [...new Set(outside)],
    ratioTolerance: tolerance,
  });
}

function cardFor(recipe: RecipeToScale, group: BatchGroup, tolerance: number): Result<BatchCard> {
  const yieldBase = recipe.baseYield * group.factor;
  const lines = roundLines(
    recipe.lines.map((line) => ({
      id: line.id,
      exact: line.perBatch === true ? line.amountBase : line.amountBase * group.factor,
      baseUnit: line.baseUnit,
      ...(line.scaleStep === undefined || line.perBatch === true
        ? {}
        : { scaleStep: line.scaleStep }),
    })),
    tolerance,
  );
  const vessels = recipe.vessel === undefined ? undefined : countVessels(yieldBase, recipe.vessel);
  if (vessels !== undefined && !vessels.ok) return vessels;
  const loads = allResults(
    (recipe.loads ?? []).map((rule) => planLoads(yieldBase, rule, vessels?.value)),
  );
  if (!loads.ok) return loads;
  return ok({
    ...group,
    yieldBase,
    lines,
    ...(vessels === undefined ? {} : { vessels: vessels.value }),
    loads: loads.value,
  });
}

function factorOf(recipe: RecipeToScale, request: ScaleRequest): Result<number> {
  switch (request.kind) {
    case 'factor':
      return checkRange(request.factor, 'How often the recipe is made', 0, 1e9, { above: true });
    case 'yield': {
      const amount = checkRange(request.amountBase, 'The amount asked for', 0, MAX_BASE_AMOUNT, {
        above: true,
      });
      return amount.ok ? ok(amount.value / recipe.baseYield) : amount;
    }
    case 'vessels': {
      if (recipe.vessel === undefined) {
        return err(coreError('missing-data', 'The recipe names no mould or tray.'));
      }
      const count = checkRange(request.count, `The number of ${recipe.vessel.name}`, 0, 1e6, {
        above: true,
      });
      return count.ok ? ok((count.value * recipe.vessel.fillBase) / recipe.baseYield) : count;
    }
    case 'from-line':
      return factorFromLine(recipe, request.lineId, request.amountBase);
  }
}

/** The largest permitted factor that needs no more of the line than is at hand. */
function factorFromLine(recipe: RecipeToScale, lineId: string, atHand: number): Result<number> {
  const line = recipe.lines.find((candidate) => candidate.id === lineId);
  if (line === undefined || line.perBatch === true || line.amountBase === 0) {
    return err(
      coreError('missing-data', `The recipe has no line '${lineId}' that scales.`, {
        detail: { lineId },
      }),
    );
  }
  const amount = checkRange(atHand, 'The amount at hand', 0, MAX_BASE_AMOUNT, { above: true });
  if (!amount.ok) return amount;
  const { multiple, min } = recipe.batches;
  const steps = Math.floor(amount.value / line.amountBase / multiple + 1e-9);
  const factor = Number((steps * multiple).toPrecision(14));
  if (factor > 0 && factor >= min) return ok(factor);
  return err(
    coreError('infeasible', 'What is at hand is less than the smallest batch needs.', {
      detail: { atHand, needed: Math.max(min, multiple) * line.amountBase },
    }),
  );
}

function checkRecipe(recipe: RecipeToScale): Result<unknown> {
  if (recipe.lines.length > MAX_LINES) {
    return err(
      coreError('too-large', `A recipe may have ${MAX_LINES} lines, not ${recipe.lines.length}.`),
    );
  }
  const baseYield = checkRange(recipe.baseYield, 'The yield of a recipe', 0, MAX_BASE_AMOUNT, {
    above: true,
    path: ['baseYield'],
  });
  if (!baseYield.ok) return baseYield;
  const tolerance = checkRange(recipe.ratioTolerance ?? RATIO_TOLERANCE, 'The tolerance', 0, 1, {
    above: true,
    path: ['ratioTolerance'],
  });
  if (!tolerance.ok) return tolerance;
  for (const [index, line] of recipe.lines.entries()) {
    const amount = checkRange(line.amountBase, 'The amount of a line', 0, MAX_BASE_AMOUNT, {
      path: ['lines', index, 'amountBase'],
    });
    if (!amount.ok) return amount;
    if (line.scaleStep === undefined) continue;
    const step = checkRange(line.scaleStep, "A scale's step", 0, 1e6, {
      above: true,
      path: ['lines', index, 'scaleStep'],
    });
    if (!step.ok) return step;
  }
  return ok(undefined);
}
