import { MAX_BASE_AMOUNT, checkRange } from '../quantity/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';

/** A line of a dough. Water is 1 for water itself, the water content for milk, egg or a starter; absent when not known. */
export interface DoughLine {
  readonly id: string;
  readonly name: string;
  readonly massG: number;
  /** Flour is what the percentages are of; several flours together make 100 %. */
  readonly isFlour?: boolean;
  /** Fraction of the line's mass that is water, 0 to 1. */
  readonly waterFraction?: number;
}

/** A dough in baker's percentages. */
export interface DoughFormula {
  readonly flourG: number;
  readonly doughG: number;
  readonly lines: readonly { readonly id: string; readonly percent: number }[];
  /** Sum of all percentages: dough as a percentage of flour. */
  readonly totalPercent: number;
  /** Water added as water (waterFraction 1), per 100 flour. */
  readonly addedWaterPercent: number;
  /** Water of every line but flour whose content is given, per 100 flour. */
  readonly hydrationPercent: number;
  /** Lines other than flour with no water content given: their water is missing from the hydration. */
  readonly waterUnknown: readonly string[];
}

/**
 * Baker's percentages: each weight as a percentage of all the flour, and the hydration. The water that
 * flour itself holds is not counted, as bakers do not; milk, eggs and purées count by their water content.
 * Errors: `missing-data` without flour; `out-of-range` for a weight below 0 or a water fraction
 * outside 0 to 1; the path points at the line.
 */
export function bakersPercentages(lines: readonly DoughLine[]): Result<DoughFormula> {
  let flourG = 0;
  let doughG = 0;
  let addedWaterG = 0;
  let waterG = 0;
  const waterUnknown: string[] = [];
  for (const [index, line] of lines.entries()) {
    const mass = checkRange(line.massG, `The weight of ${line.name} in g`, 0, MAX_BASE_AMOUNT, {
      path: [index, 'massG'],
    });
    if (!mass.ok) return mass;
    doughG += line.massG;
    if (line.isFlour === true) {
      flourG += line.massG;
      continue;
    }
    if (line.waterFraction === undefined) {
      waterUnknown.push(line.id);
      continue;
    }
    const fraction = checkRange(line.waterFraction, `The water fraction of ${line.name}`, 0, 1, {
      path: [index, 'waterFraction'],
    });
    if (!fraction.ok) return fraction;
    waterG += line.massG * line.waterFraction;
    if (line.waterFraction === 1) addedWaterG += line.massG;
  }
  if (!(flourG > 0)) {
    return err(coreError('missing-data', "Baker's percentages need flour in the dough."));
  }
  const percent = (massG: number) => (100 * massG) / flourG;
  return ok({
    flourG,
    doughG,
    lines: lines.map((line) => ({ id: line.id, percent: percent(line.massG) })),
    totalPercent: percent(doughG),
    addedWaterPercent: percent(addedWaterG),
    hydrationPercent: percent(waterG),
    waterUnknown,
  });
}

/**
 * Weights in g for a dough of `doughG` from a formula in baker's percentages.
 * @param formula percentages of which the flours add up to 100
 * Errors: `out-of-range` for a percentage below 0 or a bad weight, `missing-data` when the flours do not make 100 %.
 */
export function weighDough(
  formula: readonly {
    readonly id: string;
    readonly percent: number;
    readonly isFlour?: boolean;
  }[],
  doughG: number,
): Result<readonly { readonly id: string; readonly massG: number }[]> {
  const dough = checkRange(doughG, 'The weight of dough in g', 0, MAX_BASE_AMOUNT);
  if (!dough.ok) return dough;
  let flourPercent = 0;
  let totalPercent = 0;
  for (const [index, line] of formula.entries()) {
    const checked = checkRange(line.percent, "A baker's percentage", 0, 10_000, {
      path: [index, 'percent'],
    });
    if (!checked.ok) return checked;
    totalPercent += line.percent;
    if (line.isFlour === true) flourPercent += line.percent;
  }
  if (Math.abs(flourPercent - 100) > 0.01) {
    return err(
      coreError('missing-data', `The flours make ${flourPercent} %, not 100 %.`, {
        detail: { flourPercent },
      }),
    );
  }
  return ok(
    formula.map((line) => ({ id: line.id, massG: (doughG * line.percent) / totalPercent })),
  );
}

/**
 * The weights that turn a dough to another hydration by changing the added water only: the mass in g
 * of plain water to use. Errors: as bakersPercentages; `infeasible` when milk, eggs and the like
 * bring more water than that already; `missing-data` when a line's water content is not known.
 */
export function waterForHydration(
  lines: readonly DoughLine[],
  hydrationPercent: number,
): Result<number> {
  const target = checkRange(hydrationPercent, 'A hydration in per cent', 0, 1000);
  if (!target.ok) return target;
  const formula = bakersPercentages(lines);
  if (!formula.ok) return formula;
  const { flourG, addedWaterPercent, waterUnknown } = formula.value;
  if (waterUnknown.length > 0) {
    return err(
      coreError('missing-data', 'The water content of some lines is not known.', {
        detail: { lines: waterUnknown },
      }),
    );
  }
  const otherPercent = formula.value.hydrationPercent - addedWaterPercent;
  if (otherPercent > hydrationPercent) {
    return err(
      coreError(
        'infeasible',
        `Without any water the dough already has ${Number(otherPercent.toFixed(1))} % hydration.`,
      ),
    );
  }
  return ok((flourG * (hydrationPercent - otherPercent)) / 100);
}
