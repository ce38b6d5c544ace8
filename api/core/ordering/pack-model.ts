import { milpBuilder } from '../milp/index.ts';
import type { MilpBuilder, MilpModel } from '../milp/index.ts';
import { belowMinimumCost } from './pack-network.ts';
import type { NeedGroup, PackLot, PackNetwork } from './pack-network.ts';
import {
  addFlows,
  addTripLimits,
  addStretchRows,
  addLaterUse,
  pushTerm,
  shortagePenalty,
  stretchesSuffice,
} from './pack-model-cover.ts';
import type { Flow, LotVariables, Term, TierRange } from './pack-model-cover.ts';
import { mostPacks } from './most-packs.ts';
import type { PackLimits } from './most-packs.ts';
import { priceTiers } from './pack-price.ts';
import type { PackChoice, TripLoad } from './plan-outcome.ts';
import { keepingPerPack, keptOfNeeds } from './plan-value.ts';

/** A part of the network as a mixed-integer model, and the way back from its answer. */
export interface PackModel {
  readonly model: MilpModel;
  /** To add to the model's objective and bound: what the needs take off the cost of keeping. */
  readonly constant: number;
  /** Reads whole packs and loads from the values of the variables. */
  read(values: readonly number[]): PackChoice;
  /** True when the answer leaves needs open because suppliers cannot give more. */
  leavesNeedsOpen(values: readonly number[]): boolean;
  /** A known choice without trips as the start of the search. */
  start(choice: PackChoice): Map<number, number>;
}

/**
 * Least-cost packs as a mixed-integer model: whole packs per lot (one price tier at a time), an
 * order switch per delivery whose supplier asks a minimum or a charge, and cover of the needs in date:
 * by stretches of needs where that is enough, else by flows from lots to needs (goods carried between
 * sites, or that the supplier is short of or a trip has no room for). Leftovers that will be used in
 * date after the horizon come off the cost; each lot's are limited by its last day, all of an ingredient by the use a day.
 *
 * Source: integer programming of lot sizes with all-units discounts and fixed charges, textbook
 * form (Nemhauser & Wolsey, Integer and Combinatorial Optimization, 1988; from memory).
 */
export function buildPackModel(network: PackNetwork, groups: readonly NeedGroup[]): PackModel {
  const builder = milpBuilder();
  const lots = lotsOf(groups);
  const byLot = new Map<number, LotVariables>();
  const orderSwitch = addOrderSwitches(network, builder, [...lots.values()]);
  const most = mostPacks(network, groups, lots);
  const unitOf = new Map<string, number>();
  for (const lot of lots.values()) {
    const { ingredientId, quantityBase } = lot.offer;
    unitOf.set(ingredientId, Math.max(unitOf.get(ingredientId) ?? 0, quantityBase));
  }
  const unitBase = (ingredientId: string): number => unitOf.get(ingredientId) ?? 1;
  for (const lot of lots.values()) {
    const size = lot.offer.quantityBase / unitBase(lot.offer.ingredientId);
    const limits = most.get(lot.index) ?? { useful: 0, filler: 0 };
    const keep = keepingPerPack(network, lot);
    byLot.set(lot.index, addLot(builder, lot, { size, limits, keep, orderSwitch }));
  }
  addOrderMinimums(network, builder, byLot, orderSwitch);

  const flows: Flow[] = [];
  const shortages: number[] = [];
  const supply = new Map<number, Term[]>();
  const tripSwitch = new Map<number, number>();
  const shared = sharedLots(groups);
  for (const group of groups) {
    const unit = unitBase(group.ingredientId);
    const price = network.unitPrice.get(group.ingredientId)?.toNumber() ?? 0;
    const scarce =
      [...group.lots, ...group.carried.map((c) => c.lot)].some(
        (lot) => lot.offer.maxPacks !== undefined,
      ) || group.carried.some(({ trip }) => trip.route.massLimitG !== undefined);
    const context = { network, builder, group, unit, byLot, supply };
    const later = addLaterUse(context, price);
    for (const [index, variable] of later) pushTerm(supply, index, [variable, 1]);
    const alone = !scarce && stretchesSuffice(group, shared);
    if (!scarce) addStretchRows(context, later, orderSwitch, alone);
    if (alone) continue;
    const penalty = scarce ? shortagePenalty(network, lots, unit) : null;
    const added = addFlows(context, tripSwitch, penalty);
    flows.push(...added.flows);
    shortages.push(...added.shortages);
  }
  addTripLimits(builder, flows, tripSwitch);
  for (const [index, used] of supply) {
    const own = byLot.get(index);
    if (!own) continue;
    const bought = own.packs.map(({ variable }): Term => [variable, -own.size]);
    builder.addRow({
      name: `lot ${index}`,
      terms: [...used, ...bought],
      lower: -Infinity,
      upper: 0,
    });
  }
  const variables = [...byLot.values()];
  return {
    model: builder.build(),
    constant: -keptOfNeeds(network, groups),
    read: (values) => readChoice(variables, flows, values),
    leavesNeedsOpen: (values) => shortages.some((variable) => (values[variable] ?? 0) > 1e-6),
    start: (choice) => startFrom(variables, orderSwitch, choice),
  };
}

function lotsOf(groups: readonly NeedGroup[]): Map<number, PackLot> {
  const lots = new Map<number, PackLot>();
  for (const group of groups) {
    for (const lot of group.lots) lots.set(lot.index, lot);
    for (const { lot } of group.carried) lots.set(lot.index, lot);
  }
  return new Map([...lots].sort((a, b) => a[0] - b[0]));
}

/** Lots that more than one group draws on: their use must be followed by flows. */
function sharedLots(groups: readonly NeedGroup[]): Set<number> {
  const seen = new Map<number, string>();
  const shared = new Set<number>();
  for (const group of groups) {
    for (const lot of [...group.lots, ...group.carried.map((c) => c.lot)]) {
      const other = seen.get(lot.index);
      if (other !== undefined && other !== group.key) shared.add(lot.index);
      seen.set(lot.index, group.key);
    }
  }
  return shared;
}

function addOrderSwitches(
  network: PackNetwork,
  builder: MilpBuilder,
  lots: readonly PackLot[],
): Map<number, number> {
  const switches = new Map<number, number>();
  for (const { slotIndex } of lots) {
    const slot = network.slots[slotIndex];
    if (!slot?.coupling || switches.has(slotIndex)) continue;
    const cost = Number(slot.terms.deliveryCharge ?? 0);
    const name = `order ${slotIndex}`;
    switches.set(slotIndex, builder.addVariable({ name, cost, lower: 0, upper: 1, integer: true }));
  }
  return switches;
}

function addLot(
  builder: MilpBuilder,
  lot: PackLot,
  given: {
    size: number;
    limits: PackLimits;
    keep: number;
    orderSwitch: ReadonlyMap<number, number>;
  },
): LotVariables {
  const { size, limits, keep } = given;
  const limit = limits.useful;
  const ordered = given.orderSwitch.get(lot.slotIndex);
  const tiers = priceTiers(lot.offer)
    .filter((tier) => tier.fromPacks <= limit)
    .map((tier): TierRange => ({
      fromPacks: tier.fromPacks,
      toPacks: Math.min(tier.toPacks, limit),
      price: tier.price.toNumber(),
    }));
  const name = `packs ${lot.index}`;
  const plain = tiers.length === 1 && tiers[0]?.fromPacks === 1;
  const packs = tiers.map((tier, k) => {
    const variable = builder.addVariable({
      name: `${name} ${k}`,
      cost: tier.price + keep,
      lower: 0,
      upper: tier.toPacks,
      integer: true,
    });
    if (plain) return { variable, choose: null, tier };
    const choose = builder.addVariable({
      name: `tier ${lot.index} ${k}`,
      cost: 0,
      lower: 0,
      upper: 1,
      integer: true,
    });
    const least: Term[] = [
      [variable, 1],
      [choose, -tier.fromPacks],
    ];
    const greatest: Term[] = [
      [variable, 1],
      [choose, -tier.toPacks],
    ];
    builder.addRow({ name: `${name} from`, terms: least, lower: 0, upper: Infinity });
    builder.addRow({ name: `${name} to`, terms: greatest, lower: -Infinity, upper: 0 });
    return { variable, choose, tier };
  });
  if (plain && ordered !== undefined) {
    const terms = packs.map(({ variable }): Term => [variable, 1]);
    terms.push([ordered, -limit]);
    builder.addRow({ name: `${name} ordered`, terms, lower: -Infinity, upper: 0 });
  }
  if (!plain && packs.length > 0) {
    const terms = packs.flatMap(({ choose }): Term[] => (choose === null ? [] : [[choose, 1]]));
    if (ordered !== undefined) terms.push([ordered, -1]);
    const upper = ordered === undefined ? 1 : 0;
    builder.addRow({ name: `${name} one tier`, terms, lower: -Infinity, upper });
  }
  const last = packs.at(-1);
  if (!last || ordered === undefined || limits.filler === 0) {
    return { lot, size, packs, filler: null };
  }
  const filler = builder.addVariable({
    name: `filler ${lot.index}`,
    cost: last.tier.price + keep,
    lower: 0,
    upper: limits.filler,
    integer: true,
  });
  const terms: Term[] = [
    [filler, 1],
    [last.choose ?? ordered, -limits.filler],
  ];
  builder.addRow({ name: `filler ${lot.index} ordered`, terms, lower: -Infinity, upper: 0 });
  return { lot, size, packs, filler };
}

function addOrderMinimums(
  network: PackNetwork,
  builder: MilpBuilder,
  byLot: ReadonlyMap<number, LotVariables>,
  orderSwitch: ReadonlyMap<number, number>,
): void {
  for (const [slotIndex, ordered] of orderSwitch) {
    const terms = network.slots[slotIndex]?.terms;
    if (!terms) continue;
    const own = [...byLot.values()].filter(({ lot }) => lot.slotIndex === slotIndex);
    const value = own.flatMap(({ packs, filler }): Term[] => [
      ...packs.map(({ variable, tier }): Term => [variable, tier.price]),
      ...(filler === null ? [] : [[filler, packs.at(-1)?.tier.price ?? 0] as const]),
    ]);
    const count = own.flatMap(({ packs, filler }): Term[] => [
      ...packs.map(({ variable }): Term => [variable, 1]),
      ...(filler === null ? [] : [[filler, 1] as const]),
    ]);
    const below = addBelowMinimum(network, builder, slotIndex, ordered);
    const atLeast = (
      name: string,
      left: Term[],
      least: number,
      variable: number,
      unless: number | null = null,
    ): void => {
      const row: Term[] = [...left, [variable, -least]];
      if (unless !== null) row.push([unless, least]);
      builder.addRow({ name: `${name} ${slotIndex}`, terms: row, lower: 0, upper: Infinity });
    };
    const minValue = Number(terms.minOrderValue ?? 0);
    if (minValue > 0) atLeast('least value', value, minValue, ordered, below);
    const minPacks = terms.minOrderPacks ?? 0;
    if (minPacks > 1) atLeast('least packs', count, minPacks, ordered, below);
    const charge = Number(terms.deliveryCharge ?? 0);
    if (charge > 0 && terms.freeDeliveryFrom !== undefined) {
      const name = `free ${slotIndex}`;
      const free = builder.addVariable({ name, cost: -charge, lower: 0, upper: 1, integer: true });
      atLeast('free delivery', value, Number(terms.freeDeliveryFrom), free);
      const pair: Term[] = [
        [free, 1],
        [ordered, -1],
      ];
      builder.addRow({ name: `${name} ordered`, terms: pair, lower: -Infinity, upper: 0 });
    }
  }
}

/** A switch that lifts the minimums of a placed order at a cost; null where they always hold. */
function addBelowMinimum(
  network: PackNetwork,
  builder: MilpBuilder,
  slotIndex: number,
  ordered: number,
): number | null {
  const terms = network.slots[slotIndex]?.terms;
  const cost = terms ? belowMinimumCost(network, terms) : null;
  if (cost === null) return null;
  const name = `below minimum ${slotIndex}`;
  const below = builder.addVariable({ name, cost, lower: 0, upper: 1, integer: true });
  const pair: Term[] = [
    [below, 1],
    [ordered, -1],
  ];
  builder.addRow({ name, terms: pair, lower: -Infinity, upper: 0 });
  return below;
}

function readChoice(
  variables: readonly LotVariables[],
  flows: readonly Flow[],
  values: readonly number[],
): PackChoice {
  const packs = new Map<number, number>();
  const countOf = (variable: number | null): number =>
    variable === null ? 0 : Math.round(values[variable] ?? 0);
  for (const { lot, packs: tiers, filler } of variables) {
    const useful = tiers.reduce((sum, { variable }) => sum + countOf(variable), 0);
    const count = useful + countOf(filler);
    if (count > 0) packs.set(lot.index, count);
  }
  const loads = new Map<string, TripLoad>();
  for (const { variable, lot, trip, unitBase } of flows) {
    const quantityBase = (values[variable] ?? 0) * unitBase;
    if (quantityBase <= lot.offer.quantityBase * 1e-6) continue;
    const key = `${lot.index} ${trip.index}`;
    const known = loads.get(key)?.quantityBase ?? 0;
    loads.set(key, { lot, trip, quantityBase: known + quantityBase });
  }
  return { packs, loads: [...loads.values()] };
}

function startFrom(
  variables: readonly LotVariables[],
  orderSwitch: ReadonlyMap<number, number>,
  choice: PackChoice,
): Map<number, number> {
  const start = new Map<number, number>();
  for (const variable of orderSwitch.values()) start.set(variable, 0);
  for (const { lot, packs, filler } of variables) {
    const count = choice.packs.get(lot.index) ?? 0;
    const useful = Math.min(count, packs.at(-1)?.tier.toPacks ?? 0);
    const ordered = orderSwitch.get(lot.slotIndex);
    if (count > 0 && ordered !== undefined) start.set(ordered, 1);
    if (filler !== null) start.set(filler, count - useful);
    for (const { variable, choose, tier } of packs) {
      const here = useful >= tier.fromPacks && useful <= tier.toPacks && useful > 0;
      start.set(variable, here ? useful : 0);
      if (choose !== null) start.set(choose, here ? 1 : 0);
    }
  }
  return start;
}
