import type { CarriedGoods, OpenTrip, TransferProblem } from '../../../api/core/central/index.ts';

// Every number of containers of every goods on every trip, tried out. Written apart from the core.
const DAY = 24 * 60;
/** A begun container carries at least this part for a need. */
const LEAST_FILL = 1e-3;

const usable = (goods: CarriedGoods, trip: OpenTrip, i: number): boolean => {
  const need = goods.needs[i];
  const keeps = goods.keepsUntilMin[trip.id];
  return (
    need !== undefined &&
    keeps !== undefined &&
    trip.arriveMin <= need.atMin &&
    need.untilMin <= keeps
  );
};

/** Largest flow from trips to needs: augmenting paths, so that what a trip carries never shrinks. */
function flow(
  goods: CarriedGoods,
  trips: readonly OpenTrip[],
  capacity: readonly number[],
  carried: number[][],
): number[][] {
  const used = (t: number): number => (carried[t] ?? []).reduce((a, b) => a + b, 0);
  const got = (n: number): number => carried.reduce((sum, row) => sum + (row[n] ?? 0), 0);
  for (;;) {
    // Breadth first over trips with room, to a need with room, back over what another trip brings it.
    const from = new Map<number, { need: number; trip: number } | null>();
    const reached = new Map<number, number>();
    const queue: number[] = [];
    for (const t of trips.keys()) {
      if (used(t) < (capacity[t] ?? 0) - 1e-9) {
        from.set(t, null);
        queue.push(t);
      }
    }
    let end = -1;
    while (queue.length > 0 && end < 0) {
      const t = queue.shift() ?? 0;
      for (const [n, need] of goods.needs.entries()) {
        const trip = trips[t];
        if (!trip || !usable(goods, trip, n) || reached.has(n)) continue;
        reached.set(n, t);
        if (got(n) < need.quantity - 1e-9) {
          end = n;
          break;
        }
        for (const [other, row] of carried.entries()) {
          if ((row[n] ?? 0) > 1e-9 && !from.has(other)) {
            from.set(other, { need: n, trip: t });
            queue.push(other);
          }
        }
      }
    }
    if (end < 0) return carried;
    const path: { t: number; n: number; back: number | null }[] = [];
    let n = end;
    let t = reached.get(n) ?? 0;
    let most = (goods.needs[n]?.quantity ?? 0) - got(n);
    for (;;) {
      const before = from.get(t) ?? null;
      path.push({ t, n, back: before?.need ?? null });
      if (before === null) {
        most = Math.min(most, (capacity[t] ?? 0) - used(t));
        break;
      }
      most = Math.min(most, carried[t]?.[before.need] ?? 0);
      n = before.need;
      t = before.trip;
    }
    for (const step of path) {
      const row = carried[step.t];
      if (!row) continue;
      row[step.n] = (row[step.n] ?? 0) + most;
      if (step.back !== null) row[step.back] = (row[step.back] ?? 0) - most;
    }
  }
}

interface Best {
  readonly unmetBatches: number;
  readonly costMin: number;
}

/** Least unmet, in batches, and the least minutes of work with it. */
export function everyLoad({ trips, goods }: TransferProblem): Best {
  const counts = goods.map((one) =>
    trips.map((_, t) => {
      const trip = trips[t];
      if (!trip) return 0;
      const useful = one.needs.reduce((s, n, i) => s + (usable(one, trip, i) ? n.quantity : 0), 0);
      return Math.ceil(useful / one.containerQuantity);
    }),
  );
  const end = Math.max(0, ...goods.flatMap((one) => one.needs.map((need) => need.atMin)));
  let best: Best = { unmetBatches: Infinity, costMin: Infinity };
  const chosen = goods.map(() => trips.map(() => 0));
  const judge = (): void => {
    for (const [t, trip] of trips.entries()) {
      const here = chosen.map((row) => row[t] ?? 0);
      const total = here.reduce((a, b) => a + b, 0);
      const mass = here.reduce((s, b, g) => s + b * (goods[g]?.containerMassG ?? 0), 0);
      if (total > (trip.containerLimit ?? Infinity) || mass > (trip.massLimitG ?? Infinity)) return;
      if (total > 0 && total < (trip.minimumContainers ?? 1)) return;
    }
    let unmetBatches = 0;
    let costMin = 0;
    for (const [g, one] of goods.entries()) {
      const loads = chosen[g] ?? [];
      const size = one.containerQuantity;
      for (const [t, trip] of trips.entries()) {
        const promised = one.mostOnTrip?.[trip.id];
        if (promised !== undefined && (loads[t] ?? 0) * size > promised + 1e-9) return;
      }
      const least = loads.map((b) => (b > 0 ? (b - 1 + LEAST_FILL) * size : 0));
      const none = trips.map(() => one.needs.map(() => 0));
      const filled = flow(one, trips, least, none);
      const short = filled.some(
        (row, t) => row.reduce((a, b) => a + b, 0) < (least[t] ?? 0) - 1e-6,
      );
      if (short) return;
      flow(
        one,
        trips,
        loads.map((b) => b * size),
        filled,
      );
      const met = one.needs.map((_, n) => filled.reduce((s, row) => s + (row[n] ?? 0), 0));
      const needed = one.needs.reduce((s, n) => s + n.quantity, 0);
      const sent = met.reduce((a, b) => a + b, 0);
      unmetBatches += (needed - sent) / one.batchQuantity;
      // 3 minutes a batch and day in the fridge, 3 a day older, 22.5 a batch nobody asks for.
      const perDay = 6 / one.batchQuantity;
      const extra = 22.5 / one.batchQuantity;
      for (const [t, trip] of trips.entries()) {
        if ((loads[t] ?? 0) === 0) continue;
        costMin += 6 + (loads[t] ?? 0) * size * (perDay * ((end - trip.leaveMin) / DAY) + extra);
      }
      for (const [n, quantity] of firstServed(one, trips, loads).entries()) {
        costMin -= quantity * (perDay * ((end - (one.needs[n]?.atMin ?? 0)) / DAY) + extra);
      }
    }
    costMin += 15 * trips.filter((_, t) => chosen.some((row) => (row[t] ?? 0) > 0)).length;
    const better =
      unmetBatches < best.unmetBatches - 1e-5 ||
      (unmetBatches < best.unmetBatches + 1e-5 && costMin < best.costMin);
    if (better) best = { unmetBatches, costMin };
  };
  const choose = (g: number, t: number): void => {
    if (g === goods.length) return judge();
    if (t === trips.length) return choose(g + 1, 0);
    const row = chosen[g];
    if (!row) return;
    for (let b = 0; b <= (counts[g]?.[t] ?? 0); b += 1) {
      row[t] = b;
      choose(g, t + 1);
    }
    row[t] = 0;
  };
  choose(0, 0);
  return best;
}

/** What each need gets when the earliest takes what expires first. */
function firstServed(
  one: CarriedGoods,
  trips: readonly OpenTrip[],
  loads: readonly number[],
): readonly number[] {
  const left = loads.map((b) => b * one.containerQuantity);
  const got = one.needs.map(() => 0);
  const order = [...one.needs.keys()].sort((a, b) => {
    const [x, y] = [one.needs[a], one.needs[b]];
    return (x?.atMin ?? 0) - (y?.atMin ?? 0) || (x?.untilMin ?? 0) - (y?.untilMin ?? 0);
  });
  for (const n of order) {
    const keeps = (t: number): number => one.keepsUntilMin[trips[t]?.id ?? ''] ?? 0;
    const usableTrips = [...trips.keys()]
      .filter((t) => {
        const trip = trips[t];
        return trip !== undefined && usable(one, trip, n);
      })
      .sort((a, b) => keeps(a) - keeps(b));
    for (const t of usableTrips) {
      const bite = Math.min((one.needs[n]?.quantity ?? 0) - (got[n] ?? 0), left[t] ?? 0);
      got[n] = (got[n] ?? 0) + bite;
      left[t] = (left[t] ?? 0) - bite;
    }
  }
  return got;
}
