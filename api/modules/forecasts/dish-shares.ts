import { weekdayOf } from '../../core/calendar/index.ts';
import { dishShares } from '../../core/demand/index.ts';
import type { DishShare } from '../../core/demand/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { SaleRow, SeriesRows } from './series-rows.ts';

/** Covers of experience a stated share is worth before sales change it. */
const SHARE_STRENGTH = 150;

/** A dish on a menu with the dates of the menu. */
export interface OfferedLine {
  readonly id: string;
  readonly dishId: string;
  /** Null: offered in every service of the site. */
  readonly serviceId: string | null;
  readonly share: number;
  readonly activeFrom: string;
  readonly activeTo: string | null;
}

/** A dish on offer at a sitting and what is known of its share. */
export interface OfferedDish<L extends OfferedLine = OfferedLine> {
  readonly line: L;
  readonly share: DishShare;
}

interface Sold {
  readonly outcomes: SeriesRows['outcomes'];
  readonly sales: readonly SaleRow[];
}

/** The dishes on offer at a service on a date; a line for that very service goes before one for all. */
export function linesOn<L extends OfferedLine>(
  lines: readonly L[],
  serviceId: string,
  date: string,
): readonly L[] {
  const found = new Map<string, L>();
  for (const line of lines) {
    const active = line.activeFrom <= date && (line.activeTo === null || date <= line.activeTo);
    if (!active || (line.serviceId !== null && line.serviceId !== serviceId)) continue;
    const known = found.get(line.dishId);
    if (known === undefined || (known.serviceId === null && line.serviceId !== null)) {
      found.set(line.dishId, line);
    }
  }
  return [...found.values()];
}

/**
 * Learns the shares of the dishes on offer, service by service: as stated, moved by what sales have
 * shown. Dates with the same dishes on offer share one learning.
 */
export function shareLearner<L extends OfferedLine>(
  lines: readonly L[],
  sold: Sold,
): (serviceId: string, date: string) => readonly OfferedDish<L>[] {
  const known = new Map<string, readonly OfferedDish<L>[]>();
  const past = new Map<string, ReturnType<typeof pastServices>>();
  return (serviceId, date) => {
    const offered = linesOn(lines, serviceId, date);
    const key = `${serviceId} ${offered.map((line) => line.id).join()}`;
    const before = known.get(key);
    if (before) return before;
    const sales = past.get(serviceId) ?? pastServices(serviceId, sold);
    past.set(serviceId, sales);
    const learned = offered.length === 0 ? [] : learn(offered, sales);
    known.set(key, learned);
    return learned;
  };
}

function learn<L extends OfferedLine>(
  offered: readonly L[],
  sales: ReturnType<typeof pastServices>,
): readonly OfferedDish<L>[] {
  const prior = offered.map(({ dishId, share }) => ({ dishId, share, strength: SHARE_STRENGTH }));
  const shares = new Map(orRefuse(dishShares({ prior, sales })).map((one) => [one.dishId, one]));
  return offered.flatMap((line) => {
    const share = shares.get(line.dishId);
    return share ? [{ line, share }] : [];
  });
}

function pastServices(serviceId: string, { outcomes, sales }: Sold) {
  const covers = new Map(
    outcomes
      .filter((o) => o.serviceId === serviceId && !o.closed && o.covers > 0)
      .map((o) => [o.serviceDate, o.covers]),
  );
  const days = new Map<string, { portions: Record<string, number>; soldOut: string[] }>();
  for (const sale of sales) {
    if (sale.serviceId !== serviceId || !covers.has(sale.serviceDate)) continue;
    const day = days.get(sale.serviceDate) ?? { portions: {}, soldOut: [] };
    days.set(sale.serviceDate, day);
    day.portions[sale.dishId] = sale.portions;
    if (sale.soldOut) day.soldOut.push(sale.dishId);
  }
  return [...days].map(([serviceDate, day]) => ({
    serviceDate,
    weekday: weekdayOf(serviceDate),
    covers: covers.get(serviceDate) ?? 0,
    ...day,
  }));
}
