/** The sugars and sweeteners of a frozen base that are told apart, dry (without their water). */
export const SWEETENER_KINDS = [
  'sucrose',
  'dextrose',
  'fructose',
  'invert',
  'lactose',
  'maltose',
  'trehalose',
  'sorbitol',
  'glucose-syrup-10de',
  'glucose-syrup-36de',
  'glucose-syrup-42de',
  'glucose-syrup-62de',
  'high-fructose-syrup',
] as const;
export type SweetenerKind = (typeof SWEETENER_KINDS)[number];

/** How a sweetener counts against the same mass of sucrose. */
export interface Sweetener {
  readonly name: string;
  /** Grams of sucrose that lower the freezing point as much as one gram of it. */
  readonly freezingFactor: number;
  /** Grams of sucrose that taste as sweet as one gram of it. */
  readonly sweetnessFactor: number;
  readonly sweetnessSource: string;
}

const PANEL = 'Biester and Wood, University of Minnesota, as printed in Experimental Cookery';
const MEMORY = 'from memory; published values differ widely';

/**
 * Freezing factors: Goff and Hartel, Ice Cream (7th ed. 2013), p. 181, read second-hand: disaccharides
 * 1, glucose syrups by dextrose equivalent 0.2 to 1.2, high-fructose syrup 1.8, monosaccharides and
 * six-carbon alcohols 1.9 (342 divided by the molecular weight). Sweetness is a panel's judgement: no value is
 * agreed by all.
 */
export const SWEETENERS: Readonly<Record<SweetenerKind, Sweetener>> = {
  sucrose: sweetener('sucrose', 1, 1, 'by definition'),
  dextrose: sweetener('dextrose', 1.9, 0.743, PANEL),
  fructose: sweetener('fructose', 1.9, 1.733, PANEL),
  invert: sweetener('invert sugar', 1.9, (0.743 + 1.733) / 2, 'mean of dextrose and fructose'),
  lactose: sweetener('lactose', 1, 0.16, PANEL),
  maltose: sweetener('maltose', 1, 0.325, PANEL),
  trehalose: sweetener('trehalose', 1, 0.45, MEMORY),
  sorbitol: sweetener('sorbitol', 1.9, 0.5, 'Gaman and Sherrington 1990, read second-hand'),
  'glucose-syrup-10de': sweetener('glucose syrup solids 10 DE', 0.2, 0.1, MEMORY),
  'glucose-syrup-36de': sweetener('glucose syrup solids 36 DE', 0.6, 0.35, MEMORY),
  'glucose-syrup-42de': sweetener('glucose syrup solids 42 DE', 0.8, 0.5, MEMORY),
  'glucose-syrup-62de': sweetener('glucose syrup solids 62 DE', 1.2, 0.7, MEMORY),
  'high-fructose-syrup': sweetener('high-fructose syrup solids', 1.8, 1, MEMORY),
};

function sweetener(
  name: string,
  freezingFactor: number,
  sweetnessFactor: number,
  sweetnessSource: string,
): Sweetener {
  return { name, freezingFactor, sweetnessFactor, sweetnessSource };
}

/** Lactose in milk solids not fat and in whey solids (Goff and Hartel 2013, p. 181, read second-hand). */
export const LACTOSE_IN_MSNF = 0.545;
export const LACTOSE_IN_WHEY_SOLIDS = 0.765;

/** Freezing factor of ethanol: molecular weights 342.3 / 46.07, the rule the method gives for small molecules. */
export const ALCOHOL_FREEZING_FACTOR = 342.3 / 46.07;
