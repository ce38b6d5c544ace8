import { weekdayOf } from '../../core/calendar/index.ts';
import { dishShares } from '../../core/demand/index.ts';
import type { DishShare, ExactPortions } from '../../core/demand/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { PreOrderRow, SaleRow, SeriesRows } from './series-rows.ts';

/** Covers of experience a stated share is worth before sales change it. */
const SHARE_STRENGTH = 150;

/** A dish on a menu with the dates of the menu. */
export interface OfferedLine {
  readonly id: string;
  readonly dishId: string;
  /** Null: offered in every service of the site. */
  readonly serviceId: string | null;
  readonly share: number;
  /** A guest orders it once at most. */
  readonly oneACover: boolean;
  readonly activeFrom: string;
  readonly activeTo: string | null;
}

/** A dish on offer at a sitting and what is known of its share. */
export interface OfferedDish<L extends OfferedLine = OfferedLine> {
  readonly line: L;
  readonly share: DishShare;
  /** What parties of this sitting ordered of it beforehand; their guests choose nothing else. */
  readonly exact: readonly ExactPortions[];
}

interface Sold {
  readonly outcomes: readonly Pick<
    SeriesRows['outcomes'][number],
    'serviceId' | 'serviceDate' | 'covers' | 'closed'
  >[];
  readonly sales: readonly SaleRow[];
  /** Of days gone by and to come. */
  readonly preOrders: readonly PreOrderRow[];
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
  const known = new Map<string, readonly Learned<L>[]>();
  const past = new Map<string, ReturnType<typeof pastServices>>();
  const bySitting = groupedBy(sold.preOrders, sittingKey);
  return (serviceId, date) => {
    const offered = linesOn(lines, serviceId, date);
    const key = `${serviceId} ${offered.map((line) => line.id).join()}`;
    const parties = bySitting.get(sittingKey({ serviceId, serviceDate: date })) ?? [];
    const exactOf = (dishId: string): readonly ExactPortions[] =>
      parties.map((party) => ({
        label: party.party,
        portions: portionsIn(party, dishId),
        covers: party.covers,
      }));
    let learned = known.get(key);
    if (!learned) {
      const sales = past.get(serviceId) ?? pastServices(serviceId, sold, bySitting);
      past.set(serviceId, sales);
      learned = offered.length === 0 ? [] : learn(offered, sales);
      known.set(key, learned);
    }
    return learned.map((dish) => ({ ...dish, exact: exactOf(dish.line.dishId) }));
  };
}

type Dated = Pick<PreOrderRow, 'serviceId' | 'serviceDate'>;
const sittingKey = ({ serviceId, serviceDate }: Dated): string => `${serviceId} ${serviceDate}`;

function groupedBy<T>(
  rows: readonly T[],
  keyOf: (row: T) => string,
): ReadonlyMap<string, readonly T[]> {
  const groups = new Map<string, T[]>();
  for (const row of rows) {
    const group = groups.get(keyOf(row));
    if (group) group.push(row);
    else groups.set(keyOf(row), [row]);
  }
  return groups;
}

type Learned<L extends OfferedLine> = Omit<OfferedDish<L>, 'exact'>;

const portionsIn = ({ lines }: PreOrderRow, dishId: string): number =>
  lines.find((line) => line.dishId === dishId)?.portions ?? 0;

function learn<L extends OfferedLine>(
  offered: readonly L[],
  sales: ReturnType<typeof pastServices>,
): readonly Learned<L>[] {
  const prior = offered.map(({ dishId, share }) => ({ dishId, share, strength: SHARE_STRENGTH }));
  const shares = new Map(orRefuse(dishShares({ prior, sales })).map((one) => [one.dishId, one]));
  return offered.flatMap((line) => {
    const share = shares.get(line.dishId);
    return share ? [{ line, share }] : [];
  });
}

/**
 * What guests who chose freely ordered: parties that had ordered beforehand are taken out. One look
 * at each outcome, sale and party.
 */
function pastServices(
  serviceId: string,
  { outcomes, sales }: Sold,
  bySitting: ReadonlyMap<string, readonly PreOrderRow[]>,
) {
  const covers = new Map<string, number>();
  const promised = new Map<string, ReadonlyMap<string, number>>();
  for (const outcome of outcomes) {
    if (outcome.serviceId !== serviceId || outcome.closed) continue;
    const parties = bySitting.get(sittingKey(outcome)) ?? [];
    const free = parties.reduce((left, party) => left - party.covers, outcome.covers);
    if (free <= 0) continue;
    covers.set(outcome.serviceDate, free);
    if (parties.length > 0) promised.set(outcome.serviceDate, portionsPromised(parties));
  }
  const days = new Map<string, { portions: Record<string, number>; soldOut: string[] }>();
  for (const sale of sales) {
    if (sale.serviceId !== serviceId || !covers.has(sale.serviceDate)) continue;
    const day = days.get(sale.serviceDate) ?? { portions: {}, soldOut: [] };
    days.set(sale.serviceDate, day);
    const beforehand = promised.get(sale.serviceDate)?.get(sale.dishId) ?? 0;
    day.portions[sale.dishId] = Math.max(0, sale.portions - beforehand);
    if (sale.soldOut) day.soldOut.push(sale.dishId);
  }
  return [...days].map(([serviceDate, day]) => ({
    serviceDate,
    weekday: weekdayOf(serviceDate),
    covers: covers.get(serviceDate) ?? 0,
    ...day,
  }));
}

/** Portions by dish that the parties of one sitting ordered. */
function portionsPromised(parties: readonly PreOrderRow[]): ReadonlyMap<string, number> {
  const promised = new Map<string, number>();
  for (const { lines } of parties) {
    for (const { dishId, portions } of lines) {
      promised.set(dishId, (promised.get(dishId) ?? 0) + portions);
    }
  }
  return promised;
}
