import type { NewId } from '../platform/index.ts';
import { addDays } from '../../core/calendar/index.ts';
import { contractsForChoice } from '../supply-terms/index.ts';
import { withCarriedNodes } from './carries.ts';
import { isOpenToPlan } from './buy-needs.ts';
import type { OrderBook } from './order-book.ts';
import { refreshStanding } from './order-refresh.ts';
import type { Order, OrdersWork } from './orders.ports.ts';
import type { Proposal, ProposalInput, ProposedOrder } from './proposal.ts';

/** Orders that are not over: the plan may still change them, or they will bring something. */
const STANDING: readonly Order['status'][] = [
  'proposed',
  'approved',
  'sent',
  'confirmed',
  'part-delivered',
];

/** Goods do not wait longer than this for a trip; our own setting, no source. */
const HELD_DAYS = 60;

/** Everything a site's orders depend on, as it stands; null where the site has no plan. */
export async function proposalInput(
  work: OrdersWork,
  given: {
    readonly siteId: string;
    readonly book: OrderBook;
    readonly now: Date;
    readonly days: number;
    readonly newId: NewId;
  },
): Promise<ProposalInput | null> {
  const { siteId, book, now, days, newId } = given;
  const site = book.sites.get(siteId);
  const plan = site && (await work.prep.currentPlan(siteId));
  const planGraph = plan && (await work.prep.explanation(plan.id));
  if (!site || !plan || !planGraph) return null;
  const standing = await standingOrders(work, siteId);
  const carries = await work.jointPurchases.carries({ siteIds: [siteId], statuses: ['planned'] });
  const out = carries.filter((carry) => carry.fromSiteId === siteId);
  const holdingOrders =
    out.length === 0
      ? []
      : await work.orders.matching({
          siteIds: [siteId],
          from: addDays(out[0]?.tripDate ?? '', -HELD_DAYS),
        });
  return {
    site,
    planId: plan.id,
    needs: await work.prep.needsOfPlan(plan.id),
    planGraph: withCarriedNodes(planGraph, carries, (id) => book.sites.get(id)?.name ?? id, {
      siteId,
      holdingOrders,
      unitOf: (id) => book.ingredients.get(id)?.baseUnit ?? 'g',
    }),
    carries,
    holdingOrders,
    book,
    contracts: contractsForChoice(
      [...book.contracts.values()].filter(
        (contract) =>
          contract.siteId === siteId || out.some((carry) => carry.toSiteId === contract.siteId),
      ),
      book.ingredients.values(),
    ),
    closedDates: (await work.sites.closedDaysOf(siteId)).map(({ date }) => date),
    lots: await work.orders.ingredientLots(siteId),
    standing,
    deliveries: await work.orders.deliveriesOf(standing.map((order) => order.id)),
    now,
    days,
    newId,
  };
}

const standingOrders = (work: OrdersWork, siteId: string): Promise<readonly Order[]> =>
  work.orders.matching({ siteIds: [siteId], statuses: STANDING });

const sameDelivery = (a: Order, b: Order): boolean =>
  a.supplierId === b.supplierId && a.deliveryDate === b.deliveryDate;

/**
 * Puts a proposal in place: orders that may still change are brought up to it, new ones come in,
 * and those it does without go (a numbered one stays on record, cancelled). What cannot be bought is
 * kept, so that a run made at night can be read in the morning.
 *
 * @returns false, with nothing changed, when the plan or the orders are not what the proposal was
 *          made from any more
 */
export async function applyProposal(
  work: OrdersWork,
  input: ProposalInput,
  proposal: Proposal,
  by: string,
): Promise<boolean> {
  const siteId = input.site.id;
  await work.prep.lockSite(siteId);
  const plan = await work.prep.currentPlan(siteId);
  const standing = await standingOrders(work, siteId);
  if (plan?.id !== input.planId || !sameOrders(standing, input.standing)) return false;
  const changeable = standing.filter((order) => isOpenToPlan(order, input.now));
  for (const proposed of proposal.orders) {
    const old = changeable.find((order) => sameDelivery(order, proposed.order));
    if (old) await refresh(work, input, old, proposed);
    else {
      await work.orders.insert(proposed.order);
      await work.orders.saveExplanation(input.newId('exp'), proposed.order.id, proposed.graph);
    }
  }
  for (const old of changeable) {
    if (proposal.orders.some(({ order }) => sameDelivery(order, old))) continue;
    if (old.planId === null && old.cutoffAt > input.now) continue;
    await refresh(work, input, old, null);
  }
  await shortenCarries(work, input, proposal);
  await work.orders.saveRun({
    siteId,
    planId: input.planId,
    days: input.days,
    workedOutAt: input.now,
    workedOutBy: by,
    shortfalls: proposal.shortfalls,
    additions: proposal.additions,
    warnings: proposal.warnings,
  });
  return true;
}

/** Crumbs of binary arithmetic take no piece away. */
const CRUMB = 1e-6;

/** What cannot be bought for another site in time is not promised to it: it buys that itself. */
async function shortenCarries(
  work: OrdersWork,
  input: ProposalInput,
  proposal: Proposal,
): Promise<void> {
  const missing = proposal.shortfalls.filter((short) => short.siteId !== input.site.id);
  const isCounted = (id: string): boolean => input.book.ingredients.get(id)?.baseUnit === 'each';
  for (const carry of input.carries) {
    if (carry.fromSiteId !== input.site.id || missing.length === 0) continue;
    const uses = carry.uses
      .map((use) => {
        const short = missing.find(
          (one) =>
            one.siteId === carry.toSiteId &&
            one.ingredientId === carry.ingredientId &&
            one.needDate === use.needDate,
        );
        const left = Math.max(0, use.quantity - (short?.quantity ?? 0));
        // Part of a piece cannot be carried: it is not promised either.
        const quantity = short && isCounted(carry.ingredientId) ? Math.floor(left + CRUMB) : left;
        return { ...use, quantity, certain: Math.min(use.certain, quantity) };
      })
      .filter((use) => use.quantity > 0);
    const quantity = uses.reduce((sum, use) => sum + use.quantity, 0);
    if (quantity === carry.quantity) continue;
    await work.jointPurchases.changeCarry(carry.id, carry.rev, {
      uses,
      quantity,
      ...(quantity > 0
        ? {}
        : { status: 'dropped' as const, reason: 'It can no longer be bought in time.' }),
    });
  }
}

const sameOrders = (now: readonly Order[], before: readonly Order[]): boolean =>
  now.length === before.length &&
  now.every((order) => before.some((b) => b.id === order.id && b.rev === order.rev));

const whatMatters = ({ status, total, deliveryCharge, notes, lines }: Order): string =>
  JSON.stringify({ status, total: Number(total), charge: Number(deliveryCharge), notes, lines });

async function refresh(
  work: OrdersWork,
  input: ProposalInput,
  old: Order,
  proposed: ProposedOrder | null,
): Promise<void> {
  const { order } = refreshStanding(old, proposed, input);
  const over = old.cutoffAt <= input.now;
  if (order.lines.length > 0 && !over) {
    // Nothing new: the revision stays, so that nobody's open page goes stale for it.
    if (whatMatters(order) === whatMatters(old)) return;
    await work.orders.save({ ...order, rev: old.rev + 1 }, old.rev);
    if (proposed) await work.orders.saveExplanation(input.newId('exp'), old.id, proposed.graph);
    return;
  }
  if (old.number === null) {
    await work.orders.remove(old.id);
    return;
  }
  const why = over ? 'its cutoff passed before it was sent' : 'nothing of it is needed any more';
  await work.orders.save(
    {
      ...old,
      status: 'cancelled',
      notes: [...old.notes, `Taken off: ${why}.`],
      history: [
        ...old.history,
        { state: 'cancelled', by: 'the plan', at: input.now.toISOString(), note: why },
      ],
      rev: old.rev + 1,
    },
    old.rev,
  );
}
