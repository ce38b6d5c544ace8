export type * from './menus.ports.ts';
export { MenusService } from './menus.service.ts';
export { menusRoutes } from './menus.routes.ts';
