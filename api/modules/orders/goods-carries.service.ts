import { judgeCarried, ruleSetOf } from '../../core/safety/index.ts';
import type { Amount } from '../../core/quantity/index.ts';
import { measuresOf, toBaseOrRefuse } from '../ingredients/index.ts';
import {
  maySeeSite,
  notFound,
  Refusal,
  requireRevision,
  requireSite,
  type Actor,
} from '../platform/index.ts';
import type { StockLot } from '../stock/index.ts';
import type { GoodsCarry } from './joint-purchases.ports.ts';
import type { OrdersWork } from './orders.ports.ts';
import type { OrdersDependencies } from './orders.service.ts';

/** Less than this is what is left of adding and taking decimals, not goods. */
const CRUMB = 1e-6;
/** More than this many times what was planned is a slip of the finger. */
const PLAUSIBLE_TIMES = 3;

/** What came with a trip, as it was written, and the warmest reading where one was taken. */
export interface CameWith {
  readonly amount: Amount;
  readonly celsius: number | null;
}

/** The same in base units. */
interface CameInBase {
  readonly quantity: number;
  readonly celsius: number | null;
}

/** Goods on their way from the site that bought them to the one that uses them. */
export class GoodsCarriesService {
  readonly #deps: OrdersDependencies;

  constructor(deps: OrdersDependencies) {
    this.#deps = deps;
  }

  /**
   * Writes down what came: it leaves the lots of the buying site, those that keep longest first, and
   * stands here in lots of the same use-by. Too warm, it is held until a lead decides.
   * @throws Refusal `conflict` when it was written down before or there is less of it over there;
   *         `out-of-range` for implausibly much; as for amounts where the unit is none of the goods
   */
  async receive(actor: Actor, id: string, rev: number, came: CameWith): Promise<GoodsCarry> {
    const { work, clock } = this.#deps;
    const now = clock.now();
    return work.run(async (inside) => {
      const seen = await find(inside, actor, id);
      requireSite(actor, seen.toSiteId);
      for (const siteId of [seen.fromSiteId, seen.toSiteId].sort()) {
        await inside.stock.lockSite(siteId);
      }
      const carry = await this.#planned(inside, actor, id, rev);
      const ingredient = await inside.ingredients.find(carry.ingredientId);
      if (!ingredient) throw notFound('goods carry', id);
      const quantity = toBaseOrRefuse(came.amount, measuresOf(ingredient), '/amount');
      if (quantity > carry.quantity * PLAUSIBLE_TIMES) {
        const message = `That is more than ${PLAUSIBLE_TIMES} times what was planned. Check the amount and its unit.`;
        throw new Refusal('out-of-range', message, { issues: [{ pointer: '/amount', message }] });
      }
      const inBase = { quantity, celsius: came.celsius };
      await this.#move(inside, actor, carry, inBase, now);
      const carried = { ...inBase, by: actor.name, at: now.toISOString() };
      return change(inside, carry, { status: 'carried', carried });
    });
  }

  /** Calls a carry off before its trip: either site buys for itself again. */
  async drop(actor: Actor, id: string, rev: number, reason: string): Promise<GoodsCarry> {
    return this.#deps.work.run(async (inside) => {
      const carry = await this.#planned(inside, actor, id, rev);
      await inside.audit.append({
        actor,
        action: 'drop',
        subjectKind: 'goods carry',
        subjectId: id,
        detail: { reason },
      });
      return change(inside, carry, { status: 'dropped', reason });
    });
  }

  async #planned(inside: OrdersWork, actor: Actor, id: string, rev: number): Promise<GoodsCarry> {
    const carry = await find(inside, actor, id);
    requireRevision(rev, carry);
    if (carry.status !== 'planned') {
      throw new Refusal('conflict', `These goods are ${carry.status} already.`);
    }
    return carry;
  }

  async #move(
    inside: OrdersWork,
    actor: Actor,
    carry: GoodsCarry,
    came: CameInBase,
    at: Date,
  ): Promise<void> {
    const ref = { itemKind: 'ingredient' as const, itemId: carry.ingredientId };
    const site = await inside.sites.find(carry.toSiteId);
    const ingredient = await inside.ingredients.find(carry.ingredientId);
    if (!site || !ingredient) throw notFound('goods carry', carry.id);
    const usable = (await inside.stock.lotsOf(carry.fromSiteId, ref)).filter(
      (lot) => lot.heldReason === null && lot.useBy > at,
    );
    const lots = [...usable].sort((a, b) => b.useBy.getTime() - a.useBy.getTime());
    const there = lots.reduce((sum, lot) => sum + lot.quantity, 0);
    if (there < came.quantity - CRUMB) {
      const message = `The site that bought it has ${inWords(there, ingredient.baseUnit)} on record, less than came. Count it there first.`;
      throw new Refusal('conflict', message, { issues: [{ pointer: '/amount', message }] });
    }
    const judged =
      came.celsius === null
        ? null
        : judgeCarried(came.celsius, ingredient.storage, ruleSetOf(site.ruleSet));
    const held = judged?.verdict === 'warm' ? judged.message : null;
    let left = came.quantity;
    for (const lot of lots) {
      if (left <= CRUMB) break;
      const part = Math.min(left, lot.quantity);
      left -= part;
      await this.#movePart(inside, { actor, carry, lot, part, at, held });
    }
  }

  async #movePart(
    inside: OrdersWork,
    given: {
      readonly actor: Actor;
      readonly carry: GoodsCarry;
      readonly lot: StockLot;
      readonly part: number;
      readonly at: Date;
      readonly held: string | null;
    },
  ): Promise<void> {
    const { actor, carry, lot, part, at, held } = given;
    const movement = (kind: string, quantity: number, reason: string | null = null) => ({
      id: this.#deps.newId('mov'),
      kind,
      quantity,
      at,
      actorId: actor.id,
      reason,
    });
    if (!(await inside.stock.move(lot.id, movement('sent', -part)))) {
      throw new Refusal('conflict', 'Somebody else took from these goods just now. Look again.');
    }
    const id = this.#deps.newId('lot');
    await inside.stock.insertLots([
      {
        lot: {
          id,
          siteId: carry.toSiteId,
          itemKind: 'ingredient',
          itemId: carry.ingredientId,
          quantity: part,
          madeAt: lot.madeAt,
          useBy: lot.useBy,
          sourceKind: 'transfer',
          sourceId: lot.id,
          supplierLot: lot.supplierLot,
          note: null,
        },
        movement: movement('came', part),
      },
    ]);
    if (held !== null) await inside.stock.setHeld(id, held, movement('held', 0, held));
  }
}

const UNIT_WORDS = { g: ' g', ml: ' ml', each: ' pieces' } as const;
const inWords = (quantity: number, unit: keyof typeof UNIT_WORDS): string =>
  `${Number(quantity.toFixed(1))}${UNIT_WORDS[unit]}`;

async function find(work: OrdersWork, actor: Actor, id: string): Promise<GoodsCarry> {
  const carry = await work.jointPurchases.findCarry(id);
  if (!carry || !(maySeeSite(actor, carry.fromSiteId) || maySeeSite(actor, carry.toSiteId))) {
    throw notFound('goods carry', id);
  }
  return carry;
}

async function change(
  work: OrdersWork,
  carry: GoodsCarry,
  to: Partial<GoodsCarry>,
): Promise<GoodsCarry> {
  if (!(await work.jointPurchases.changeCarry(carry.id, carry.rev, to))) {
    throw new Refusal('conflict', 'Somebody else changed this just now. Look again.');
  }
  return { ...carry, ...to, rev: carry.rev + 1 };
}
