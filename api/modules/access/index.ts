export type * from './access.ports.ts';
export { createAccessServices, type AccessServices } from './access.services.ts';
export { accessRoutes } from './access.routes.ts';
export { createAuthenticate, SESSION_COOKIE } from './authenticate.ts';
export { SESSION_ABSOLUTE_MS, SESSION_IDLE_MS } from './session.service.ts';
export { PASSWORD_MAX, PASSWORD_MIN } from './password-rules.ts';
