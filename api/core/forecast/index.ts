/** Covers forecast as distributions: learning a series, forecasting from it, and its models. */
export type {
  BookingSnapshot,
  CompletedService,
  CoversForecastInput,
  ForecastTarget,
  IsoWeekday,
  KnownEvent,
  OpenBookings,
  StatedCovers,
} from './forecast-input.ts';
export type {
  CoversForecast,
  ForecastMethod,
  ForecastParts,
  ForecastTerm,
  ForecastWarning,
  QuantileCovers,
  TargetForecast,
} from './forecast-output.ts';
export type { ForecastMember } from './members.ts';
export type { LearnInput } from './forecast-covers.ts';
export { DEFAULT_SPREAD, forecastCovers, learnSeries, learnServices } from './forecast-covers.ts';
export type { ForecastRequest } from './forecast-from-state.ts';
export { DEFAULT_LEVELS, forecastFromState } from './forecast-from-state.ts';
export type { BookedAndFinal } from './classical-pickup.ts';
export {
  additivePickup,
  combineByError,
  multiplicativePickup,
  regressionPickup,
  smoothedPickup,
} from './classical-pickup.ts';
export type {
  SeasonKind,
  SeasonParameters,
  SeasonStart,
  Smoothing,
  TrendParameters,
} from './exponential-smoothing.ts';
export {
  holtSmoothing,
  holtWinters,
  seasonStart,
  simpleSmoothing,
  smoothingForecast,
} from './exponential-smoothing.ts';
export { MAX_HORIZON_DAYS } from './booking-grid.ts';
export type { GroupProfile } from './group-profile.ts';
export { learnGroupProfile } from './learn-group-profile.ts';
export type { SeriesState } from './series-state.ts';
export { FORECAST_MODEL_VERSION } from './series-state.ts';
export { dayNumber, serviceDateOf, weekdayOf } from './service-day.ts';
