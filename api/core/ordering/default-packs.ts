import { Decimal } from '../money/index.ts';
import { ok, type Result } from '../shared/result.ts';
import { checkPackProblem } from './check-pack-problem.ts';
import type { PackPlan, PackProblem } from './pack-offer.ts';
import { buildNetwork, servesOn } from './pack-network.ts';
import type { NeedGroup, PackLot, PackNetwork } from './pack-network.ts';
import { packsToHold, pricePerPack } from './pack-price.ts';
import { planOutcome } from './plan-outcome.ts';
import type { PackChoice } from './plan-outcome.ts';

interface Bought {
  readonly lot: PackLot;
  packs: number;
  usedBase: number;
}

/**
 * The usual habit, as packs by lot: every need is met by the latest delivery that reaches it, in the
 * ingredient's default pack (its first offer when none is marked), rounded up; what is left of
 * earlier packs in date is used first. An order below the supplier's minimum is raised with more of
 * its dearest line until it is reached.
 */
export function choosePacksByHabit(
  network: PackNetwork,
  groups: readonly NeedGroup[] = network.groups,
): PackChoice {
  const packs = new Map<number, number>();
  for (const group of groups) {
    const inHouse: Bought[] = [];
    for (const need of group.needs) {
      let open = need.quantityBase;
      const usable = inHouse
        .filter((b) => servesOn(b.lot, b.lot.usableDay, need.day))
        .sort((a, b) => a.lot.lastDay - b.lot.lastDay || a.lot.index - b.lot.index);
      for (const bought of usable) {
        const free = bought.packs * bought.lot.offer.quantityBase - bought.usedBase;
        const used = Math.min(free, open);
        bought.usedBase += used;
        open -= used;
      }
      for (const lot of preferredLots(group, need.day)) {
        if (open <= need.quantityBase * 1e-9) break;
        const known = inHouse.find((b) => b.lot === lot);
        const bought = known ?? { lot, packs: 0, usedBase: 0 };
        if (!known) inHouse.push(bought);
        const wanted = packsToHold(open, lot.offer.quantityBase);
        const room = (lot.offer.maxPacks ?? Infinity) - bought.packs;
        const fewest = bought.packs === 0 ? (lot.offer.minPacks ?? 1) : 0;
        const added = Math.min(Math.max(wanted, fewest), room);
        bought.packs += added;
        const used = Math.min(added * lot.offer.quantityBase, open);
        bought.usedBase += used;
        open -= used;
      }
    }
    for (const bought of inHouse) {
      if (bought.packs > 0) packs.set(bought.lot.index, bought.packs);
    }
  }
  raiseToMinimums(network, packs);
  return { packs, loads: [] };
}

/** Lots that serve the day: the default pack's first, then by the order of offers; latest first. */
function preferredLots(group: NeedGroup, day: number): PackLot[] {
  const rank = new Map<string, number>();
  for (const { offer } of group.lots) {
    if (!rank.has(offer.id)) rank.set(offer.id, offer.isDefault ? -1 : rank.size);
  }
  return group.lots
    .filter((lot) => servesOn(lot, lot.usableDay, day))
    .sort(
      (a, b) =>
        (rank.get(a.offer.id) ?? 0) - (rank.get(b.offer.id) ?? 0) ||
        b.usableDay - a.usableDay ||
        a.index - b.index,
    );
}

function raiseToMinimums(network: PackNetwork, packs: Map<number, number>): void {
  const bySlot = new Map<number, PackLot[]>();
  for (const index of packs.keys()) {
    const lot = network.lots[index];
    if (lot) bySlot.set(lot.slotIndex, [...(bySlot.get(lot.slotIndex) ?? []), lot]);
  }
  const costOf = (lot: PackLot): Decimal => {
    const n = packs.get(lot.index) ?? 0;
    return pricePerPack(lot.offer, n).times(n);
  };
  for (const [slotIndex, lots] of bySlot) {
    const terms = network.slots[slotIndex]?.terms;
    if (!terms) continue;
    const dearestFirst = [...lots].sort((a, b) => costOf(b).comparedTo(costOf(a)));
    for (const lot of dearestFirst) {
      // A price break may make the line cheaper, so packs are added one by one.
      for (let added = 0; added < 100_000; added += 1) {
        const value = lots.reduce((sum, l) => sum.plus(costOf(l)), new Decimal(0));
        const count = lots.reduce((sum, l) => sum + (packs.get(l.index) ?? 0), 0);
        const reached = value.gte(terms.minOrderValue ?? 0) && count >= (terms.minOrderPacks ?? 0);
        const own = packs.get(lot.index) ?? 0;
        if (reached || own >= (lot.offer.maxPacks ?? Infinity)) break;
        packs.set(lot.index, own + 1);
      }
    }
  }
}

/**
 * The plan a kitchen makes by habit (see choosePacksByHabit), in the same form as choosePacks and
 * under the same rules: the yardstick for what choosing saves. It proves nothing, so it has no
 * bound.
 *
 * Errors: as checkPackProblem.
 */
export function defaultPacks(problem: PackProblem): Result<PackPlan> {
  const checked = checkPackProblem(problem);
  if (!checked.ok) return checked;
  const network = buildNetwork(problem);
  return ok(planOutcome(network, choosePacksByHabit(network), { method: 'habit', bound: null }));
}
