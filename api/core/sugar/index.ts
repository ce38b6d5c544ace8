/** Sugar syrups: °Brix, density at 20 °C, Baumé, saturation, and the volume a syrup fills. */
export {
  MAX_DENSITY_BRIX,
  POLYNOMIAL_MAX_BRIX,
  SUCROSE_DENSITY_TABLE,
  WATER_DENSITY_20C_G_PER_ML,
  brixFromApparentSg,
  brixFromDensity,
  sucroseDensityGPerMl,
} from './sucrose-density.ts';
export { BAUME_MODULI, baumeFromBrix, baumeFromSg, brixFromBaume, sgFromBaume } from './baume.ts';
export type { BaumeReading } from './baume.ts';
export {
  SOLUBILITY_RANGE_C,
  brixOf,
  massOfSyrup,
  saturationBrix,
  sucroseForBrix,
  syrupOf,
  waterToDilute,
} from './syrup.ts';
export type { Syrup } from './syrup.ts';
