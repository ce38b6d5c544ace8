export type * from './sites.ports.ts';
export { SitesService } from './sites.service.ts';
export { sitesRoutes } from './sites.routes.ts';
