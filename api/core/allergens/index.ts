/** Allergens of EU, UK and US law through the recipe graph. Never says 'free from'. */
export type {
  AllergenCode,
  AllergenGroup,
  AllergenName,
  AllergenRegime,
  RegimeAllergen,
  RegimeGroup,
} from './allergen-codes.ts';
export {
  ALLERGEN_GROUPS,
  allergenName,
  parseAllergenCode,
  regimeGroups,
  underRegime,
} from './allergen-codes.ts';
export type { AllergenDeclaration, AllergenDeclarations } from './declaration.ts';
export { readDeclaration } from './declaration.ts';
export type { MassPerBaseUnit, SulphiteContent } from './sulphite-content.ts';
export { SULPHITE_THRESHOLD_MG_PER_KG, sulphiteContent } from './sulphite-content.ts';
export type {
  AllergenPresence,
  AllergenStatement,
  AllergenWay,
  StatementOptions,
} from './allergen-statement.ts';
export { ALLERGEN_NOTICE, allergenStatement } from './allergen-statement.ts';
export type { AllergenChange } from './allergen-change.ts';
export { allergenChange } from './allergen-change.ts';
export type { AllergenMatrix, MatrixCell, MatrixRow } from './allergen-matrix.ts';
export { allergenMatrix } from './allergen-matrix.ts';
