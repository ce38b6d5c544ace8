import type { EnergyFactor } from './energy.ts';
import type { LabelFigure } from './label-rounding.ts';
import { labelEnergy, labelGrams } from './label-rounding.ts';
import type { Nutrient, NutrientAmounts } from './nutrients.ts';
import type { NutritionFigures } from './recipe-nutrition.ts';

/** To be shown with every declaration. */
export const NUTRITION_NOTICE =
  'Calculated from recipe weights and published averages, not analysed. Losses, batches and ' +
  'suppliers differ; for packed goods local food law and a competent person decide.';

/** A row of the declaration; a figure is null where something it needs is not known. */
export interface NutritionRow {
  readonly id: 'energy' | Nutrient;
  readonly label: string;
  /** 'of which' rows stand under the row before. */
  readonly ofWhich: boolean;
  readonly per100g: LabelFigure | null;
  readonly perPortion: LabelFigure | null;
  /** Part of an adult's reference intake in a portion, as a fraction; null where unknown or none is set. */
  readonly referenceIntakeFraction: number | null;
  /** Ingredients that keep the figure from being known. */
  readonly missingItemIds: readonly string[];
}

export interface NutritionTable {
  readonly itemId: string;
  readonly status: 'complete' | 'incomplete';
  readonly portionMassG: number | null;
  readonly rows: readonly NutritionRow[];
  readonly notice: string;
}

type Supplement = 'monounsaturates' | 'polyunsaturates' | 'polyols' | 'starch' | 'fibre';

interface RowPlan {
  readonly id: Nutrient;
  readonly label: string;
  readonly ofWhich?: true;
}

/** Source: order of Annex XV to Regulation (EU) 1169/2011; the supplements are voluntary. */
const ROWS: readonly RowPlan[] = [
  { id: 'fat', label: 'Fat' },
  { id: 'saturates', label: 'of which saturates', ofWhich: true },
  { id: 'monounsaturates', label: 'of which mono-unsaturates', ofWhich: true },
  { id: 'polyunsaturates', label: 'of which polyunsaturates', ofWhich: true },
  { id: 'carbohydrate', label: 'Carbohydrate' },
  { id: 'sugars', label: 'of which sugars', ofWhich: true },
  { id: 'polyols', label: 'of which polyols', ofWhich: true },
  { id: 'starch', label: 'of which starch', ofWhich: true },
  { id: 'fibre', label: 'Fibre' },
  { id: 'protein', label: 'Protein' },
  { id: 'salt', label: 'Salt' },
];
const MANDATORY: readonly Nutrient[] = [
  'fat',
  'saturates',
  'carbohydrate',
  'sugars',
  'protein',
  'salt',
];
const ENERGY_CARRIERS: readonly Nutrient[] = ['fat', 'carbohydrate', 'fibre', 'protein'];

/**
 * Reference intakes of an average adult. Source: Annex XIII, part B, of Regulation (EU) 1169/2011;
 * 8 400 kJ as quoted in FSA training material, the grams from memory.
 */
export const REFERENCE_INTAKES = {
  energyKJ: 8400,
  fat: 70,
  saturates: 20,
  carbohydrate: 260,
  sugars: 90,
  protein: 50,
  salt: 6,
} as const;

/**
 * The nutrition declaration in the order of the law, rounded by the guidance, per 100 g and per
 * portion (one base unit). Missing stays missing.
 */
export function nutritionTable(
  figures: NutritionFigures,
  supplements: readonly Supplement[] = [],
): NutritionTable {
  const wanted = new Set<Nutrient>([...MANDATORY, ...supplements]);
  const missingFor = (names: readonly Nutrient[]): string[] => [
    ...new Set(figures.missing.filter((m) => names.includes(m.nutrient)).flatMap((m) => m.itemIds)),
  ];
  const energy: NutritionRow = {
    id: 'energy',
    label: 'Energy',
    ofWhich: false,
    per100g: energyFigure(figures.energyPer100g),
    perPortion: energyFigure(figures.energyPerUnit),
    referenceIntakeFraction:
      figures.energyPerUnit === null ? null : figures.energyPerUnit.kJ / REFERENCE_INTAKES.energyKJ,
    missingItemIds: missingFor(ENERGY_CARRIERS),
  };
  const rows = ROWS.filter((row) => wanted.has(row.id)).map(
    ({ id, label, ofWhich }): NutritionRow => ({
      id,
      label,
      ofWhich: ofWhich ?? false,
      per100g: gramsFigure(id, figures.per100g),
      perPortion: gramsFigure(id, figures.perUnit),
      referenceIntakeFraction: intakeFraction(id, figures.perUnit[id]),
      missingItemIds: missingFor([id]),
    }),
  );
  const all = [energy, ...rows];
  return {
    itemId: figures.itemId,
    status: all.every((row) => row.per100g !== null) ? 'complete' : 'incomplete',
    portionMassG: figures.unitMassG,
    rows: all,
    notice: NUTRITION_NOTICE,
  };
}

function energyFigure(energy: EnergyFactor | null): LabelFigure | null {
  if (energy === null) return null;
  const label = labelEnergy(energy);
  return { value: label.kJ, text: label.text };
}

function gramsFigure(id: Nutrient, amounts: NutrientAmounts | null): LabelFigure | null {
  const grams = amounts?.[id] ?? null;
  return grams === null ? null : labelGrams(id, grams);
}

function intakeFraction(id: Nutrient, grams: number | null): number | null {
  const intakes: Readonly<Partial<Record<Nutrient, number>>> = REFERENCE_INTAKES;
  const intake = intakes[id];
  return grams === null || intake === undefined ? null : grams / intake;
}
