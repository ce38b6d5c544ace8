export type * from './rates.ports.ts';
export { RatesService } from './rates.service.ts';
export { ratesRoutes } from './rates.routes.ts';
