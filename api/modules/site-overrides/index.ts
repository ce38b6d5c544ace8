export type * from './site-overrides.ports.ts';
export { SiteOverridesService } from './site-overrides.service.ts';
export { siteOverridesRoutes } from './site-overrides.routes.ts';
