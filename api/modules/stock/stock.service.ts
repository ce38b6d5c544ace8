import type { Amount } from '../../core/quantity/index.ts';
import {
  invalid,
  maySeeSite,
  notFound,
  Refusal,
  type Actor,
  type Clock,
  type NewId,
  type Page,
  type PageRequest,
  type UnitOfWork,
} from '../platform/index.ts';
import { baseQuantity, itemIn, itemKey, loadItems } from './stock-amounts.ts';
import type {
  ItemRef,
  LotFilter,
  NewMovement,
  StockCount,
  StockItem,
  StockLot,
  StockMovement,
  StockWork,
  WasteLine,
} from './stock.ports.ts';

export interface StockDependencies {
  readonly work: UnitOfWork<StockWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** A new lot as a person writes it. */
export interface LotInput extends ItemRef {
  readonly amount: Amount;
  readonly madeAt: Date | null;
  readonly useBy: Date;
  readonly source: 'found' | 'received';
  readonly supplierLot: string | null;
  readonly note: string | null;
}

/** Something with the item it is of, for showing names and units. */
export interface OfItem<T> {
  readonly value: T;
  readonly item: StockItem;
}

const CLOCK_SLACK_MS = 5 * 60_000;
const DAY_MS = 24 * 60 * 60_000;
/** Nothing in a pastry kitchen keeps longer: a use-by beyond it is a slip. */
const LONGEST_LIFE_MS = 10 * 366 * DAY_MS;

/**
 * @throws Refusal `invalid-input` when use-by and making do not follow each other
 */
export function checkDates(
  dates: { readonly madeAt: Date; readonly useBy: Date },
  now: Date,
  prefix = '',
): void {
  if (dates.madeAt.getTime() > now.getTime() + CLOCK_SLACK_MS) {
    throw invalid(`${prefix}/madeAt`, 'It cannot have been made in the future.');
  }
  if (dates.useBy <= dates.madeAt) {
    throw invalid(`${prefix}/useBy`, 'The use-by is not after the making.');
  }
  if (dates.useBy.getTime() - now.getTime() > LONGEST_LIFE_MS) {
    throw invalid(`${prefix}/useBy`, 'A use-by more than ten years ahead is a slip.');
  }
  if (now.getTime() - dates.madeAt.getTime() > LONGEST_LIFE_MS) {
    throw invalid(`${prefix}/madeAt`, 'Made more than ten years ago is a slip.');
  }
}

/** What is in the fridges: lots, how they change, and holding them back. */
export class StockService {
  readonly #deps: StockDependencies;

  constructor(deps: StockDependencies) {
    this.#deps = deps;
  }

  /** Lots of a site, first-expiring first. */
  async list(
    siteId: string,
    filter: LotFilter,
    request: PageRequest,
  ): Promise<Page<OfItem<StockLot>>> {
    await this.#requireSite(siteId);
    const { stock } = this.#deps.work.read;
    const page = await stock.lotPage(siteId, filter, request, this.now());
    return this.#withItems(page);
  }

  async get(
    actor: Actor,
    id: string,
  ): Promise<OfItem<StockLot> & { readonly movements: readonly StockMovement[] }> {
    const lot = await this.#lotOf(actor, id);
    const { stock } = this.#deps.work.read;
    const items = await loadItems(stock, [lot]);
    return { value: lot, item: itemOrPlain(items, lot), movements: await stock.movementsOf(id) };
  }

  /** Puts a lot on record that was found or received outside a plan or an order. */
  async add(actor: Actor, siteId: string, input: LotInput): Promise<OfItem<StockLot>> {
    await this.#requireSite(siteId);
    const now = this.now();
    const madeAt = input.madeAt ?? now;
    checkDates({ madeAt, useBy: input.useBy }, now);
    const { newId, work } = this.#deps;
    return work.run(async ({ stock, audit }) => {
      const item = itemIn(await loadItems(stock, [input]), input);
      const quantity = baseQuantity(input.amount, item, '/amount', { mayBeZero: false });
      const id = newId('lot');
      const { itemKind, itemId, useBy, supplierLot, note } = input;
      await stock.insertLots([
        {
          lot: {
            id,
            siteId,
            itemKind,
            itemId,
            quantity,
            madeAt,
            useBy,
            sourceKind: input.source,
            sourceId: null,
            supplierLot,
            note,
          },
          movement: this.#movement(actor, input.source, quantity, now, null),
        },
      ]);
      await audit.append({
        actor,
        action: input.source,
        subjectKind: 'stock-lot',
        subjectId: id,
        siteId,
        detail: { itemKind, itemId, quantity },
      });
      const lot = await stock.findLot(id);
      if (!lot) throw notFound('stock lot', id);
      return { value: lot, item };
    });
  }

  /** Holds a lot back (a doubt, a recall): nothing plans with it until it is released. */
  async hold(actor: Actor, id: string, reason: string): Promise<OfItem<StockLot>> {
    return this.#setHeld(actor, id, reason, reason);
  }

  async release(actor: Actor, id: string, reason: string): Promise<OfItem<StockLot>> {
    return this.#setHeld(actor, id, null, reason);
  }

  async counts(
    siteId: string,
    filter: Partial<ItemRef>,
    request: PageRequest,
  ): Promise<Page<OfItem<StockCount>>> {
    await this.#requireSite(siteId);
    return this.#withItems(await this.#deps.work.read.stock.countPage(siteId, filter, request));
  }

  async waste(
    siteId: string,
    range: { readonly from?: Date; readonly before?: Date },
    request: PageRequest,
  ): Promise<Page<OfItem<WasteLine>>> {
    await this.#requireSite(siteId);
    return this.#withItems(await this.#deps.work.read.stock.wastePage(siteId, range, request));
  }

  now(): Date {
    return this.#deps.clock.now();
  }

  async #setHeld(
    actor: Actor,
    id: string,
    held: string | null,
    reason: string,
  ): Promise<OfItem<StockLot>> {
    const { siteId } = await this.#lotOf(actor, id);
    const kind = held === null ? 'released' : 'held';
    return this.#deps.work.run(async ({ stock, audit }) => {
      await stock.lockSite(siteId);
      if (held === null) {
        const breachId = await stock.openBreachOf(id);
        if (breachId !== null) {
          throw new Refusal(
            'wrong-state',
            'A temperature limit was not kept: decide that breach, so that the reason stands beside the temperatures.',
            { detail: { breachId } },
          );
        }
      }
      const movement = this.#movement(actor, kind, 0, this.now(), reason);
      if (!(await stock.setHeld(id, held, movement))) {
        throw new Refusal(
          'wrong-state',
          `This lot is ${held === null ? 'not held' : 'held already'}.`,
        );
      }
      await audit.append({
        actor,
        action: held === null ? 'release' : 'hold',
        subjectKind: 'stock-lot',
        subjectId: id,
        siteId,
        detail: { reason },
      });
      const lot = await stock.findLot(id);
      if (!lot) throw notFound('stock lot', id);
      return { value: lot, item: itemOrPlain(await loadItems(stock, [lot]), lot) };
    });
  }

  #movement(
    actor: Actor,
    kind: string,
    quantity: number,
    at: Date,
    reason: string | null,
  ): NewMovement {
    return { id: this.#deps.newId('mov'), kind, quantity, at, actorId: actor.id, reason };
  }

  async #withItems<T extends ItemRef>(page: Page<T>): Promise<Page<OfItem<T>>> {
    const items = await loadItems(this.#deps.work.read.stock, page.items);
    return { ...page, items: page.items.map((v) => ({ value: v, item: itemOrPlain(items, v) })) };
  }

  async #lotOf(actor: Actor, id: string): Promise<StockLot> {
    const lot = await this.#deps.work.read.stock.findLot(id);
    if (!lot || !maySeeSite(actor, lot.siteId)) throw notFound('stock lot', id);
    return lot;
  }

  async #requireSite(siteId: string): Promise<void> {
    if (!(await this.#deps.work.read.sites.find(siteId))) throw notFound('site', siteId);
  }
}

/** The item, or its id for a name should it be gone. */
function itemOrPlain(items: ReadonlyMap<string, StockItem>, ref: ItemRef): StockItem {
  return (
    items.get(itemKey(ref)) ?? {
      itemKind: ref.itemKind,
      itemId: ref.itemId,
      name: ref.itemId,
      measures: { name: ref.itemId, baseUnit: 'each', household: [] },
    }
  );
}
