import { bakersPercentages, type DoughLine } from '../dough/index.ts';
import { known, notKnown, type BalanceSection, type FigureShape } from './figures.ts';
import { makeupOf } from './makeup.ts';
import { isHeated, mixOf, type MixBook, type MixLine } from './mix.ts';

const METHOD =
  "baker's percentages: each weight per 100 of all flour; the water flour itself holds is not counted";
const SHAPES = {
  flour: shape('flour', 'Flour', 'g', 0),
  total: shape('total-percent', 'Dough per 100 flour', '%', 0),
  water: shape('added-water', 'Added water per 100 flour', '%', 1),
  hydration: shape('hydration', 'Hydration, water of every line', '%', 1),
} as const;

/** The ingredients of a dough; raw doughs inside it are taken apart, what is baked stays whole. */
export function doughLines(lines: readonly MixLine[], book: MixBook, depth = 0): DoughPart[] {
  const found = new Map<string, DoughPart>();
  const add = (part: DoughPart): void => {
    const before = found.get(part.itemId);
    found.set(part.itemId, { ...part, massG: part.massG + (before?.massG ?? 0) });
  };
  for (const { itemId, quantity } of lines) {
    const unitMassG = book.massPerBaseUnit(itemId);
    if (unitMassG === undefined) continue;
    const massG = quantity * unitMassG;
    const inside = depth < MOST_DEEP ? takenApart(itemId, massG, book, depth) : null;
    if (inside) for (const part of inside) add(part);
    else add(partOf(itemId, massG, book));
  }
  return [...found.values()];
}

export interface DoughPart {
  readonly itemId: string;
  readonly massG: number;
  readonly isFlour: boolean;
  /** Undefined where its water is not known. */
  readonly waterFraction: number | undefined;
}

const MOST_DEEP = 20;

/** A raw dough inside, as its ingredients; null for anything else. */
function takenApart(
  itemId: string,
  massG: number,
  book: MixBook,
  depth: number,
): DoughPart[] | null {
  const recipe = book.ingredient(itemId) ? undefined : book.recipe(itemId);
  if (!recipe?.outputMassG || isHeated(recipe)) return null;
  const inside = doughLines(recipe.lines, book, depth + 1);
  if (!inside.some((part) => part.isFlour)) return null;
  const wholeG = inside.reduce((sum, part) => sum + part.massG, 0);
  return inside.map((part) => ({ ...part, massG: (part.massG * massG) / wholeG }));
}

function partOf(itemId: string, massG: number, book: MixBook): DoughPart {
  const ingredient = book.ingredient(itemId);
  const isFlour = ingredient?.inMix === 'flour';
  if (ingredient?.inMix === 'taken-out') return { itemId, massG, isFlour, waterFraction: 0 };
  const made = ingredient ? makeupOf(ingredient, massG) : mixOf([{ itemId, quantity: 1 }], book);
  const known = made.unknown.water.length === 0 && made.massG > 0;
  return {
    itemId,
    massG,
    isFlour,
    waterFraction: known ? made.partsG.water / made.massG : undefined,
  };
}

/** Baker's percentages and hydration. Null without flour. */
export function doughFigures(
  parts: readonly DoughPart[],
  book: MixBook,
): Pick<BalanceSection, 'figures' | 'percentages'> | null {
  const lines: DoughLine[] = parts.map((part) => ({
    id: part.itemId,
    name: book.nameOf(part.itemId),
    massG: part.massG,
    isFlour: part.isFlour,
    // Tap water is 99.9 % water in the tables; a baker calls it water.
    ...(part.waterFraction === undefined
      ? {}
      : { waterFraction: part.waterFraction > ALL_WATER ? 1 : part.waterFraction }),
  }));
  const found = bakersPercentages(lines);
  if (!found.ok) return null;
  const { flourG, totalPercent, addedWaterPercent, hydrationPercent, waterUnknown } = found.value;
  const missing = waterUnknown.map((id) => book.nameOf(id));
  return {
    figures: [
      known(SHAPES.flour, flourG),
      known(SHAPES.total, totalPercent),
      known(SHAPES.water, addedWaterPercent),
      missing.length > 0
        ? notKnown(SHAPES.hydration, missing)
        : known(SHAPES.hydration, hydrationPercent),
    ],
    percentages: found.value.lines.map(({ id, percent }, at) => ({
      itemId: id,
      name: book.nameOf(id),
      percent: Number(percent.toFixed(1)),
      isFlour: parts[at]?.isFlour ?? false,
    })),
  };
}

const ALL_WATER = 0.995;

function shape(id: string, label: string, unit: string, decimals: number): FigureShape {
  return { id, label, unit, decimals, method: METHOD };
}
