import {
  CANCEL_PART,
  MEAN_PARTY,
  NO_SHOW_PART,
  PARTY_SIZES,
  SNAPSHOT_DAYS,
  bookingReach,
  type SimulatedSeries,
} from './simulated-service.ts';

/** Part of the booking guests who are accounted for by all cancellations and no-shows. */
const BOOKED_TO_SEATED = 0.84;

/** Part of all booked covers whose bookings are made less than `days` days before service. */
function stillToBook(days: number): number {
  let part = 0;
  for (const [size, chance] of PARTY_SIZES) {
    part += size * chance * (1 - Math.exp(-days / bookingReach(size)));
  }
  return part / MEAN_PARTY;
}

/**
 * What someone would expect who knows the hidden demand of that very day (season, reputation, the
 * day's own luck) and the bookings `horizonDays` before, but neither which parties come nor the
 * weather: bookings kept + bookings still to come + walk-ins. No forecaster knows as much, so what
 * its errors leave is chance that no forecast can take away.
 */
export function oracleCovers(
  series: SimulatedSeries,
  index: number,
  walkInPart: number,
  horizonDays: number,
): number {
  const demand = series.demand[index] ?? 0;
  const known = Math.min(...SNAPSHOT_DAYS.filter((d) => d >= horizonDays));
  const booked = series.history[index]?.snapshots.find((s) => s.daysBefore === known)?.booked ?? 0;
  // A cancellation falls evenly between booking and service: some part of them lies behind.
  const ahead = known / (known + bookingReach(MEAN_PARTY));
  const kept = (1 - NO_SHOW_PART) * (1 - CANCEL_PART * ahead);
  const later =
    ((demand * (1 - walkInPart)) / BOOKED_TO_SEATED) *
    stillToBook(known) *
    (1 - CANCEL_PART) *
    (1 - NO_SHOW_PART);
  return Math.min(series.capacityCovers, booked * kept + later + demand * walkInPart);
}
