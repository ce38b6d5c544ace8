import type { Amount } from '../../core/quantity/index.ts';
import {
  invalid,
  maySeeSite,
  notFound,
  Refusal,
  type Actor,
  type RefusalIssue,
} from '../platform/index.ts';
import {
  baseQuantity,
  itemIn,
  itemKey,
  loadItems,
  NOTHING,
  takeInOrder,
  totalOf,
} from './stock-amounts.ts';
import { checkDates, type OfItem, type StockDependencies } from './stock.service.ts';
import { takeWasteBack } from './take-waste-back.ts';
import type {
  ItemRef,
  NewMovement,
  StockCount,
  StockItem,
  StockLot,
  StockRepository,
  WasteLine,
} from './stock.ports.ts';

/** How much of an item a person found; `useBy` dates what the record did not know of. */
export interface CountInput extends ItemRef {
  readonly amount: Amount;
  readonly useBy: Date | null;
}

/** What a count said, what the record said before, and how far apart they were (base units). */
export interface CountResult {
  readonly count: StockCount;
  readonly recorded: number;
  readonly item: StockItem;
}

export const WASTE_REASONS = [
  'out-of-date',
  'spoiled',
  'spilled',
  'over-made',
  'quality',
  'other',
] as const;
export type WasteReason = (typeof WASTE_REASONS)[number];

export interface WasteInput {
  /** One lot, or an item taken from its lots first-expiring first. */
  readonly of: { readonly lotId: string } | ItemRef;
  readonly amount: Amount;
  readonly reason: WasteReason;
  readonly note: string | null;
}

export interface WasteResult {
  readonly item: StockItem;
  readonly quantity: number;
  /** Each lot it came from, with the line of the waste record. */
  readonly lots: readonly TakenOut[];
}
interface TakenOut {
  readonly lotId: string;
  readonly lineId: string;
  readonly quantity: number;
}

/** Counts and waste: changes of stock that are not making or receiving. */
export class StockChangesService {
  readonly #deps: StockDependencies;

  constructor(deps: StockDependencies) {
    this.#deps = deps;
  }

  /**
   * Sets the record right after a count of everything there is of each item, held and expired lots
   * included. What is missing goes from the lots that expire first; what there is more of joins the
   * in-date lot that expires first (never made to look fresher), or makes a lot with the stated
   * use-by.
   * @throws Refusal `invalid-input` when there is more than on record and no use-by is known
   */
  async count(
    actor: Actor,
    siteId: string,
    inputs: readonly CountInput[],
  ): Promise<readonly CountResult[]> {
    await this.#requireSite(siteId);
    refuseRepeats(inputs);
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async ({ stock, audit }) => {
      const items = await loadItems(stock, inputs);
      const counted = inputs.map((input, i) => {
        const item = itemIn(items, input, `/counts/${i}`);
        const pointer = `/counts/${i}/amount`;
        return {
          input,
          item,
          quantity: baseQuantity(input.amount, item, pointer, { mayBeZero: true }),
        };
      });
      await stock.lockSite(siteId);
      const results: CountResult[] = [];
      for (const [i, { input, item, quantity }] of counted.entries()) {
        const lots = await stock.lotsOf(siteId, input);
        const recorded = totalOf(lots);
        const drift = quantity - recorded;
        if (drift < -NOTHING) {
          await this.#takeOut(stock, lots, -drift, (part) =>
            this.#movement(actor, 'counted', -part, now, null),
          );
        } else if (drift > NOTHING) {
          await this.#putMore(stock, actor, siteId, input, lots, drift, now, `/counts/${i}`);
        }
        const { itemKind, itemId } = input;
        const count: StockCount = {
          id: this.#deps.newId('cnt'),
          siteId,
          itemKind,
          itemId,
          quantity,
          drift: Math.abs(drift) <= NOTHING ? 0 : drift,
          countedAt: now,
          actorId: actor.id,
        };
        results.push({ count, recorded, item });
      }
      await stock.insertCounts(results.map((result) => result.count));
      await audit.append({
        actor,
        action: 'count',
        subjectKind: 'stock',
        subjectId: siteId,
        siteId,
        detail: {
          items: results.length,
          drifted: results.filter((r) => r.count.drift !== 0).length,
        },
      });
      return results;
    });
  }

  /**
   * Writes off what is thrown away, with the reason.
   * @throws Refusal `wrong-state` when the record holds less than that
   */
  async waste(actor: Actor, siteId: string, input: WasteInput): Promise<WasteResult> {
    await this.#requireSite(siteId);
    const now = this.#deps.clock.now();
    const reason = input.note === null ? input.reason : `${input.reason}: ${input.note}`;
    return this.#deps.work.run(async ({ stock, audit }) => {
      await stock.lockSite(siteId);
      const lots = await this.#lotsToWaste(stock, actor, siteId, input.of);
      const ref = 'lotId' in input.of ? lots[0] : input.of;
      if (!ref) throw new Error('A lot that was found has an item.');
      const item = itemIn(await loadItems(stock, [ref]), ref);
      const quantity = baseQuantity(input.amount, item, '/amount', { mayBeZero: false });
      const recorded = totalOf(lots);
      if (quantity > recorded + NOTHING) {
        const message = `There is less ${item.name} on record than that. Count it first.`;
        throw new Refusal('wrong-state', message, {
          issues: [{ pointer: '/amount/value', message }],
          detail: { recorded, baseUnit: item.measures.baseUnit },
        });
      }
      const taken = await this.#takeOut(stock, lots, quantity, (part) =>
        this.#movement(actor, 'wasted', -part, now, reason),
      );
      await audit.append({
        actor,
        action: 'waste',
        subjectKind: item.itemKind,
        subjectId: item.itemId,
        siteId,
        detail: { quantity, reason },
      });
      return { item, quantity: taken.reduce((sum, t) => sum + t.quantity, 0), lots: taken };
    });
  }

  /**
   * Takes back what was written off, within four hours: all of the lines or none.
   * @throws Refusal as `takeWasteBack`
   */
  async takeBackWaste(
    actor: Actor,
    siteId: string,
    lineIds: readonly string[],
  ): Promise<readonly OfItem<WasteLine>[]> {
    await this.#requireSite(siteId);
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async ({ stock, audit }) => {
      await stock.lockSite(siteId);
      const ids = [...new Set(lineIds)];
      const lines = await takeWasteBack(stock, actor, siteId, ids, now, this.#deps.newId);
      const items = await loadItems(stock, lines);
      for (const { id, itemKind, itemId, quantity, reason } of lines) {
        await audit.append({
          actor,
          action: 'waste-undo',
          subjectKind: itemKind,
          subjectId: itemId,
          siteId,
          detail: { lineId: id, quantity: -quantity, reason },
        });
      }
      return lines.map((line) => ({ value: line, item: itemIn(items, line) }));
    });
  }

  async #lotsToWaste(
    stock: StockRepository,
    actor: Actor,
    siteId: string,
    of: WasteInput['of'],
  ): Promise<readonly StockLot[]> {
    if (!('lotId' in of)) return stock.lotsOf(siteId, of);
    const lot = await stock.findLot(of.lotId);
    if (!lot || lot.siteId !== siteId || lot.archived || !maySeeSite(actor, lot.siteId)) {
      throw invalid('/lotId', `This site has no lot with the id ${of.lotId}.`);
    }
    return [lot];
  }

  /** Takes from lots in their order; each take is one conditional change with its movement. */
  async #takeOut(
    stock: StockRepository,
    lots: readonly StockLot[],
    quantity: number,
    movement: (part: number) => NewMovement,
  ): Promise<readonly TakenOut[]> {
    const out: TakenOut[] = [];
    for (const { lot, quantity: part } of takeInOrder(lots, quantity)) {
      const line = movement(part);
      if (!(await stock.move(lot.id, line))) {
        throw new Refusal('conflict', 'The stock changed at this very moment. Look and try again.');
      }
      out.push({ lotId: lot.id, lineId: line.id, quantity: part });
    }
    return out;
  }

  async #putMore(
    stock: StockRepository,
    actor: Actor,
    siteId: string,
    { itemKind, itemId, useBy }: CountInput,
    lots: readonly StockLot[],
    more: number,
    now: Date,
    pointer: string,
  ): Promise<void> {
    const movement = this.#movement(actor, 'counted', more, now, null);
    if (useBy === null) {
      const joins = lots.find((lot) => lot.heldReason === null && lot.useBy > now);
      if (!joins) {
        throw invalid(
          `${pointer}/useBy`,
          'There is more than on record, and no lot in date it could belong to: say its use-by.',
        );
      }
      if (!(await stock.move(joins.id, movement))) throw notFound('stock lot', joins.id);
      return;
    }
    checkDates({ madeAt: now, useBy }, now, pointer);
    await stock.insertLots([
      {
        lot: {
          id: this.#deps.newId('lot'),
          siteId,
          itemKind,
          itemId,
          quantity: more,
          madeAt: now,
          useBy,
          sourceKind: 'counted',
          sourceId: null,
          supplierLot: null,
          note: null,
        },
        movement,
      },
    ]);
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

  async #requireSite(siteId: string): Promise<void> {
    if (!(await this.#deps.work.read.sites.find(siteId))) throw notFound('site', siteId);
  }
}

function refuseRepeats(inputs: readonly CountInput[]): void {
  const seen = new Set<string>();
  const issues: RefusalIssue[] = [];
  for (const [i, input] of inputs.entries()) {
    const key = itemKey(input);
    if (seen.has(key)) {
      issues.push({
        pointer: `/counts/${i}/itemId`,
        message: 'This item is counted already; add the amounts together.',
      });
    }
    seen.add(key);
  }
  const [first] = issues;
  if (first) throw new Refusal('invalid-input', first.message, { issues });
}
