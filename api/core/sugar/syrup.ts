import { MAX_BASE_AMOUNT, checkRange } from '../quantity/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { BAUME_MODULI, baumeFromBrix } from './baume.ts';
import type { BaumeReading } from './baume.ts';
import { sucroseDensityGPerMl } from './sucrose-density.ts';

/** A syrup of sucrose and water, at 20 °C. */
export interface Syrup {
  readonly massG: number;
  /** 100 · sucrose / (sucrose + water), by mass. */
  readonly brix: number;
  /** More sugar than water holds at 20 °C: it may crystallise as it stands. */
  readonly supersaturated: boolean;
  /** Density, volume and Baumé; absent above 70 °Bx, where we have no table. */
  readonly liquid?: {
    readonly densityGPerMl: number;
    readonly volumeMl: number;
    readonly baume: BaumeReading;
  };
}

/** Valid range of the solubility formula, in °C. */
export const SOLUBILITY_RANGE_C = { min: 0, max: 100 } as const;

/**
 * Sucrose that water holds at `temperatureC` (0 to 100), in per cent by mass: Herzfeld's formula
 * 64.18 + 0.1348·T + 0.000531·T² (from memory; it gives the printed values 64.18, 67.09, 72.25 and
 * 82.97 of Mohos 2010, Table A2.3, at 0, 20, 50 and 100 °C). Error: `out-of-range`.
 */
export function saturationBrix(temperatureC: number): Result<number> {
  const checked = checkRange(
    temperatureC,
    'A syrup temperature in °C',
    SOLUBILITY_RANGE_C.min,
    SOLUBILITY_RANGE_C.max,
  );
  return checked.ok
    ? ok(64.18 + 0.1348 * temperatureC + 0.000531 * temperatureC * temperatureC)
    : checked;
}

/** °Brix of sucrose and water in g: 100 · sucrose / (sucrose + water). Errors: `out-of-range`, `missing-data` for nothing at all. */
export function brixOf(sucroseG: number, waterG: number): Result<number> {
  const sucrose = checkRange(sucroseG, 'The weight of sugar in g', 0, MAX_BASE_AMOUNT);
  if (!sucrose.ok) return sucrose;
  const water = checkRange(waterG, 'The weight of water in g', 0, MAX_BASE_AMOUNT);
  if (!water.ok) return water;
  if (sucroseG + waterG === 0) {
    return err(coreError('missing-data', 'A syrup needs sugar or water.'));
  }
  return ok((100 * sucroseG) / (sucroseG + waterG));
}

/**
 * What a syrup of sucrose and water (g) is: strength, density, volume and Baumé at 20 °C.
 * Errors: as brixOf.
 */
export function syrupOf(
  sucroseG: number,
  waterG: number,
  baumeModulus: number = BAUME_MODULI.american,
): Result<Syrup> {
  const brix = brixOf(sucroseG, waterG);
  if (!brix.ok) return brix;
  const massG = sucroseG + waterG;
  const saturation = saturationBrix(20);
  const supersaturated = saturation.ok && brix.value > saturation.value;
  const base = { massG, brix: brix.value, supersaturated };
  const density = sucroseDensityGPerMl(brix.value);
  if (!density.ok) return ok(base);
  const degrees = baumeFromBrix(brix.value, baumeModulus);
  if (!degrees.ok) return degrees;
  return ok({
    ...base,
    liquid: {
      densityGPerMl: density.value,
      volumeMl: massG / density.value,
      baume: { degrees: degrees.value, modulus: baumeModulus },
    },
  });
}

/** Sugar in g to dissolve in `waterG` for a strength of `brix` (0 to below 100). Error: `out-of-range`. */
export function sucroseForBrix(waterG: number, brix: number): Result<number> {
  const water = checkRange(waterG, 'The weight of water in g', 0, MAX_BASE_AMOUNT);
  if (!water.ok) return water;
  const kept = checkRange(100 - brix, 'The water in a syrup, in per cent,', 0, 100, {
    above: true,
  });
  return kept.ok ? ok((waterG * brix) / kept.value) : kept;
}

/**
 * Water in g to add to `massG` of a syrup to bring it from `fromBrix` down to `toBrix`; 0 when it is
 * there already. Errors: `out-of-range`, `infeasible` when the syrup would need sugar instead.
 */
export function waterToDilute(massG: number, fromBrix: number, toBrix: number): Result<number> {
  const mass = checkRange(massG, 'The weight of syrup in g', 0, MAX_BASE_AMOUNT);
  if (!mass.ok) return mass;
  const from = checkRange(fromBrix, 'A sugar strength in °Brix', 0, 100);
  if (!from.ok) return from;
  const to = checkRange(toBrix, 'A sugar strength in °Brix', 0, 100, { above: true });
  if (!to.ok) return to;
  if (toBrix > fromBrix) {
    return err(
      coreError(
        'infeasible',
        `A syrup of ${fromBrix} °Bx needs sugar, not water, to reach ${toBrix} °Bx.`,
      ),
    );
  }
  return ok((massG * fromBrix) / toBrix - massG);
}

/** Mass in g and sugar content of a volume of syrup of `brix` at 20 °C. Error: `out-of-range`. */
export function massOfSyrup(
  volumeMl: number,
  brix: number,
): Result<{ readonly massG: number; readonly sucroseG: number }> {
  const volume = checkRange(volumeMl, 'A volume in ml', 0, MAX_BASE_AMOUNT);
  if (!volume.ok) return volume;
  const density = sucroseDensityGPerMl(brix);
  if (!density.ok) return density;
  const massG = volumeMl * density.value;
  return ok({ massG, sucroseG: (massG * brix) / 100 });
}
