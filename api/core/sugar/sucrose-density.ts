import { checkRange } from '../quantity/index.ts';
import { ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';

/** Density of water at 20 °C in g/ml; the reference of specific gravity 20/20. */
export const WATER_DENSITY_20C_G_PER_ML = 0.998203;

/** Density of air at 20 °C in g/ml: hydrometer and weighing tables are 'apparent', in air. */
const AIR_DENSITY_G_PER_ML = 0.0012;

/** The strongest solution the density table covers; about 67 °Bx is already saturated at 20 °C. */
export const MAX_DENSITY_BRIX = 70;

/** Up to here the published polynomial holds; beyond, the table is interpolated. */
export const POLYNOMIAL_MAX_BRIX = 40;

/**
 * Density at 20 °C in g/ml of sucrose solutions by mass (NBS Circular 440 / Plato values, from memory,
 * cross-checked against four-figure CRC values to 50 and Baumé tables at 60 to 70).
 */
export const SUCROSE_DENSITY_TABLE: readonly (readonly [brix: number, densityGPerMl: number])[] = [
  [0, 0.9982],
  [10, 1.03814],
  [20, 1.08096],
  [30, 1.12698],
  [40, 1.17645],
  [50, 1.22957],
  [60, 1.28646],
  [65, 1.31633],
  [70, 1.34717],
];

const STRONG = SUCROSE_DENSITY_TABLE.filter(([brix]) => brix >= POLYNOMIAL_MAX_BRIX);

/**
 * °Brix from the apparent specific gravity 20/20: polynomial fitted to the NBS table, RMS error
 * 0.0009 °Bx, valid from 0 to 40 °Bx (published; read second-hand).
 */
export function brixFromApparentSg(sg: number): number {
  return ((182.4601 * sg - 775.6821) * sg + 1262.7794) * sg - 669.5622;
}

/**
 * Density in g/ml at 20 °C of a sucrose solution of `brix` per cent by mass, 0 to 70: the polynomial
 * to 40 °Bx, the curve through the table values at 40, 50, 60, 65 and 70 above. The two meet
 * within 0.0001 g/ml. Error: `out-of-range` outside 0 to 70 °Bx.
 */
export function sucroseDensityGPerMl(brix: number): Result<number> {
  const checked = checkRange(brix, 'A sugar strength in °Brix', 0, MAX_DENSITY_BRIX);
  if (!checked.ok) return checked;
  return ok(brix <= POLYNOMIAL_MAX_BRIX ? densityByPolynomial(brix) : densityByTable(brix));
}

/** Readings just outside the curve's ends are rounding, not other liquids: they count as 0 and 70 °Bx. */
const LIGHTEST_G_PER_ML = 0.998;
const HEAVIEST_G_PER_ML = 1.3473;

/**
 * °Brix of a sucrose solution by its density in g/ml at 20 °C: the inverse of sucroseDensityGPerMl.
 * Error: `out-of-range` for a density no such solution has.
 */
export function brixFromDensity(densityGPerMl: number): Result<number> {
  const checked = checkRange(
    densityGPerMl,
    'The density of a syrup in g/ml',
    LIGHTEST_G_PER_ML,
    HEAVIEST_G_PER_ML,
  );
  if (!checked.ok) return checked;
  let low = 0;
  let high = MAX_DENSITY_BRIX;
  while (high - low > 1e-9) {
    const middle = (low + high) / 2;
    const density =
      middle <= POLYNOMIAL_MAX_BRIX ? densityByPolynomial(middle) : densityByTable(middle);
    if (density < densityGPerMl) low = middle;
    else high = middle;
  }
  return ok((low + high) / 2);
}

/** Solves the polynomial for SG by Newton's method, then takes the buoyancy of air out. */
function densityByPolynomial(brix: number): number {
  let sg = 1 + brix / 250;
  for (let round = 0; round < 50; round += 1) {
    const slope = (3 * 182.4601 * sg - 2 * 775.6821) * sg + 1262.7794;
    const step = (brixFromApparentSg(sg) - brix) / slope;
    sg -= step;
    if (Math.abs(step) < 1e-14) break;
  }
  return sg * (WATER_DENSITY_20C_G_PER_ML - AIR_DENSITY_G_PER_ML) + AIR_DENSITY_G_PER_ML;
}

/** Lagrange interpolation through the table from 40 °Bx up. */
function densityByTable(brix: number): number {
  let density = 0;
  for (const [brixI, densityI] of STRONG) {
    let weight = 1;
    for (const [brixJ] of STRONG) {
      if (brixJ !== brixI) weight *= (brix - brixJ) / (brixI - brixJ);
    }
    density += weight * densityI;
  }
  return density;
}
