import { addDays, serviceInstant } from '../../core/calendar/index.ts';
import { orRefuse, type Actor, type NewId } from '../platform/index.ts';
import type { MealService, Site } from '../sites/index.ts';
import { itemKey, NOTHING, takeInOrder } from './stock-amounts.ts';
import type { ItemRef, StockRepository } from './stock.ports.ts';

/** Portions of a dish that were sold at a service. */
export interface SoldDish {
  readonly saleId: string;
  readonly serviceId: string;
  readonly serviceDate: string;
  readonly dishId: string;
  readonly portions: number;
}

/** What one portion of a dish takes of an item, base units, trim and cooking losses included. */
export interface PortionDraw extends ItemRef {
  readonly name: string;
  readonly perPortion: number;
}

/** One change of a lot for a sale: below zero went out, above zero was put back. */
export interface SaleMovement extends ItemRef {
  readonly saleId: string;
  readonly lotId: string;
  readonly quantity: number;
}

export interface SalesDrawRepository {
  /** What a portion takes, by the recipe version that drives the date. Empty for a dish without one. */
  portionOf(dishId: string, serviceDate: string): Promise<readonly PortionDraw[]>;
  /** Every change for these sales, oldest first. */
  movementsOf(saleIds: readonly string[]): Promise<readonly SaleMovement[]>;
  /** When each item was last counted at the site, by item key. */
  lastCounts(siteId: string): Promise<ReadonlyMap<string, Date>>;
  /** When the oldest lot with something left, or drawn before, was made; null without any. */
  oldestLot(siteId: string): Promise<Date | null>;
}

/** Sold without being on record: the kitchen had it, the record did not. */
export interface NotOnRecord extends ItemRef {
  readonly name: string;
  readonly dishId: string;
  readonly quantity: number;
}

interface DrawContext {
  readonly stock: StockRepository;
  readonly draw: SalesDrawRepository;
  readonly actor: Actor;
  readonly newId: NewId;
  readonly now: Date;
}

interface ServiceTimes {
  readonly startsAt: Date;
  readonly endsAt: Date;
}

/**
 * Takes what sold dishes were plated from out of stock, first-expiring first, so that the record is
 * right without a count every day.
 *
 * Saying the same sales again changes nothing; a corrected figure takes or puts back the difference.
 * An item counted after the end of the service is left alone: the count has seen what was eaten. Lots
 * made after the service, held ones and those past their use-by before it are left alone too.
 */
export async function drawForSales(
  context: DrawContext,
  site: Site,
  services: ReadonlyMap<string, MealService>,
  sales: readonly SoldDish[],
): Promise<readonly NotOnRecord[]> {
  const { draw, stock } = context;
  const oldest = await draw.oldestLot(site.id);
  if (oldest === null) return [];
  const dated = sales.flatMap((sale) => {
    const service = services.get(sale.serviceId);
    if (!service) return [];
    const times = timesOf(service, sale.serviceDate, site.zone);
    return times.endsAt <= oldest ? [] : [{ sale, times }];
  });
  if (dated.length === 0) return [];
  await stock.lockSite(site.id);
  const counted = await draw.lastCounts(site.id);
  const before = await draw.movementsOf(dated.map(({ sale }) => sale.saleId));
  const missing: NotOnRecord[] = [];
  for (const { sale, times } of dated) {
    const moved = before.filter(({ saleId }) => saleId === sale.saleId);
    const wanted = new Map<string, PortionDraw>();
    for (const line of await draw.portionOf(sale.dishId, sale.serviceDate)) {
      const known = wanted.get(itemKey(line))?.perPortion ?? 0;
      wanted.set(itemKey(line), { ...line, perPortion: line.perPortion + known });
    }
    // What an earlier wording of the dish took and this one does not goes back.
    for (const old of moved) {
      if (!wanted.has(itemKey(old))) wanted.set(itemKey(old), { ...old, name: '', perPortion: 0 });
    }
    for (const [key, item] of wanted) {
      if ((counted.get(key)?.getTime() ?? 0) > times.endsAt.getTime()) continue;
      const own = moved.filter((movement) => itemKey(movement) === key);
      const drawn = -own.reduce((sum, movement) => sum + movement.quantity, 0);
      const more = item.perPortion * sale.portions - drawn;
      if (more > NOTHING) {
        const short = more - (await take(context, site.id, sale, item, more, times));
        if (short > NOTHING) {
          const { itemKind, itemId, name } = item;
          missing.push({ itemKind, itemId, name, dishId: sale.dishId, quantity: short });
        }
      } else if (more < -NOTHING) await putBack(context, sale, own, -more);
    }
  }
  return missing;
}

function timesOf(service: MealService, date: string, zone: string): ServiceTimes {
  const at = (day: string, time: string): Date =>
    new Date(orRefuse(serviceInstant(day, time, zone)) * 60_000);
  const endDay = service.endsAt > service.startsAt ? date : addDays(date, 1);
  return { startsAt: at(date, service.startsAt), endsAt: at(endDay, service.endsAt) };
}

async function take(
  { stock, actor, newId, now }: DrawContext,
  siteId: string,
  sale: SoldDish,
  item: ItemRef,
  quantity: number,
  { startsAt, endsAt }: ServiceTimes,
): Promise<number> {
  const lots = (await stock.lotsOf(siteId, item)).filter(
    (lot) => lot.heldReason === null && lot.useBy > startsAt && lot.madeAt < endsAt,
  );
  let taken = 0;
  for (const { lot, quantity: part } of takeInOrder(lots, quantity)) {
    const moved = await stock.move(lot.id, {
      id: newId('mov'),
      kind: 'sold',
      quantity: -part,
      at: now,
      actorId: actor.id,
      saleId: sale.saleId,
      reason: null,
    });
    if (moved) taken += part;
  }
  return taken;
}

/** Puts back where it came from, what was taken last first. */
async function putBack(
  { stock, actor, newId, now }: DrawContext,
  sale: SoldDish,
  own: readonly SaleMovement[],
  quantity: number,
): Promise<void> {
  const net = new Map<string, number>();
  for (const { lotId, quantity: moved } of own) {
    const last = net.get(lotId) ?? 0;
    net.delete(lotId);
    net.set(lotId, last - moved);
  }
  let left = quantity;
  for (const [lotId, drawn] of [...net].reverse()) {
    const part = Math.min(left, drawn);
    if (part <= NOTHING) continue;
    const moved = await stock.move(lotId, {
      id: newId('mov'),
      kind: 'sale corrected',
      quantity: part,
      at: now,
      actorId: actor.id,
      saleId: sale.saleId,
      reason: null,
    });
    if (moved) left -= part;
  }
}
