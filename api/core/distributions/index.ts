/** Distributions of counts (covers, portions) and the normal distribution, as plain data. */
export type {
  CountDistribution,
  NegativeBinomialCount,
  PoissonCount,
  PointCount,
  TableCount,
} from './count-distribution.ts';
export {
  checkCount,
  countFromMoments,
  floorOf,
  meanOf,
  pointCount,
  varianceOf,
} from './count-distribution.ts';
export { probabilityOf, tabulate, walkMasses } from './count-masses.ts';
export { cdf, quantile, quantiles } from './count-quantile.ts';
export { convolveMasses, shifted, sumIndependent, trimmed } from './count-sum.ts';
export { cappedCount, stockOutcome } from './count-loss.ts';
export type { CountFit } from './negative-binomial-fit.ts';
export { fitCountByLikelihood, fitCountByMoments } from './negative-binomial-fit.ts';
export { normalCdf, normalLoss, normalPdf, normalQuantile } from './normal.ts';
