import { addDays, serviceDateOf, serviceInstant } from '../../core/calendar/index.ts';
import { netNeeds } from '../../core/netting/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { IngredientNeedRow } from '../prep/index.ts';
import type { Pack } from '../suppliers/index.ts';
import type { OpenBuy, ProposalInput } from './proposal.ts';

/** Less than this is a crumb of binary arithmetic. */
export const CRUMB = 1e-9;
/** Days that goods keep when neither the pack nor the ingredient says; common practice, no source. */
const KEEPS_DAYS = 3;

export const needMinute = (need: IngredientNeedRow): number =>
  Math.floor(need.at.getTime() / 60_000);

/** Days the pack keeps from its delivery. */
export const keepsDays = (input: ProposalInput, pack: Pack | undefined, ingredientId: string) =>
  pack?.shelfLifeDays ?? input.ingredients.get(ingredientId)?.shelfLifeDays ?? KEEPS_DAYS;

/** Needs within the days asked for, less stock in date and deliveries due, by ingredient and day. */
export function openBuys(input: ProposalInput): ReadonlyMap<string, readonly OpenBuy[]> {
  const today = orRefuse(serviceDateOf(Math.floor(input.now.getTime() / 60_000), input.site.zone));
  const last = addDays(today, input.days);
  const result = new Map<string, readonly OpenBuy[]>();
  for (const id of new Set(input.needs.map((need) => need.ingredientId))) {
    if (input.ingredients.get(id)?.notBought === true) continue;
    const own = input.needs.filter((need) => need.ingredientId === id && need.needDate <= last);
    const netted = orRefuse(
      netNeeds({
        needs: own.map((need) => ({
          id: need.id,
          atMin: needMinute(need),
          untilMin: needMinute(need),
          quantity: need.quantity,
        })),
        lots: supplyOf(input, id),
      }),
    );
    const open = new Map(netted.net.map((net) => [net.id, net.quantity]));
    const name = input.ingredients.get(id)?.name ?? id;
    const buys = own.map((need) => ({
      need,
      open: open.get(need.id) ?? 0,
      taken: netted.allocations
        .filter((allocation) => allocation.needId === need.id)
        .map(({ lotId, quantity }) => ({ lotId, quantity, label: `${name} in stock or due` })),
    }));
    result.set(
      id,
      buys
        .filter((buy) => buy.open > CRUMB)
        .sort((a, b) => needMinute(a.need) - needMinute(b.need)),
    );
  }
  return result;
}

function supplyOf(input: ProposalInput, ingredientId: string) {
  const lots = input.lots
    .filter((lot) => lot.itemId === ingredientId)
    .map((lot) => ({
      id: lot.id,
      quantity: lot.quantity,
      availableFromMin: 0,
      useByMin: Math.floor(lot.useBy.getTime() / 60_000),
    }));
  const due = input.due.flatMap((order) =>
    order.lines
      .filter((line) => line.ingredientId === ingredientId && line.packs > line.receivedPacks)
      .map((line) => {
        const pack = input.packs.find((p) => p.id === line.packId);
        const from = orRefuse(serviceInstant(order.deliveryDate, '00:00', input.site.zone));
        return {
          id: line.id,
          quantity: (line.packs - line.receivedPacks) * (pack?.quantityBase ?? 0),
          availableFromMin: from,
          useByMin: from + keepsDays(input, pack, ingredientId) * 1440,
        };
      }),
  );
  return [...lots, ...due];
}
