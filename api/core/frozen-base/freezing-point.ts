import { checkRange } from '../quantity/index.ts';
import { ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';

/** Grams of sucrose per 100 g water between two rows of the table. */
const TABLE_STEP = 3;

/**
 * Freezing point depression in °C of sucrose solutions at 0, 3, 6 … 180 g per 100 g water: Goff and
 * Hartel, Ice Cream (7th ed. 2013), Table 6.1, after Leighton (1927) and Pickering (1891); read second-hand.
 */
export const SUCROSE_FREEZING_TABLE: readonly number[] = [
  0, 0.18, 0.35, 0.53, 0.72, 0.9, 1.1, 1.29, 1.47, 1.67, 1.86, 2.03, 2.21, 2.4, 2.6, 2.78, 2.99,
  3.2, 3.42, 3.63, 3.85, 4.1, 4.33, 4.54, 4.77, 5, 5.26, 5.53, 5.77, 5.99, 6.23, 6.5, 6.8, 7.04,
  7.32, 7.56, 7.8, 8.04, 8.33, 8.62, 8.92, 9.19, 9.45, 9.71, 9.96, 10.22, 10.47, 10.72, 10.97,
  11.19, 11.41, 11.63, 11.88, 12.14, 12.4, 12.67, 12.88, 13.08, 13.28, 13.48, 13.68,
];

/** The strongest solution of the table, in g sucrose per 100 g water. */
export const MAX_SUCROSE_PER_100G_WATER = TABLE_STEP * (SUCROSE_FREEZING_TABLE.length - 1);

/** °C per g of milk solids not fat and whey solids per g of water (same source): the salts of milk. */
const MILK_SALTS_C = 2.37;

/** Cryoscopic constant of water (1.86 °C·kg/mol), ions per salt and molar mass of sodium chloride: ideal solution. */
const SALT_C = (1.86 * 2 * 1000) / 58.44;

/** What stays dissolved while water freezes out, per 100 g mix unless every member is scaled alike. */
export interface Solutes {
  /** Sucrose equivalent of sugars and alcohol, g. */
  readonly sucroseEquivalentG: number;
  /** Milk solids not fat and whey solids, g. */
  readonly milkSolidsG: number;
  /** Added sodium chloride, g. */
  readonly saltG: number;
  /** Water of the mix before any of it freezes, g. */
  readonly waterG: number;
}

/**
 * Depression in °C of a sucrose solution, interpolated linearly in the table.
 * @param per100gWater g sucrose per 100 g water, 0 to 180. Error: `out-of-range`.
 */
export function sucroseDepressionC(per100gWater: number): Result<number> {
  const checked = checkRange(
    per100gWater,
    'Sucrose in g per 100 g water, as the freezing table has it,',
    0,
    MAX_SUCROSE_PER_100G_WATER,
  );
  if (!checked.ok) return checked;
  const row = Math.min(Math.floor(per100gWater / TABLE_STEP), SUCROSE_FREEZING_TABLE.length - 2);
  const low = SUCROSE_FREEZING_TABLE[row] ?? 0;
  const high = SUCROSE_FREEZING_TABLE[row + 1] ?? low;
  return ok(low + ((high - low) * (per100gWater - row * TABLE_STEP)) / TABLE_STEP);
}

/**
 * The temperature in °C at which `frozenFraction` (0 to below 1) of the water is ice: the sum of the
 * depressions by sugars (table), milk salts (2.37 · solids / water) and added salt, all in the water
 * that is left. Sucrose-equivalent method of Goff and Hartel 2013, pp. 181 to 184, read second-hand.
 * Errors: `out-of-range` outside the table or without water.
 */
export function freezingPointC(solutes: Solutes, frozenFraction = 0): Result<number> {
  const liquidFraction = checkRange(1 - frozenFraction, 'The liquid part of the water', 0, 1, {
    above: true,
  });
  if (!liquidFraction.ok) return liquidFraction;
  const water = checkRange(
    solutes.waterG * liquidFraction.value,
    'The liquid water in g',
    0,
    Number.MAX_VALUE,
    { above: true },
  );
  if (!water.ok) return water;
  const sugars = sucroseDepressionC((solutes.sucroseEquivalentG / water.value) * 100);
  if (!sugars.ok) return sugars;
  const milkSalts = (MILK_SALTS_C * solutes.milkSolidsG) / water.value;
  const salt = (SALT_C * solutes.saltG) / water.value;
  return ok(-(sugars.value + milkSalts + salt));
}

/**
 * The fraction of the water that is ice at `temperatureC`: 0 above the freezing point. Found by
 * bisection of freezingPointC, to 1e-9. Error: `out-of-range` when it is colder than the table reaches.
 */
export function frozenFractionAt(solutes: Solutes, temperatureC: number): Result<number> {
  const start = freezingPointC(solutes);
  if (!start.ok) return start;
  if (temperatureC >= start.value) return ok(0);
  const furthest = Math.min(
    1 - 1e-9,
    1 - (solutes.sucroseEquivalentG / solutes.waterG) * (100 / MAX_SUCROSE_PER_100G_WATER),
  );
  // One part in 1e12 inside the table, so that rounding does not step over its end.
  let high = furthest * (1 - 1e-12);
  const coldest = freezingPointC(solutes, high);
  if (!coldest.ok) return coldest;
  const inTable = checkRange(temperatureC, 'The temperature in °C', coldest.value, 0);
  if (!inTable.ok) return inTable;
  let low = 0;
  while (high - low > 1e-9) {
    const middle = (low + high) / 2;
    const point = freezingPointC(solutes, middle);
    if (!point.ok) return point;
    if (point.value > temperatureC) low = middle;
    else high = middle;
  }
  return ok((low + high) / 2);
}
