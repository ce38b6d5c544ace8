import { checkRange } from '../quantity/index.ts';
import { ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import {
  WATER_DENSITY_20C_G_PER_ML,
  brixFromDensity,
  sucroseDensityGPerMl,
} from './sucrose-density.ts';

/**
 * The modulus of a Baumé scale for liquids heavier than water: °Bé = modulus − modulus/SG. It must
 * be stored with every reading: 145 is the American scale, 144 the old Dutch, 146.78 Gerlach's, 144.3
 * the older European at 15 °C (CRC Handbook, read second-hand).
 */
export const BAUME_MODULI = {
  american: 145,
  dutch: 144,
  gerlach: 146.78,
  european: 144.3,
} as const;

/** A Baumé reading with the modulus of its scale. */
export interface BaumeReading {
  readonly degrees: number;
  readonly modulus: number;
}

/** °Baumé of a specific gravity of at least 1. Error: `out-of-range`. */
export function baumeFromSg(sg: number, modulus: number = BAUME_MODULI.american): Result<number> {
  const checkedModulus = checkModulus(modulus);
  if (!checkedModulus.ok) return checkedModulus;
  const checked = checkRange(sg, 'A specific gravity', 1, 2);
  return checked.ok ? ok(modulus - modulus / sg) : checked;
}

/** Specific gravity of a Baumé reading: modulus / (modulus − °Bé). Error: `out-of-range`. */
export function sgFromBaume(reading: BaumeReading): Result<number> {
  const checkedModulus = checkModulus(reading.modulus);
  if (!checkedModulus.ok) return checkedModulus;
  const checked = checkRange(reading.degrees, 'A Baumé reading', 0, reading.modulus / 2);
  return checked.ok ? ok(reading.modulus / (reading.modulus - reading.degrees)) : checked;
}

/** °Baumé of a sucrose solution at 20 °C by its true specific gravity 20/20, 0 to 70 °Bx. Error: `out-of-range`. */
export function baumeFromBrix(
  brix: number,
  modulus: number = BAUME_MODULI.american,
): Result<number> {
  const density = sucroseDensityGPerMl(brix);
  if (!density.ok) return density;
  // The polynomial leaves water a few millionths under 1.
  return baumeFromSg(Math.max(1, density.value / WATER_DENSITY_20C_G_PER_ML), modulus);
}

/** °Brix at 20 °C of a Baumé reading of a sucrose syrup. Error: `out-of-range`. */
export function brixFromBaume(reading: BaumeReading): Result<number> {
  const sg = sgFromBaume(reading);
  return sg.ok ? brixFromDensity(sg.value * WATER_DENSITY_20C_G_PER_ML) : sg;
}

function checkModulus(modulus: number): Result<number> {
  return checkRange(modulus, 'A Baumé modulus', 140, 150);
}
