import type { BookingSnapshot } from './forecast-input.ts';
import { GRID, GRID_SIZE, gridPlace, snapshotAt } from './booking-grid.ts';
import type { LearnableService } from './learnable-service.ts';

/**
 * What becomes of a booking: cancelled before service, not turning up, or kept; and walk-ins, which
 * never were bookings. Learned only where the source records them.
 *
 * Cancellation between two grid days is a life-table hazard: cancelled ÷ (booked at the start +
 * half of the new bookings in between); the part surviving from a day to service is the product
 * of 1 − hazard (Cutler & Ederer 1958 actuarial method, from memory).
 */
export interface KeptModel {
  /** [grid interval g → g−1][cancelled, at risk], flat; index 0: on the day of the service itself. */
  readonly cancelled: Float64Array;
  /** [not turned up, expected at the door] */
  readonly noShow: Float64Array;
  /** [weekday 0–6][walk-ins, services], flat. */
  readonly walkIns: Float64Array;
  /** Part kept from each grid day to the table, as it now stands. */
  readonly keptOnGrid: Float64Array;
  /** False when `keptOnGrid` has to be worked out again. */
  fresh: boolean;
}

const KEEP = 0.985;
const KEEP_WALK_INS = 0.95;
/** No-show part assumed until it is recorded (common practice, no source), and its weight, covers. */
const ASSUMED_NO_SHOW = 0.05;
const ASSUMED_NO_SHOW_COVERS = 60;
/** Covers at risk without a cancellation that a hazard starts from. */
const ASSUMED_AT_RISK = 30;

export function emptyKept(): KeptModel {
  return {
    cancelled: new Float64Array(GRID_SIZE * 2),
    noShow: new Float64Array(2),
    walkIns: new Float64Array(14),
    keptOnGrid: new Float64Array(GRID_SIZE),
    fresh: false,
  };
}

/** Learns cancellations, no-shows and walk-ins of one completed service. */
export function learnKept(model: KeptModel, service: LearnableService): void {
  const { snapshots, walkInCovers, noShowCovers, cancelledCovers } = service;
  const newest = snapshots.at(-1);
  if (newest?.cancelledSoFar !== undefined) learnCancelled(model, snapshots, service);
  else if (cancelledCovers !== undefined) spreadCancelled(model, service, cancelledCovers);
  if (walkInCovers !== undefined) {
    const at = service.weekday * 2;
    model.walkIns[at] = (model.walkIns[at] ?? 0) * KEEP_WALK_INS + walkInCovers;
    model.walkIns[at + 1] = (model.walkIns[at + 1] ?? 0) * KEEP_WALK_INS + 1;
  }
  if (noShowCovers !== undefined || walkInCovers !== undefined) learnNoShows(model, service);
}

/**
 * No-shows as they were counted, out of those who came by booking and those who did not; where only
 * walk-ins were counted, what is missing of the bookings of the day and was not cancelled on it.
 */
function learnNoShows(model: KeptModel, service: LearnableService): void {
  const bookedOnDay = service.booked[service.bookedFrom] ?? -1;
  const came = Math.max(0, service.finalCovers - (service.walkInCovers ?? 0));
  const { noShowCovers } = service;
  let lost: number;
  let atRisk: number;
  if (noShowCovers !== undefined) {
    lost = noShowCovers;
    // Without walk-ins on record some of those who came may have been walk-ins: the book decides.
    atRisk =
      service.walkInCovers === undefined && bookedOnDay >= noShowCovers
        ? bookedOnDay
        : came + noShowCovers;
  } else {
    if (bookedOnDay < 0) return;
    lost = Math.max(0, bookedOnDay - cancelledOnDay(service) - came);
    atRisk = bookedOnDay;
  }
  model.noShow[0] = (model.noShow[0] ?? 0) * KEEP + lost;
  model.noShow[1] = (model.noShow[1] ?? 0) * KEEP + atRisk;
  model.fresh = false;
}

/** Covers cancelled after the bookings of the service's own day; 0 where not recorded. */
function cancelledOnDay({ snapshots, cancelledCovers }: LearnableService): number {
  if (cancelledCovers === undefined) return 0;
  const newest = snapshotAt(snapshots, 0);
  if (newest?.cancelledSoFar === undefined || newest.daysBefore > 0) return 0;
  return Math.max(0, cancelledCovers - newest.cancelledSoFar);
}

/** Learns from what each snapshot counted as cancelled by then, and in the end the outcome. */
function learnCancelled(
  model: KeptModel,
  snapshots: readonly BookingSnapshot[],
  service: LearnableService,
): void {
  const newest = snapshotAt(snapshots, 0);
  const { cancelledCovers } = service;
  let counted = snapshots;
  if (newest !== undefined && cancelledCovers !== undefined) {
    if (newest.daysBefore === 0) learnHazard(model, 0, cancelledOnDay(service), newest.booked);
    // Nobody looked on the day itself: the outcome stands for it.
    else {
      const booked = atTheDoor(service) ?? newest.booked;
      counted = [...snapshots, { daysBefore: 0, booked, cancelledSoFar: cancelledCovers }];
    }
  }
  for (let g = 1; g < GRID_SIZE; g += 1) {
    const start = snapshotAt(counted, GRID[g] ?? 0);
    const end = snapshotAt(counted, GRID[g - 1] ?? 0);
    if (start?.cancelledSoFar === undefined || end?.cancelledSoFar === undefined) continue;
    if (start.daysBefore === end.daysBefore) continue;
    const lost = Math.max(0, end.cancelledSoFar - start.cancelledSoFar);
    const made = Math.max(0, end.booked - start.booked + lost);
    learnHazard(model, g, lost, start.booked + made / 2);
  }
}

/** Covers that held a booking when the service began, where that was recorded. */
function atTheDoor(service: LearnableService): number | undefined {
  const { walkInCovers, noShowCovers, finalCovers } = service;
  if (walkInCovers === undefined || noShowCovers === undefined) return undefined;
  return Math.max(0, finalCovers - walkInCovers) + noShowCovers;
}

/**
 * Learns from the number cancelled in all, when no snapshot says by when: shared out as if every
 * booked cover were as likely to cancel on any day (a constant hazard, so in proportion to covers
 * booked × days).
 */
function spreadCancelled(model: KeptModel, service: LearnableService, cancelled: number): void {
  const { booked, bookedFrom } = service;
  // What was last known on each grid day; 0 before anything was.
  const held = new Float64Array(GRID_SIZE);
  for (let g = GRID_SIZE - 1, last = 0; g >= 0; g -= 1) {
    const known = booked[bookedFrom + g] ?? -1;
    if (known >= 0) last = known;
    held[g] = last;
  }
  const at = (g: number): number => held[g] ?? 0;
  // Cover-days at risk of each interval; the day itself counts as one day.
  const coverDays = (g: number): number =>
    g === 0 ? at(0) : ((at(g) + at(g - 1)) / 2) * ((GRID[g] ?? 0) - (GRID[g - 1] ?? 0));
  let total = 0;
  for (let g = 0; g < GRID_SIZE; g += 1) total += coverDays(g);
  if (total === 0) return;
  for (let g = 0; g < GRID_SIZE; g += 1) {
    const lost = (cancelled * coverDays(g)) / total;
    const made = g === 0 ? 0 : Math.max(0, at(g - 1) - at(g) + lost);
    if (coverDays(g) > 0) learnHazard(model, g, lost, at(g) + made / 2);
  }
}

function learnHazard(model: KeptModel, g: number, lost: number, atRisk: number): void {
  const { cancelled } = model;
  const at = g * 2;
  cancelled[at] = (cancelled[at] ?? 0) * KEEP + lost;
  cancelled[at + 1] = (cancelled[at + 1] ?? 0) * KEEP + atRisk;
  model.fresh = false;
}

/** Part of the bookings held on each grid day that is kept: not cancelled and turning up. */
export function keptByGrid(model: KeptModel): Float64Array {
  if (!model.fresh) {
    let kept = 1 - noShowFraction(model);
    for (let g = 0; g < GRID_SIZE; g += 1) {
      kept *= 1 - hazard(model, g);
      model.keptOnGrid[g] = kept;
    }
    model.fresh = true;
  }
  return model.keptOnGrid;
}

/** Fractions of the bookings held `daysBefore` days before service. */
export function keptAt(
  model: KeptModel,
  daysBefore: number,
): { readonly kept: number; readonly cancelled: number; readonly noShow: number } {
  const { low, share } = gridPlace(daysBefore);
  let surviving = 1;
  for (let g = 0; g <= low; g += 1) surviving *= 1 - hazard(model, g);
  if (share > 0) surviving *= (1 - hazard(model, low + 1)) ** share;
  const noShow = noShowFraction(model);
  return { kept: surviving * (1 - noShow), cancelled: 1 - surviving, noShow };
}

function noShowFraction(model: KeptModel): number {
  const lost = (model.noShow[0] ?? 0) + ASSUMED_NO_SHOW * ASSUMED_NO_SHOW_COVERS;
  return Math.min(1, lost / ((model.noShow[1] ?? 0) + ASSUMED_NO_SHOW_COVERS));
}

function hazard(model: KeptModel, g: number): number {
  const lost = model.cancelled[g * 2] ?? 0;
  return Math.min(1, lost / ((model.cancelled[g * 2 + 1] ?? 0) + ASSUMED_AT_RISK));
}

/** Walk-ins usual on a weekday, covers, or undefined where they were never recorded. */
export function walkInsOn(model: KeptModel, weekday: number): number | undefined {
  const services = model.walkIns[weekday * 2 + 1] ?? 0;
  return services > 0 ? (model.walkIns[weekday * 2] ?? 0) / services : undefined;
}
