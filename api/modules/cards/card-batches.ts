import {
  gelatineCautions,
  gelatineLine,
  mixOf,
  recipeBalance,
  type BalanceSection,
  type GelatineLine,
  type MixBook,
} from '../../core/balance/index.ts';
import { planLoads } from '../../core/scaling/index.ts';
import type { SettingCaution } from '../../core/setting/index.ts';
import type { Kitchen } from '../dishes/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { CardBatch, CardStep, RecipeCard, RecipeVersion } from '../recipes/index.ts';
import type { Equipment } from '../sites/index.ts';
import { gelatineKept, mixBookOf, mixRecipeOf } from './card-book.ts';

/** How a step's trays, moulds or shelves go round when the site has fewer than it asks for. */
export interface StepLoads {
  readonly available: number;
  /** Loads of equal size, larger ones first; one load where everything fits. */
  readonly loads: readonly { readonly count: number; readonly amount: number }[];
}

export interface BenchStep extends CardStep {
  /** Null without a site, and for a step that takes no equipment. */
  readonly atSite: StepLoads | null;
}

/** What goes in and what is left of it. */
export interface BatchMass {
  /** Null where a line has no known weight; it is named then. */
  readonly inG: number | null;
  readonly outG: number | null;
  readonly keptFraction: number | null;
  readonly noMass: readonly string[];
}

export interface BenchBatch extends Omit<CardBatch, 'steps'> {
  readonly steps: readonly BenchStep[];
  readonly mass: BatchMass | null;
  readonly gelatine: readonly GelatineLine[];
  readonly balance: readonly BalanceSection[];
}

/**
 * The batches of a card with mass, gelatine, balance and loads.
 * @param kitchen   null where the recipes do not hold together: those figures are then left out
 * @param equipment of the site; null without one
 */
export function benchBatches(
  card: RecipeCard,
  version: RecipeVersion,
  kitchen: Kitchen | null,
  equipment: readonly Equipment[] | null,
): { readonly batches: readonly BenchBatch[]; readonly cautions: readonly SettingCaution[] } {
  const book = kitchen && mixBookOf(kitchen);
  const cautions = book && kitchen ? settingCautionsOf(version, kitchen, book) : [];
  const batches = card.batches.map((batch): BenchBatch => {
    const steps = batch.steps.map((step) => ({ ...step, atSite: loadsOf(step, equipment) }));
    if (!kitchen || !book) return { ...batch, steps, mass: null, gelatine: [], balance: [] };
    const recipe = {
      ...mixRecipeOf(version, kitchen, batch.batches),
      // Balanced as the card weighs it, to the step of the scale.
      lines: batch.lines.map(({ itemId, amount }) => ({ itemId, quantity: amount.quantity })),
    };
    const gelatine = gelatineOf(batch, kitchen);
    return {
      ...batch,
      steps,
      mass: massOf(recipe, book),
      gelatine,
      balance: recipeBalance(
        {
          ...recipe,
          kind: kitchen.graph.items.get(version.recipeId)?.kind === 'dish' ? 'dish' : 'component',
          storage: version.storage,
          holdsGelatine: gelatine.length > 0,
        },
        book,
      ),
    };
  });
  return { batches, cautions };
}

function massOf(recipe: ReturnType<typeof mixRecipeOf>, book: MixBook): BatchMass {
  const { noMass, lineMassesG } = mixOf(recipe.lines, book);
  const weighed = lineMassesG.reduce<number>((sum, massG) => sum + (massG ?? 0), 0);
  const inG = noMass.length > 0 ? null : weighed;
  const outG = recipe.outputMassG;
  return {
    inG,
    outG,
    keptFraction: inG !== null && inG > 0 && outG !== null ? outG / inG : null,
    noMass,
  };
}

function gelatineOf({ lines }: CardBatch, kitchen: Kitchen): readonly GelatineLine[] {
  const kept = gelatineKept(kitchen.ingredients.values());
  return lines.flatMap(({ itemId, amount }) => {
    const row = kitchen.ingredients.get(itemId);
    const massPer = kitchen.massPerBaseUnit(itemId);
    if (!row?.gelatine || massPer === undefined) return [];
    const { bloom, sheetMassG } = row.gelatine;
    const own = { itemId, name: row.name, bloom, sheetMassG };
    const found = gelatineLine(own, amount.quantity * massPer, kept);
    return found.ok ? [found.value] : [];
  });
}

function settingCautionsOf(
  version: RecipeVersion,
  kitchen: Kitchen,
  book: MixBook,
): readonly SettingCaution[] {
  const recipe = mixRecipeOf(version, kitchen);
  if (!setsWithGelatine(recipe.lines, kitchen, [version.recipeId])) return [];
  return gelatineCautions(recipe, mixOf(recipe.lines, book), book);
}

/** Whether gelatine is among the lines, or in a component of theirs. */
function setsWithGelatine(
  lines: readonly { readonly itemId: string }[],
  kitchen: Kitchen,
  above: readonly string[],
): boolean {
  return lines.some(({ itemId }) => {
    if (kitchen.ingredients.get(itemId)?.gelatine) return true;
    const inside = kitchen.inForce.get(itemId);
    if (!inside || above.includes(itemId)) return false;
    return setsWithGelatine(mixRecipeOf(inside, kitchen).lines, kitchen, [...above, itemId]);
  });
}

function loadsOf(
  { equipment: use }: CardStep,
  equipment: readonly Equipment[] | null,
): StepLoads | null {
  if (use === null || equipment === null) return null;
  const available = equipment
    .filter((one) => one.kind === use.kind)
    .reduce((sum, one) => sum + one.units, 0);
  if (available === 0) return { available, loads: [] };
  if (use.amount <= available) return { available, loads: [{ count: 1, amount: use.amount }] };
  const { groups } = orRefuse(
    planLoads(
      use.amount,
      { name: use.kind, holdsVessels: available },
      { name: use.kind, count: Math.ceil(use.amount), lastFilledFraction: 1, rounds: 1 },
    ),
  );
  return {
    available,
    loads: groups
      .filter(({ count }) => count > 0)
      .map(({ count, vessels = 1 }) => ({ count, amount: vessels })),
  };
}
