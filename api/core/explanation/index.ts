export type {
  ExplanationGraph,
  ExplanationInput,
  ExplanationNode,
  ExplanationSource,
  FormulaName,
} from './explanation-node.ts';
export type { CountDistribution, EvaluationOptions, QuantileFunction } from './formulas.ts';
export { ROUND_UP_TOLERANCE, roundToStep, roundUpToMultiple } from './formulas.ts';
export type { DerivedFigure, GivenFigure } from './explanation-builder.ts';
export { ExplanationBuilder } from './explanation-builder.ts';
export { coversMean, coversParameters } from './compound-quantile.ts';
export { evaluate, evaluateEach, subgraph } from './evaluate.ts';
export { chain, readableNumber } from './chain.ts';
