export { AvailabilityService } from './availability.service.ts';
export { availabilityRoutes } from './availability.routes.ts';
