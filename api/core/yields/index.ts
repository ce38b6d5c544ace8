/** Yields: what is left of what is bought, step by step, and how a test day changes the standard. */
export {
  MAX_COOKING_GAIN,
  asPurchased,
  batchYield,
  chainYields,
  ediblePortion,
  isYieldKind,
} from './yield-chain.ts';
export type {
  BatchYield,
  ChainedYield,
  YieldChain,
  YieldKind,
  YieldStep,
  YieldedLine,
} from './yield-chain.ts';
export { fractionFromPercent, fractionFromRefuse } from './percent.ts';
export { FEWEST_WEIGHINGS, proposeStandardYield, summariseWeighings } from './measured-yield.ts';
export type {
  JudgedWeighing,
  MeasuredYield,
  YieldProposal,
  YieldWeighing,
} from './measured-yield.ts';
export { describeSample } from './sample.ts';
