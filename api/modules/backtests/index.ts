export type * from './backtests.ports.ts';
export { BacktestsService } from './backtests.service.ts';
export { backtestsRoutes } from './backtests.routes.ts';
