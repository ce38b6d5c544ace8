export type * from './forecasts.ports.ts';
export type * from './series-rows.ts';
export type { KeptSeries } from './kept-series.ts';
export {
  HISTORY_DAYS,
  ROWS_DAYS,
  coversSeries,
  datesFrom,
  isHeldOn,
  roomCovers,
  siteDate,
} from './covers-series.ts';
export { linesOn, shareLearner, type OfferedDish, type OfferedLine } from './dish-shares.ts';
export { perCoverOf, portionsOf } from './dish-portions.ts';
export { explained, type ForecastsDependencies } from './forecasts.service.ts';
export { newestSnapshot, plannedResult } from './forecast-sittings.ts';
export { planForecasts, type PlannedForecast } from './forecast-site.ts';
export { termLabel, termSource } from './explain-forecast.ts';
export { createForecastsServices, type ForecastsServices } from './forecasts.services.ts';
export type { FullRun } from './refresh.service.ts';
export { forecastsRoutes } from './forecasts.routes.ts';
