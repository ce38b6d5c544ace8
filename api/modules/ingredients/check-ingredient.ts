import { readDeclaration } from '../../core/allergens/index.ts';
import { checkPartsSpec, type PartsSpec } from '../../core/parts/index.ts';
import {
  checkDensity,
  findUnit,
  findUnitByWord,
  singularWord,
  toBaseAmount,
  type Amount,
  type IngredientMeasures,
} from '../../core/quantity/index.ts';
import { fromCoreError, invalid, orRefuse, Refusal } from '../platform/index.ts';
import type { Ingredient, IngredientInput } from './ingredients.ports.ts';

/** What core/quantity needs to convert amounts of an ingredient. */
export function measuresOf(ingredient: IngredientInput): IngredientMeasures {
  return {
    name: ingredient.name,
    baseUnit: ingredient.baseUnit,
    ...(ingredient.density === null ? {} : { densityGPerMl: ingredient.density.gPerMl }),
    ...(ingredient.pieceMass === null ? {} : { pieceMassG: ingredient.pieceMass.massG }),
    household: ingredient.measures.map(({ name, massG }) => ({ name, massG })),
  };
}

/**
 * Converts a written amount to the item's base unit.
 * @param pointer where the amount stands; an unknown unit points at its `unit`, an absurd value at
 *                its `value`, a missing density or piece weight at the amount
 * @throws Refusal of the kind core/quantity gives, or `out-of-range` for nothing at all
 */
export function toBaseOrRefuse(
  amount: Amount,
  measures: IngredientMeasures,
  pointer: string,
): number {
  const converted = toBaseAmount(amount, measures);
  if (!converted.ok) {
    const { kind } = converted.error;
    const field = kind === 'unknown-unit' ? '/unit' : kind === 'out-of-range' ? '/value' : '';
    throw fromCoreError(converted.error, `${pointer}${field}`);
  }
  if (converted.value.value > 0) return converted.value.value;
  const message = `The amount of ${measures.name} must be above zero.`;
  throw new Refusal('out-of-range', message, {
    issues: [{ pointer: `${pointer}/value`, message }],
  });
}

/** Checks what one ingredient says of itself. @throws Refusal with a pointer */
export function checkIngredient(input: IngredientInput): void {
  if (input.density) orRefuse(checkDensity(input.density.gPerMl), '/density/gPerMl');
  const seen = new Set<string>();
  for (const [i, measure] of input.measures.entries()) {
    const unit = findUnit(measure.name) ?? findUnitByWord(measure.name);
    if (unit?.dimension === 'mass' || unit?.dimension === 'temperature') {
      throw invalid(
        `/measures/${i}/name`,
        `${measure.name} is a unit of its own; a measure is a sheet, a bunch or a spoon of ${input.name}.`,
      );
    }
    const key = singularWord(measure.name);
    if (seen.has(key)) throw invalid(`/measures/${i}/name`, `${measure.name} is listed twice.`);
    seen.add(key);
  }
  if (new Set(input.seasonMonths).size !== input.seasonMonths.length) {
    throw invalid('/seasonMonths', 'A month is listed twice.');
  }
  checkAllergens(input);
  checkNutrition(input);
  checkComposition(input);
}

function checkAllergens({ allergens }: IngredientInput): void {
  if (allergens === null) return;
  const { sulphitesMgPerKg, ...codes } = allergens;
  orRefuse(
    readDeclaration(sulphitesMgPerKg === null ? codes : { ...codes, sulphitesMgPerKg }),
    '/allergens',
  );
  for (const field of ['contains', 'mayContain'] as const) {
    const codes = allergens[field];
    for (const [i, code] of codes.entries()) {
      if (codes.indexOf(code) !== i) {
        throw invalid(`/allergens/${field}/${i}`, `${code} is listed twice.`);
      }
    }
  }
  for (const [i, code] of allergens.mayContain.entries()) {
    if (allergens.contains.includes(code)) {
      throw invalid(`/allergens/mayContain/${i}`, `${code} is declared as contained already.`);
    }
  }
}

function checkNutrition({ nutrition }: IngredientInput): void {
  if (nutrition === null) return;
  const over = (part: number | null, whole: number | null): boolean =>
    part !== null && whole !== null && part > whole + 0.5;
  if (over(nutrition.saturatesG, nutrition.fatG)) {
    throw invalid('/nutrition/saturatesG', 'Saturates cannot be more than all the fat.');
  }
  const { fatG, proteinG, waterG, alcoholG } = nutrition;
  const carbohydrateG = nutrition.carbohydrateByDifferenceG ?? nutrition.carbohydrateG;
  // Measured sugars may pass a carbohydrate got by difference, but not by much.
  if (
    carbohydrateG !== null &&
    nutrition.sugarsG !== null &&
    nutrition.sugarsG > carbohydrateG + 3
  ) {
    throw invalid('/nutrition/sugarsG', 'Sugars cannot be more than all the carbohydrate.');
  }
  const sumG = [fatG, carbohydrateG, proteinG, waterG, alcoholG].reduce<number>(
    (sum, part) => sum + (part ?? 0),
    0,
  );
  // Rounding in published tables can take the parts a little over 100 g.
  if (sumG > 103) {
    throw invalid('/nutrition', `The parts add up to ${sumG.toFixed(1)} g in 100 g.`);
  }
}

/** Published make-ups are rounded part by part: a little over the whole is let stand. */
const MOST_TOGETHER = 1.01;

function checkComposition({ composition }: IngredientInput): void {
  if (composition === null) return;
  const { waterFraction, fatFraction, milkSolidsFraction, alcoholFraction } = composition;
  const { saltFraction, sugars } = composition;
  const parts = [waterFraction, fatFraction, milkSolidsFraction, alcoholFraction, saltFraction];
  const all = [...parts, ...Object.values(sugars ?? {})];
  const sum = all.reduce<number>((total, part) => total + (part ?? 0), 0);
  if (sum > MOST_TOGETHER) {
    throw invalid('/composition', `The parts make ${(100 * sum).toFixed(1)} % of it, over 100 %.`);
  }
}

/**
 * Checks a part against its piece and the other parts taken from it.
 * @throws Refusal with a pointer into /partOf
 */
export function checkPart(
  id: string,
  input: IngredientInput,
  piece: Ingredient | null,
  siblings: readonly Ingredient[],
): void {
  const { partOf } = input;
  if (partOf === null) return;
  if (!piece || piece.archived) {
    throw new Refusal('missing-ingredient', 'The piece this part is taken from is not there.', {
      issues: [
        { pointer: '/partOf/pieceId', message: `There is no ingredient ${partOf.pieceId}.` },
      ],
    });
  }
  if (piece.id === id || piece.partOf !== null) {
    throw invalid('/partOf/pieceId', 'A part is taken from a whole piece, not from a part.');
  }
  if (piece.baseUnit !== 'each') {
    throw invalid('/partOf/pieceId', `${piece.name} is not counted in pieces.`);
  }
  if (piece.pieceMass === null) {
    throw new Refusal('no-piece-mass', `${piece.name} has no weight for one piece.`, {
      issues: [{ pointer: '/partOf/pieceId', message: 'Give the piece its weight first.' }],
    });
  }
  const spec = partsSpecOf(piece, [...siblings.filter((s) => s.id !== id), { ...input, id }]);
  const checked = checkPartsSpec(spec);
  if (!checked.ok) throw invalid('/partOf/yieldPerPiece', checked.error.message);
}

/** Checks a piece that parts are taken from already. @throws Refusal with a pointer */
export function checkPiece(
  piece: IngredientInput & { readonly id: string },
  parts: readonly Ingredient[],
): void {
  if (piece.partOf !== null) {
    throw invalid('/partOf', `${piece.name} has parts of its own, so it is no part.`);
  }
  if (piece.baseUnit !== 'each') {
    throw invalid('/baseUnit', `Parts are taken from ${piece.name}, so it is counted in pieces.`);
  }
  if (piece.pieceMass === null) {
    throw invalid('/pieceMass', `Parts are taken from ${piece.name}, so a piece has a weight.`);
  }
  const checked = checkPartsSpec(partsSpecOf(piece, parts));
  if (!checked.ok) throw invalid('/pieceMass/massG', checked.error.message);
}

/**
 * The parts of a piece as core/parts takes them, groups in the order of taking.
 * @param parts ingredients whose `partOf` names the piece; others are left out
 */
export function partsSpecOf(
  piece: Pick<Ingredient, 'id' | 'pieceMass'>,
  parts: readonly (IngredientInput & { readonly id: string })[],
): PartsSpec {
  const taken = parts.flatMap((part) =>
    part.partOf?.pieceId === piece.id ? [{ part, partOf: part.partOf }] : [],
  );
  taken.sort((a, b) => a.partOf.order - b.partOf.order);
  const groups = new Map<string, PartsSpec['groups'][number]['parts'][number][]>();
  for (const { part, partOf } of taken) {
    const group = groups.get(partOf.group) ?? [];
    group.push({
      itemId: part.id,
      yieldPerPiece: partOf.yieldPerPiece,
      baseUnit: part.baseUnit,
    });
    groups.set(partOf.group, group);
  }
  return {
    pieceItemId: piece.id,
    pieceMassG: piece.pieceMass?.massG ?? 0,
    groups: [...groups].map(([group, members]) => ({ group, parts: members })),
  };
}
