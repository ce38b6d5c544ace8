import { serviceInstant } from '../../core/calendar/index.ts';
import { orRefuse } from '../platform/index.ts';

/** The last minute of a service date in a zone: when goods with that use-by stop being usable. */
export function endOfServiceDate(date: string, zone: string): Date {
  return new Date(orRefuse(serviceInstant(date, '23:59', zone)) * 60_000);
}
