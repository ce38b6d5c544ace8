import { serviceDateOf } from '../../core/calendar/index.ts';
import { advanceOrder } from '../../core/ordering/index.ts';
import type { OrderEvent } from '../../core/ordering/index.ts';
import type { Money } from '../../core/money/index.ts';
import { orRefuse, Refusal, type Actor } from '../platform/index.ts';
import { orderToChange, saveOrder } from './order-access.ts';
import { afterStep, toRecord } from './order-record.ts';
import { missingToMinimum } from './order-value.ts';
import type { Order, OrdersWork } from './orders.ports.ts';
import type { OrdersDependencies } from './orders.service.ts';

/** A step as a route asks for it; who, when and on which version are added here. */
type StepOf<K extends OrderEvent['kind']> = Omit<
  Extract<OrderEvent, { kind: K }>,
  'kind' | 'by' | 'atMin' | 'version'
>;

/** Takes orders from proposed to closed, each step with who, when and on which version. */
export class OrderLifeService {
  readonly #deps: OrdersDependencies;

  constructor(deps: OrdersDependencies) {
    this.#deps = deps;
  }

  /**
   * Approves an order within the person's limit and gives it the supplier's next number.
   * @throws Refusal `over-limit`; `conflict` past the cutoff or below the supplier's minimum unless
   *         that is agreed, and past the delivery date
   */
  async approve(
    actor: Actor,
    id: string,
    rev: number,
    agreed: { readonly belowMinimum?: boolean; readonly late?: boolean } = {},
  ): Promise<Order> {
    return this.#step(actor, id, rev, async (work, order) => {
      const supplier = await work.suppliers.find(order.supplierId);
      const late = isLate(order, supplier?.zone ?? 'UTC', this.#deps.clock.now());
      if (late === 'over' || (late === 'past-cutoff' && agreed.late !== true)) {
        const message =
          late === 'over'
            ? 'The delivery date has passed. Work the orders out again.'
            : 'The cutoff of this delivery has passed. Say that the supplier takes it late, or work the orders out again.';
        throw new Refusal('conflict', message, {
          issues: [{ pointer: late === 'over' ? '' : '/agreedLate', message }],
        });
      }
      const missing = missingToMinimum(order, supplier ?? undefined);
      if (missing && agreed.belowMinimum !== true) {
        const message =
          'This order is below the supplier’s minimum. Fill it up, or say that the supplier agrees.';
        throw new Refusal('conflict', message, {
          issues: [{ pointer: '/agreedBelowMinimum', message }],
          detail: { missingValue: missing.value, missingPacks: missing.packs },
        });
      }
      const limit = await limitOf(work, actor, order.currency);
      const notes = [
        ...(missing ? ['the supplier agrees to an order below its minimum'] : []),
        ...(late ? ['the supplier takes it after the cutoff'] : []),
      ];
      return {
        kind: 'approve',
        limit,
        ...(notes.length > 0 ? { note: notes.join('; ') } : {}),
      };
    });
  }

  send(actor: Actor, id: string, rev: number, step: { agreedLate?: boolean }): Promise<Order> {
    return this.#step(actor, id, rev, async (_work, order) => ({
      kind: 'send',
      number: order.number === null ? '' : String(order.number),
      ...step,
    }));
  }

  /** `packs` by line id: only lines the supplier confirms in another number. */
  confirm(
    actor: Actor,
    id: string,
    rev: number,
    step: { readonly packs?: Readonly<Record<string, number>>; readonly supplierRef?: string },
  ): Promise<Order> {
    return this.#step(
      actor,
      id,
      rev,
      async (_work, order) => {
        const packOf = new Map(order.lines.map((line) => [line.id, line.packId]));
        const packs = Object.entries(step.packs ?? {}).map(([lineId, count]) => [
          packOf.get(lineId) ?? lineId,
          count,
        ]);
        return { kind: 'confirm', packs: Object.fromEntries(packs) as Record<string, number> };
      },
      (order) => ({ ...order, supplierRef: step.supplierRef ?? order.supplierRef }),
    );
  }

  /** Back to a proposal, before the cutoff. */
  reopen(actor: Actor, id: string, rev: number, reason: string): Promise<Order> {
    return this.#step(
      actor,
      id,
      rev,
      async () => ({ kind: 'reopen', note: reason }),
      (order) => ({ ...order, approvedBy: null, approvedAt: null, sentAt: null }),
    );
  }

  close(actor: Actor, id: string, rev: number): Promise<Order> {
    return this.#step(actor, id, rev, async () => ({ kind: 'close' }));
  }

  /** Takes an order back, with the reason. A number once given stays with it. */
  cancel(actor: Actor, id: string, rev: number, reason: string): Promise<Order> {
    return this.#step(
      actor,
      id,
      rev,
      async () => ({ kind: 'cancel', note: reason }),
      (order) => ({
        ...order,
        notes: [...order.notes, `Cancelled by ${actor.name}: ${reason}`],
      }),
    );
  }

  async #step<K extends OrderEvent['kind']>(
    actor: Actor,
    id: string,
    rev: number,
    eventOf: (work: OrdersWork, order: Order) => Promise<{ kind: K } & StepOf<K>>,
    more: (order: Order) => Order = (order) => order,
  ): Promise<Order> {
    const now = this.#deps.clock.now();
    const act = { by: actor.name, atMin: Math.floor(now.getTime() / 60_000), version: rev };
    return this.#deps.work.run(async (work) => {
      const { order, deliveries } = await orderToChange(work, actor, id, rev);
      const event = { ...(await eventOf(work, order)), ...act } as OrderEvent;
      const record = orRefuse(advanceOrder(toRecord(order, deliveries), event));
      const stepped = more(afterStep(order, record, now));
      const saved = await saveOrder(work, await dated(work, stepped, event, actor, now), order.rev);
      await work.audit.append({
        actor,
        action: event.kind,
        subjectKind: 'order',
        subjectId: id,
        siteId: order.siteId,
        detail: {
          total: order.total,
          currency: order.currency,
          was: order.status,
          ...(event.note === undefined ? {} : { reason: event.note }),
        },
      });
      return saved;
    });
  }
}

/** Whether an order can no longer come as usual: its cutoff, or its delivery date, is past. */
function isLate(order: Order, zone: string, now: Date): 'past-cutoff' | 'over' | null {
  if (order.cutoffAt >= now) return null;
  const today = orRefuse(serviceDateOf(Math.floor(now.getTime() / 60_000), zone));
  return order.deliveryDate < today ? 'over' : 'past-cutoff';
}

/** The order with what an approval or a sending dates: numbers are given once and kept. */
async function dated(
  work: OrdersWork,
  order: Order,
  event: OrderEvent,
  actor: Actor,
  now: Date,
): Promise<Order> {
  if (event.kind === 'send') return { ...order, sentAt: now };
  if (event.kind !== 'approve') return order;
  const number = order.number ?? (await work.orders.nextNumber(order.supplierId));
  return { ...order, number, approvedBy: actor.name, approvedAt: now };
}

/**
 * The most the actor may approve: their own limit in the currency of the order, else their role's in
 * it. Where both have limits in other currencies only, one of those, so that the order is refused: a
 * limit of 500.00 EUR is no leave to approve any sum in GBP. No limit where neither has any.
 */
async function limitOf(work: OrdersWork, actor: Actor, currency: string): Promise<Money | null> {
  const subjects = [actor.id, `role:${actor.role}`];
  const limits = await work.approvalLimits.of(subjects);
  const ofSubjects = subjects.flatMap((subject) => limits.filter((one) => one.subject === subject));
  const found = ofSubjects.find((limit) => limit.currency === currency) ?? ofSubjects[0];
  return found ? { amount: found.amount, currency: found.currency } : null;
}
