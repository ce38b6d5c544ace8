import type { CoversEvent, CoversSnapshot, DishSale, ServiceOutcome } from './covers.ports.ts';
import type { Noted } from './covers.service.ts';

// How covers look on the wire.

export const toSnapshot = (s: CoversSnapshot) => ({ ...s, takenAt: s.takenAt.toISOString() });
export const toOutcome = (o: ServiceOutcome) => ({ ...o });
export const toSale = (s: DishSale) => ({ ...s, soldOutAt: s.soldOutAt?.toISOString() ?? null });
export const toEvent = (e: CoversEvent) => ({ ...e });

/** A saved value with its warnings beside it. */
export function withWarnings<T, U extends object>(noted: Noted<T>, map: (value: T) => U) {
  return { ...map(noted.value), warnings: [...noted.warnings] };
}
