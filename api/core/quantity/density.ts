import { coreError } from '../shared/errors.ts';
import { err } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { toUnitBase } from './convert.ts';
import { checkRange } from './limits.ts';
import { unitOf } from './units.ts';

/** The heaviest density we take, g/ml: just above osmium, so any food passes and slips do not. */
export const MAX_DENSITY_G_PER_ML = 23;

/** g/ml per one of these density units (UCUM codes; mL, ml, L and l all pass). */
const DENSITY_FACTORS: Readonly<Record<string, number>> = {
  'g/mL': 1,
  'g/ml': 1,
  'kg/L': 1,
  'kg/l': 1,
  'g/L': 1 / 1000,
  'g/l': 1 / 1000,
  'kg/m3': 1 / 1000,
  'g/cm3': 1,
};

/** Passes a density in g/ml above 0 and at most that of osmium. Error: `out-of-range`. */
export function checkDensity(densityGPerMl: number): Result<number> {
  return checkRange(densityGPerMl, 'A density in g/ml', 0, MAX_DENSITY_G_PER_ML, { above: true });
}

/**
 * A density given with its unit (g/mL, kg/L, g/L, kg/m3, g/cm3) in g/ml.
 * Errors: `dimension-mismatch` for a unit that is no mass per volume, `out-of-range`.
 */
export function densityFrom(density: { value: number; unit: string }): Result<number> {
  const factor = DENSITY_FACTORS[density.unit];
  if (factor === undefined) {
    return err(
      coreError(
        'dimension-mismatch',
        `A density is a mass per volume such as g/mL; '${density.unit}' is not.`,
        { detail: { unit: density.unit } },
      ),
    );
  }
  return checkDensity(density.value * factor);
}

/**
 * The density in g/ml of what weighs `mass` and fills `volume` (a measured pair: a cup and its weight).
 * Errors: `unknown-unit`, `dimension-mismatch` when the units are not a mass and a volume, `out-of-range`.
 */
export function densityFromWeighing(
  mass: { value: number; unit: string },
  volume: { value: number; unit: string },
): Result<number> {
  const massUnit = unitOf(mass.unit);
  if (!massUnit.ok) return massUnit;
  const volumeUnit = unitOf(volume.unit);
  if (!volumeUnit.ok) return volumeUnit;
  if (massUnit.value.dimension !== 'mass' || volumeUnit.value.dimension !== 'volume') {
    return err(
      coreError(
        'dimension-mismatch',
        `A density needs a weight and a volume, not ${massUnit.value.name} and ${volumeUnit.value.name}.`,
        { detail: { mass: mass.unit, volume: volume.unit } },
      ),
    );
  }
  const volumeMl = checkRange(
    toUnitBase(volume.value, volumeUnit.value),
    'The volume in ml',
    0,
    Number.MAX_VALUE,
    { above: true },
  );
  if (!volumeMl.ok) return volumeMl;
  const massG = toUnitBase(mass.value, massUnit.value);
  return checkDensity(massG / volumeMl.value);
}
