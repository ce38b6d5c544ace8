import { MIN_PER_DAY } from '../calendar/index.ts';
import type { MilpModel } from '../milp/index.ts';
import { milpBuilder } from '../milp/index.ts';
import type { MilpBuilder } from '../milp/index.ts';
import type { DatedNeed } from '../netting/index.ts';
import { keepingCosts, TRANSFER_COSTS } from './transfer-costs.ts';
import type { CarriedGoods, OpenTrip, TransferProblem } from './transfer-problem.ts';

/** A container that is begun carries at least this part of its contents for a need. */
const LEAST_FILL = 1e-3;

/** What the least unmet may be passed by, in batches: the solver's own tolerance. */
const UNMET_SLACK = 1e-6;

/** The model of a transfer problem, and how to read its answer. */
export interface TransferModel {
  readonly model: MilpModel;
  /** The answer in which nothing goes. */
  readonly nothing: ReadonlyMap<number, number>;
  /** Containers by goods and trip. */
  read(
    values: readonly number[],
  ): readonly { readonly goodsId: string; readonly tripId: string; readonly containers: number }[];
}

/** @returns whether what goes on the trip serves the need: there in time, and in date until its end */
export function canServe(goods: CarriedGoods, trip: OpenTrip, need: DatedNeed): boolean {
  const keepsUntil = goods.keepsUntilMin[trip.id];
  return keepsUntil !== undefined && trip.arriveMin <= need.atMin && need.untilMin <= keepsUntil;
}

/** Most containers of the goods that a trip takes when it carries nothing else. */
export function mostContainers(goods: CarriedGoods, trip: OpenTrip): number {
  const promised = goods.mostOnTrip?.[trip.id];
  const limits = [
    trip.containerLimit ?? Infinity,
    trip.massLimitG === undefined ? Infinity : trip.massLimitG / (goods.containerMassG ?? 0),
    promised === undefined ? Infinity : promised / goods.containerQuantity,
  ];
  return Math.floor(Math.min(...limits) + 1e-9);
}

/**
 * Mixed-integer model: whole containers of each of the goods on each trip, within what trips carry;
 * every container begun holds something that a need uses; trips that are made carry their minimum.
 * Quantities are in containers, so that coefficients stay near one.
 *
 * @param leastUnmet batches that stay unmet at the least; left out: finding it is the objective
 */
export function transferModel(problem: TransferProblem, leastUnmet?: number): TransferModel {
  const build = milpBuilder();
  const nothing = new Map<number, number>();
  const costs = leastUnmet !== undefined;
  const runs = new Map(
    problem.trips.map((trip) => [
      trip.id,
      binary(build, `run ${trip.id}`, costs ? TRANSFER_COSTS.perTripMin : 0),
    ]),
  );
  const endMin = Math.max(0, ...problem.goods.flatMap((g) => g.needs.map((need) => need.atMin)));
  const loads: { goods: CarriedGoods; trip: OpenTrip; variable: number }[] = [];
  const unmet: [number, number][] = [];
  for (const goods of problem.goods) {
    const size = goods.containerQuantity;
    const { perUnitDay, perUnitSurplus } = keepingCosts(goods);
    const perDay = perUnitDay * size;
    const days = (from: number): number => (endMin - from) / MIN_PER_DAY;
    const inNeed = goods.needs.map((): [number, number][] => []);
    for (const trip of problem.trips) {
      const served = goods.needs.flatMap((need, i) => (canServe(goods, trip, need) ? [i] : []));
      const useful = served.reduce((sum, i) => sum + (goods.needs[i]?.quantity ?? 0), 0) / size;
      const most = Math.min(mostContainers(goods, trip), Math.ceil(useful - 1e-9));
      const run = runs.get(trip.id);
      if (most < 1 || run === undefined) continue;
      const name = `${goods.id} ${trip.id}`;
      const load = build.addVariable({
        name: `load ${name}`,
        cost: costs ? perDay * days(trip.leaveMin) + perUnitSurplus * size : 0,
        lower: 0,
        upper: most,
        integer: true,
      });
      loads.push({ goods, trip, variable: load });
      const packed = binary(build, `packed ${name}`, costs ? TRANSFER_COSTS.perGoodsMin : 0);
      row(
        build,
        `packed ${name}`,
        [
          [load, 1],
          [packed, -most],
        ],
        -Infinity,
        0,
      );
      row(
        build,
        `on a run ${name}`,
        [
          [packed, 1],
          [run, -1],
        ],
        -Infinity,
        0,
      );
      const uses = served.map((i): [number, number] => {
        const need = goods.needs[i];
        if (!need) throw new Error('A need of the goods');
        const use = build.addVariable({
          name: `use ${name} ${need.id}`,
          cost: costs ? -(perDay * days(need.atMin) + perUnitSurplus * size) : 0,
          lower: 0,
          upper: need.quantity / size,
          integer: false,
        });
        inNeed[i]?.push([use, 1]);
        return [use, 1];
      });
      row(build, `contents ${name}`, [...uses, [load, -1]], LEAST_FILL - 1, 0);
    }
    for (const [i, need] of goods.needs.entries()) {
      const quantity = need.quantity / size;
      const weight = size / goods.batchQuantity;
      const open = build.addVariable({
        name: `open ${goods.id} ${need.id}`,
        cost: costs ? 0 : weight,
        lower: 0,
        upper: quantity,
        integer: false,
      });
      nothing.set(open, quantity);
      unmet.push([open, weight]);
      row(
        build,
        `need ${goods.id} ${need.id}`,
        [...(inNeed[i] ?? []), [open, 1]],
        quantity,
        quantity,
      );
    }
  }
  if (leastUnmet !== undefined) {
    row(build, 'least unmet', unmet, -Infinity, leastUnmet + UNMET_SLACK);
  }
  addTripLimits(build, problem, runs, loads);
  const model = build.build();
  for (const index of model.variables.keys()) if (!nothing.has(index)) nothing.set(index, 0);
  return {
    model,
    nothing,
    read: (values) =>
      loads.flatMap(({ goods, trip, variable }) => {
        const containers = Math.round(values[variable] ?? 0);
        return containers > 0 ? [{ goodsId: goods.id, tripId: trip.id, containers }] : [];
      }),
  };
}

function addTripLimits(
  build: MilpBuilder,
  { trips }: TransferProblem,
  runs: ReadonlyMap<string, number>,
  loads: readonly { goods: CarriedGoods; trip: OpenTrip; variable: number }[],
): void {
  for (const trip of trips) {
    const run = runs.get(trip.id);
    const here = loads.filter((load) => load.trip === trip);
    if (run === undefined) continue;
    const containers = here.map(({ variable }): [number, number] => [variable, 1]);
    if (here.length > 0 && trip.containerLimit !== undefined) {
      row(build, `room ${trip.id}`, [...containers, [run, -trip.containerLimit]], -Infinity, 0);
    }
    if (here.length > 0 && trip.massLimitG !== undefined) {
      // In hundredths of the limit, so that grams and containers weigh alike.
      const scale = 100 / trip.massLimitG;
      const masses = here.map(({ goods, variable }): [number, number] => [
        variable,
        (goods.containerMassG ?? 0) * scale,
      ]);
      row(build, `mass ${trip.id}`, [...masses, [run, -100]], -Infinity, 0);
    }
    const least = Math.max(1, trip.minimumContainers ?? 1);
    row(build, `minimum ${trip.id}`, [...containers, [run, -least]], 0, Infinity);
  }
}

function row(
  build: MilpBuilder,
  name: string,
  terms: readonly (readonly [number, number])[],
  lower: number,
  upper: number,
): void {
  build.addRow({ name, terms, lower, upper });
}

function binary(build: MilpBuilder, name: string, cost: number): number {
  return build.addVariable({ name, cost, lower: 0, upper: 1, integer: true });
}
