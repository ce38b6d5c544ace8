import { addDays } from '../calendar/index.ts';
import type { ServiceDate } from '../calendar/index.ts';
import type { DeliveryOption } from './delivery-calendar.ts';

/** The dates whose needs one delivery covers: from the first it can serve to the eve of the next. */
export interface CoverPeriod extends DeliveryOption {
  readonly fromDate: ServiceDate;
  /** Last date covered, included. */
  readonly toDate: ServiceDate;
}

/** A need that no delivery reaches in time. */
export interface LateNeed<Need> {
  readonly need: Need;
  /**
   * `past-cutoff`: deliveries follow, but the first one usable comes after the need date;
   * `no-delivery`: none follows within the horizon.
   */
  readonly reason: 'past-cutoff' | 'no-delivery';
  /** The next delivery that can still be ordered, which is when the shortfall ends. */
  readonly nextDelivery: DeliveryOption | null;
}

/**
 * Splits the horizon between the deliveries: each covers from its first usable date to the day
 * before the next one is usable; the last to `lastDate`. Deliveries usable only after `lastDate`
 * cover nothing and are left out; of two usable on the same date the later delivery is left out.
 *
 * @param deliveries any order; not changed
 * @param lastDate   last date of the plan, included
 * @returns ascending, disjoint, without gaps from the first usable date on
 */
export function coverPeriods(
  deliveries: readonly DeliveryOption[],
  lastDate: ServiceDate,
): CoverPeriod[] {
  const usable = [...deliveries]
    .filter((delivery) => delivery.usableFromDate <= lastDate)
    .sort((a, b) => (a.deliveryDate < b.deliveryDate ? -1 : 1));
  const distinct = usable.filter(
    (delivery, index) => usable[index - 1]?.usableFromDate !== delivery.usableFromDate,
  );
  return distinct.map((delivery, index) => {
    const next = distinct[index + 1];
    return {
      ...delivery,
      fromDate: delivery.usableFromDate,
      toDate: next ? addDays(next.usableFromDate, -1) : lastDate,
    };
  });
}

/**
 * Puts each dated need into the period that covers it. A need must be there by its date, so one
 * dated before the first usable delivery is late: it is named, with the next delivery that could
 * bring it, and is in no period.
 *
 * @returns one entry per period (in order, possibly with no needs), and the late needs
 */
export function assignNeeds<Need extends { readonly needDate: ServiceDate }>(
  needs: readonly Need[],
  periods: readonly CoverPeriod[],
): { periods: { period: CoverPeriod; needs: Need[] }[]; late: LateNeed<Need>[] } {
  const filled = periods.map((period) => ({ period, needs: [] as Need[] }));
  const late: LateNeed<Need>[] = [];
  for (const need of needs) {
    const home = filled.find(
      ({ period }) => period.fromDate <= need.needDate && need.needDate <= period.toDate,
    );
    if (home) {
      home.needs.push(need);
      continue;
    }
    const next = periods[0] ?? null;
    late.push({ need, reason: next ? 'past-cutoff' : 'no-delivery', nextDelivery: next });
  }
  return { periods: filled, late };
}
