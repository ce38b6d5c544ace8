import type { PackLot, PackNetwork } from './pack-network.ts';

/** Cost of keeping what was bought from its first usable day to its use, or to the horizon's end. */
export function keepingCost(network: PackNetwork, packsByLot: ReadonlyMap<number, number>): number {
  let cost = 0;
  for (const [index, packs] of packsByLot) {
    const lot = network.lots[index];
    if (!lot) continue;
    cost += packs * keepingPerPack(network, lot);
  }
  return cost - keptOfNeeds(network, network.groups);
}

/** Keeping one pack of a lot from its first usable day to the end of the horizon. */
export function keepingPerPack(network: PackNetwork, lot: PackLot): number {
  const unit = network.unitPrice.get(lot.offer.ingredientId)?.toNumber() ?? 0;
  const days = Math.max(0, network.endDay - lot.usableDay);
  return network.holdingFractionPerDay * unit * lot.offer.quantityBase * days;
}

/** What the needs take off that: they are used before the end of the horizon. */
export function keptOfNeeds(network: PackNetwork, groups: PackNetwork['groups']): number {
  let saved = 0;
  for (const group of groups) {
    const unit = network.unitPrice.get(group.ingredientId)?.toNumber() ?? 0;
    for (const need of group.needs) {
      const days = Math.max(0, network.endDay - need.day);
      saved += network.holdingFractionPerDay * unit * need.quantityBase * days;
    }
  }
  return saved;
}

/** Worth of the leftovers used in date after the horizon, by lot index, at the cheapest price. */
export function leftoverWorth(
  network: PackNetwork,
  usedLaterByLot: Iterable<readonly [lotIndex: number, usedLaterBase: number]>,
): number {
  let worth = 0;
  for (const [index, usedLaterBase] of usedLaterByLot) {
    const lot = network.lots[index];
    const unit = lot && network.unitPrice.get(lot.offer.ingredientId);
    worth += (unit?.toNumber() ?? 0) * network.leftoverValueFraction * usedLaterBase;
  }
  return worth;
}
