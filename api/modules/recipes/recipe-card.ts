import {
  adjustForFan,
  dimensionOfBase,
  displayAmount,
  findUnit,
  formatAmount,
  type BaseUnit,
} from '../../core/quantity/index.ts';
import { scaleRecipe, type BatchCard } from '../../core/scaling/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { RecipeVersion } from './recipes.ports.ts';
import type { NamedVersion } from './versions.service.ts';

export interface CardAmount {
  /** In the base unit, as the scale shows it. */
  readonly quantity: number;
  readonly baseUnit: BaseUnit;
  /** For reading: '1.25 kg'. */
  readonly text: string;
}

export interface CardLine {
  readonly itemId: string;
  readonly name: string;
  readonly kind: 'ingredient' | 'component';
  readonly amount: CardAmount;
  /** Scaled in the unit the recipe was written in, where that is another: '3 sheets'. */
  readonly asWritten: string | null;
  readonly perBatch: boolean;
  /** Too small for the usual scale: weigh it on a finer one. */
  readonly finerScale: boolean;
  readonly note: string | null;
}

export interface CardStep {
  readonly text: string;
  readonly kind: string;
  /** For the batch as written; a smaller or larger batch may take less or more. */
  readonly workingMin: number;
  readonly waitingMin: number;
  readonly temperatureC: number | null;
  /** How an oven is set for a bake, with its fan and without; null for other steps. */
  readonly oven: { readonly fanC: number; readonly stillC: number } | null;
  readonly equipment: { readonly kind: string; readonly amount: number } | null;
  readonly holdMaxMin: number | null;
  readonly cooling: boolean;
}

/** Batches of one size: how many, and the weights of one of them. */
export interface CardBatch {
  readonly count: number;
  /** Size in batches as written. */
  readonly batches: number;
  readonly gives: CardAmount;
  readonly lines: readonly CardLine[];
  readonly steps: readonly CardStep[];
}

/** A recipe scaled to some batches, for the bench. */
export interface RecipeCard {
  readonly versionId: string;
  readonly versionNumber: number;
  readonly status: string;
  readonly firstServiceDate: string | null;
  readonly recipeId: string;
  readonly name: string;
  readonly station: string;
  readonly requestedBatches: number;
  /** Sizes one making may have, in batches as written. */
  readonly batchSizes: {
    readonly min: number;
    readonly max: number | null;
    readonly multiple: number;
  };
  readonly gives: CardAmount;
  readonly byProducts: readonly { readonly name: string; readonly amount: CardAmount }[];
  readonly batches: readonly CardBatch[];
  readonly storage: string;
  readonly shelfLifeMin: number;
  readonly cautions: readonly string[];
  readonly note: string | null;
  readonly notice: string;
}

const NOTICE =
  'Times are for the batch as written. Cooling, storage and allergen rules of your area and your own checks come first.';

/**
 * A version scaled to a number of batches, in batches of permitted size with weights the scale can
 * show (core/scaling).
 * @throws Refusal `out-of-range` or `infeasible` pointing at the number of batches
 */
export function recipeCard({ version, recipe, items }: NamedVersion, batches: number): RecipeCard {
  const scaled = orRefuse(
    scaleRecipe(
      {
        baseYield: version.output.quantity,
        batches: {
          min: version.batch.min,
          multiple: version.batch.multiple,
          ...(version.batch.max === null ? {} : { max: version.batch.max }),
        },
        lines: version.lines.map((line) => ({
          id: line.id,
          amountBase: line.quantity,
          baseUnit: unitOf(items, line.ingredientId ?? line.componentId),
          perBatch: line.perBatch,
          ...(line.scaleStep === null ? {} : { scaleStep: line.scaleStep }),
        })),
      },
      { kind: 'factor', factor: batches },
    ),
    '/querystring/batches',
  );
  const made = scaled.totalYieldBase / version.output.quantity;
  return {
    versionId: version.id,
    versionNumber: version.number,
    status: version.status,
    firstServiceDate: version.firstServiceDate,
    recipeId: recipe.id,
    name: recipe.name,
    station: recipe.station,
    requestedBatches: batches,
    batchSizes: version.batch,
    gives: amountOf(scaled.totalYieldBase, recipe.baseUnit),
    byProducts: version.byProducts.map((byProduct) => ({
      name: items.get(byProduct.componentId)?.name ?? byProduct.componentId,
      amount: amountOf(byProduct.quantity * made, unitOf(items, byProduct.componentId)),
    })),
    batches: scaled.cards.map((card) => batchOf(card, version, recipe.baseUnit, items)),
    storage: version.storage,
    shelfLifeMin: version.shelfLifeMin,
    cautions: version.cautions,
    note: version.note,
    notice: NOTICE,
  };
}

function batchOf(
  card: BatchCard,
  version: RecipeVersion,
  baseUnit: BaseUnit,
  items: NamedVersion['items'],
): CardBatch {
  return {
    count: card.count,
    batches: card.factor,
    gives: amountOf(card.yieldBase, baseUnit),
    lines: version.lines.map((line, index) => {
      const itemId = line.ingredientId ?? line.componentId ?? '';
      const factor = line.perBatch ? 1 : card.factor;
      return {
        itemId,
        name: items.get(itemId)?.name ?? itemId,
        kind: line.ingredientId === null ? ('component' as const) : ('ingredient' as const),
        amount: amountOf(card.lines[index]?.amount ?? 0, unitOf(items, itemId)),
        asWritten: asWritten(line.amount, factor, unitOf(items, itemId)),
        perBatch: line.perBatch,
        finerScale: card.lines[index]?.finerScale ?? false,
        note: line.note,
      };
    }),
    steps: version.steps.map(({ equipment, ...step }) => ({
      text: step.text,
      kind: step.kind,
      workingMin: step.workingMin,
      waitingMin: step.waitingMin,
      temperatureC: step.temperatureC,
      oven: ovenFor(step),
      equipment: equipment && {
        kind: equipment.kind,
        amount: equipmentFor(equipment.amount, card.factor),
      },
      holdMaxMin: step.holdMaxMin,
      cooling: step.cooling,
    })),
  };
}

/** Bakes are written for a fan oven, as kitchens have them. Common practice, no source. */
const WRITTEN_FOR = 'fan';

function ovenFor({
  kind,
  temperatureC,
}: Pick<RecipeVersion['steps'][number], 'kind' | 'temperatureC'>): CardStep['oven'] {
  if (kind !== 'bake' || temperatureC === null) return null;
  const fan = adjustForFan(temperatureC, WRITTEN_FOR, 'fan');
  const still = adjustForFan(temperatureC, WRITTEN_FOR, 'still');
  return fan.ok && still.ok ? { fanC: fan.value, stillC: still.value } : null;
}

function amountOf(quantity: number, baseUnit: BaseUnit): CardAmount {
  return { quantity, baseUnit, text: displayAmount(quantity, baseUnit).text };
}

const METRIC = new Set(['g', 'kg', 'mg', 'mL', 'L', 'cL', 'dL', '{each}']);

/** Null where the amount in base units says it already: grams for grams, litres for millilitres. */
function asWritten(
  amount: { readonly value: number; readonly unit: string },
  factor: number,
  baseUnit: BaseUnit,
): string | null {
  const unit = findUnit(amount.unit);
  if (unit && METRIC.has(unit.code) && unit.dimension === dimensionOfBase(baseUnit)) return null;
  const value = Number((amount.value * factor).toPrecision(4));
  return formatAmount({ value, unit: amount.unit });
}

/** In proportion; whole trays and moulds stay whole, parts of a machine stay parts. */
function equipmentFor(amount: number, factor: number): number {
  const scaled = Number((amount * factor).toPrecision(12));
  return Number.isInteger(amount) ? Math.ceil(scaled) : scaled;
}

function unitOf(items: NamedVersion['items'], itemId: string | null): BaseUnit {
  return (items.get(itemId ?? '')?.baseUnit ?? 'g') as BaseUnit;
}
