/** Scoring forecasts: measures of accuracy and the rolling-origin backtest against baselines. */
export {
  coverage,
  mase,
  meanAbsoluteError,
  meanBias,
  meanPinballLoss,
  pinballLoss,
  seasonalNaiveScale,
  wape,
  winklerScore,
} from './accuracy.ts';
export type { BaselineName } from './baselines.ts';
export { BASELINES } from './baselines.ts';
export type {
  Backtest,
  BacktestInput,
  BacktestPoint,
  DatedEvent,
  HorizonScore,
  PointScore,
  ScoredOverride,
} from './backtest-types.ts';
export { BACKTEST_LEVELS, backtestCovers } from './roll-origin.ts';
