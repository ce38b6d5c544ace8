export type {
  GroupLeft,
  PartGroup,
  PartNeed,
  PartsSpec,
  PiecePart,
  PiecesNeeded,
} from './pieces.ts';
export { checkPartsSpec, piecesNeeded } from './pieces.ts';
export type { ExplainedPartNeed, ExplainedPieces, ExplainPiecesOptions } from './explain-pieces.ts';
export { explainPieces } from './explain-pieces.ts';
export type {
  ByProductNetting,
  ByProductQuestion,
  ByProductSupply,
  ExplainByProductsInputs,
  ExplainedByProducts,
  ShortfallRemedy,
} from './by-products.ts';
export { explainByProducts, netByProducts } from './by-products.ts';
