import type { MilpBuilder } from '../milp/index.ts';
import type { NeedGroup, NetworkNeed, PackLot, PackNetwork, Trip } from './pack-network.ts';
import { servesOn } from './pack-network.ts';

/** A variable of the model and its coefficient in a row. */
export type Term = readonly [variable: number, coefficient: number];

export interface LotVariables {
  readonly lot: PackLot;
  /** Content of a pack in the group's unit. */
  readonly size: number;
  /** Packs that can be useful, by price tier. */
  readonly packs: readonly { variable: number; choose: number | null; tier: TierRange }[];
  /** Packs that only help to reach a minimum, at the last tier's price. */
  readonly filler: number | null;
}

export interface TierRange {
  readonly fromPacks: number;
  readonly toPacks: number;
  readonly price: number;
}

export interface Flow {
  readonly variable: number;
  readonly lot: PackLot;
  readonly trip: Trip;
  readonly unitBase: number;
}

export function pushTerm(map: Map<number, Term[]>, index: number, term: Term): void {
  const terms = map.get(index) ?? [];
  terms.push(term);
  map.set(index, terms);
}

export interface GroupContext {
  readonly network: PackNetwork;
  readonly builder: MilpBuilder;
  readonly group: NeedGroup;
  readonly unit: number;
  readonly byLot: ReadonlyMap<number, LotVariables>;
  readonly supply: Map<number, Term[]>;
}

/** Leftovers of each lot used after the horizon, earliest last day first within the use a day. */
export function addLaterUse(context: GroupContext, unitPrice: number): Map<number, number> {
  const { network, builder, group, unit } = context;
  const perDay = (group.laterPerDayBase ?? 0) / unit;
  const worth = unitPrice * unit * network.leftoverValueFraction;
  const later = new Map<number, number>();
  if (perDay <= 0 || worth <= 0) return later;
  const lots = group.lots.filter(
    (lot) => lot.lastDay > network.endDay && Number.isFinite(lot.lastDay),
  );
  for (const lot of lots) {
    const upper = perDay * (lot.lastDay - network.endDay);
    const name = `later ${lot.index}`;
    later.set(
      lot.index,
      builder.addVariable({ name, cost: -worth, lower: 0, upper, integer: false }),
    );
  }
  for (const lastDay of new Set(lots.map((lot) => lot.lastDay))) {
    const terms = lots
      .filter((lot) => lot.lastDay <= lastDay)
      .map((lot): Term => [later.get(lot.index) ?? 0, 1]);
    const upper = perDay * (lastDay - network.endDay);
    if (terms.length > 1) {
      builder.addRow({ name: `later to ${lastDay}`, terms, lower: -Infinity, upper });
    }
  }
  return later;
}

/**
 * True when stretch rows alone are enough: nothing is carried in, no other group draws on the lots,
 * and no lot's time in date lies strictly inside another's.
 *
 * Why: needs can all be met when each set of needs is held by the lots that reach it (Hall). If a
 * set leaves a gap that a lot spans, then no lot lies inside the gap, so closing the gap adds needs
 * and no lots; if none spans it, the two sides have no lot in common. Either way the condition
 * follows from those of unbroken stretches.
 */
export function stretchesSuffice(group: NeedGroup, shared: ReadonlySet<number>): boolean {
  if (group.carried.length > 0 || group.lots.some((lot) => shared.has(lot.index))) return false;
  const windows = group.lots.map((lot) => {
    const served = group.needs.filter((need) => servesOn(lot, lot.usableDay, need.day));
    return { first: served[0]?.day ?? 0, last: served.at(-1)?.day ?? 0 };
  });
  return windows.every((inner) =>
    windows.every((outer) => !(outer.first < inner.first && inner.last < outer.last)),
  );
}

/** For each set of lots that a stretch of needs can draw on, the largest such stretch. */
function widestStretches(group: NeedGroup): { needBase: number; lots: Set<PackLot> }[] {
  const reach = [
    ...group.lots.map((lot) => ({ lot, fromDay: lot.usableDay })),
    ...group.carried.map(({ lot, trip }) => ({ lot, fromDay: trip.arrivesDay })),
  ];
  const widest = new Map<string, { needBase: number; lots: Set<PackLot> }>();
  for (const [first, start] of group.needs.entries()) {
    let needBase = 0;
    for (const end of group.needs.slice(first)) {
      needBase += end.quantityBase;
      const inside = reach.filter(
        ({ lot, fromDay }) => fromDay <= end.day && lot.lastDay >= start.day,
      );
      const lots = new Set(inside.map(({ lot }) => lot));
      const key = [...lots].map((lot) => lot.index).join(' ');
      if (needBase > (widest.get(key)?.needBase ?? 0)) widest.set(key, { needBase, lots });
    }
  }
  return [...widest.values()];
}

/**
 * For each stretch of needs, the packs of the lots that reach into it, less what is kept for later,
 * must hold them all. Whole packs of a common size make that a sharper limit (Chvátal's rounding),
 * and where every such lot belongs to an order with a switch, one of the orders must be placed.
 *
 * @param alone true when no flows follow, so that these rows must say all (see stretchesSuffice);
 *              otherwise they only shorten the proof, and no plan is cut off by them
 */
export function addStretchRows(
  context: GroupContext,
  later: ReadonlyMap<number, number>,
  orderSwitch: ReadonlyMap<number, number>,
  alone: boolean,
): void {
  const { builder, group, byLot, unit } = context;
  for (const { needBase, lots } of widestStretches(group)) {
    const packTerms = (perBase: number): Term[] =>
      [...lots].flatMap((lot) =>
        (byLot.get(lot.index)?.packs ?? []).map(({ variable }): Term => [
          variable,
          lot.offer.quantityBase / perBase,
        ]),
      );
    const common = commonSize([...lots].map((lot) => lot.offer.quantityBase));
    if (common !== null) {
      const lower = Math.ceil(needBase / common - 1e-9);
      const name = `whole packs ${group.key}`;
      builder.addRow({ name, terms: packTerms(common), lower, upper: Infinity });
    }
    const kept = [...lots].flatMap((lot): Term[] => {
      const variable = later.get(lot.index);
      return variable === undefined ? [] : [[variable, -1]];
    });
    if (alone && (common === null || kept.length > 0)) {
      const name = `stretch ${group.key}`;
      const terms = [...packTerms(unit), ...kept];
      builder.addRow({ name, terms, lower: needBase / unit, upper: Infinity });
    }
    const orders = [...new Set([...lots].map((lot) => orderSwitch.get(lot.slotIndex)))];
    const switches = orders.filter((variable) => variable !== undefined);
    if (switches.length === orders.length && orders.length > 0) {
      const one = switches.map((variable): Term => [variable, 1]);
      builder.addRow({ name: `ordered ${group.key}`, terms: one, lower: 1, upper: Infinity });
    }
  }
}

/** Largest size of which all are whole multiples; null when it is too fine to help. */
function commonSize(sizesBase: readonly number[]): number | null {
  const steps = sizesBase.map((size) => Math.round(size * 1000));
  const whole = sizesBase.every((size, i) => Math.abs(size * 1000 - (steps[i] ?? 0)) < 1e-6);
  const divisor = steps.reduce((a, b) => {
    while (b !== 0) [a, b] = [b, a % b];
    return a;
  }, 0);
  return whole && divisor / 1000 > Math.max(...sizesBase) / 1000 ? divisor / 1000 : null;
}

/** Cover by flows from each lot to each need it can serve in date, directly or by a trip. */
export function addFlows(
  context: GroupContext,
  tripSwitch: Map<number, number>,
  penalty: number | null,
): { flows: Flow[]; shortages: number[] } {
  const { builder, group, unit, supply } = context;
  const flows: Flow[] = [];
  const shortages: number[] = [];
  const flow = (name: string, lot: PackLot, need: NetworkNeed): number => {
    const upper = need.quantityBase / unit;
    const variable = builder.addVariable({ name, cost: 0, lower: 0, upper, integer: false });
    pushTerm(supply, lot.index, [variable, 1]);
    return variable;
  };
  for (const need of group.needs) {
    const terms: Term[] = [];
    for (const lot of group.lots) {
      if (!servesOn(lot, lot.usableDay, need.day)) continue;
      terms.push([flow(`use ${lot.index} ${need.index}`, lot, need), 1]);
    }
    for (const { lot, trip } of group.carried) {
      if (!servesOn(lot, trip.arrivesDay, need.day)) continue;
      const variable = flow(`carry ${lot.index} ${need.index} ${trip.index}`, lot, need);
      terms.push([variable, 1]);
      flows.push({ variable, lot, trip, unitBase: unit });
      const goes = tripSwitch.get(trip.index) ?? addTrip(builder, trip, tripSwitch);
      const pair: Term[] = [
        [variable, 1],
        [goes, -need.quantityBase / unit],
      ];
      builder.addRow({ name: `trip ${trip.index}`, terms: pair, lower: -Infinity, upper: 0 });
    }
    if (penalty !== null) {
      const name = `open ${need.index}`;
      const upper = need.quantityBase / unit;
      const open = builder.addVariable({ name, cost: penalty, lower: 0, upper, integer: false });
      shortages.push(open);
      terms.push([open, 1]);
    }
    const lower = need.quantityBase / unit;
    builder.addRow({ name: `need ${need.index}`, terms, lower, upper: Infinity });
  }
  return { flows, shortages };
}

/** What goes on a trip weighs no more than it can take, over all ingredients together. */
export function addTripLimits(
  builder: MilpBuilder,
  flows: readonly Flow[],
  tripSwitch: ReadonlyMap<number, number>,
): void {
  const byTrip = new Map<Trip, Term[]>();
  for (const { variable, lot, trip, unitBase } of flows) {
    const { massLimitG } = trip.route;
    if (massLimitG === undefined) continue;
    // In hundredths of what the trip takes, so that the row is well scaled.
    const mass = (100 * unitBase * (lot.offer.massPerBaseG ?? 0)) / massLimitG;
    const terms = byTrip.get(trip);
    if (terms) terms.push([variable, mass]);
    else byTrip.set(trip, [[variable, mass]]);
  }
  for (const [trip, loads] of byTrip) {
    const goes = tripSwitch.get(trip.index);
    if (goes === undefined) continue;
    const terms: Term[] = [...loads, [goes, -100]];
    builder.addRow({ name: `mass ${trip.index}`, terms, lower: -Infinity, upper: 0 });
  }
}

function addTrip(builder: MilpBuilder, trip: Trip, tripSwitch: Map<number, number>): number {
  const cost = Number(trip.route.costPerTrip);
  const name = `trip ${trip.index}`;
  const variable = builder.addVariable({ name, cost, lower: 0, upper: 1, integer: true });
  tripSwitch.set(trip.index, variable);
  return variable;
}

/** Dearer than any way of buying a unit: a need stays open only when nothing can be bought. */
export function shortagePenalty(
  network: PackNetwork,
  lots: ReadonlyMap<number, PackLot>,
  unit: number,
): number {
  let dearest = 1;
  for (const lot of lots.values()) {
    const { terms } = network.slots[lot.slotIndex] ?? {};
    const order = Number(terms?.minOrderValue ?? 0) + Number(terms?.deliveryCharge ?? 0);
    const perUnit = (Number(lot.offer.price) / lot.offer.quantityBase) * unit;
    dearest = Math.max(dearest, order, perUnit * (lot.offer.minPacks ?? 1));
  }
  return 100 * dearest;
}
