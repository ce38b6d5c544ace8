import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { coreError } from '../shared/errors.ts';
import { GRID_SIZE, bookedOnGrid, usualOnGrid } from './booking-grid.ts';
import type { BookingSnapshot, CompletedService } from './forecast-input.ts';
import type { ForecastWarning } from './forecast-output.ts';
import type { LearnableService } from './learnable-service.ts';
import { dayNumber, serviceDateOf, weekdayOf } from './service-day.ts';

/**
 * Checks completed services and puts them in date order, ready for learning.
 *
 * Left out with a warning: services after `lastDay` (the future), the earlier of two records of a
 * day, snapshots after the service. Cut with a warning: covers above the room. Left out silently:
 * closed and private-hire services, and services whose covers nobody recorded.
 * Errors: `invalid-date`, `out-of-range` (negative or broken counts), each with its path.
 */
export function readHistory(
  history: readonly CompletedService[],
  lastDay: number,
  capacityCovers: number,
): Result<{ services: LearnableService[]; warnings: ForecastWarning[] }> {
  const warnings: ForecastWarning[] = [];
  const booked = new Float64Array(history.length * GRID_SIZE);
  const days: number[] = [];
  const read: (LearnableService | null)[] = [];
  let rising = true;
  let previous = -Infinity;
  for (let i = 0; i < history.length; i += 1) {
    const record = history[i] as CompletedService;
    const day = dayNumber(record.serviceDate);
    if (!day.ok) return err({ ...day.error, path: ['history', i, 'serviceDate'] });
    const at = day.value;
    if (weekdayOf(at) !== record.weekday) return err(wrongWeekday(['history', i], record));
    if (at > lastDay) {
      const { serviceDate } = record;
      warnings.push({
        kind: 'history-in-future',
        message: `The service of ${serviceDate} lies after the forecast was made and was left out.`,
        serviceDate,
      });
      continue;
    }
    const service = readService(record, at, i, booked, capacityCovers, warnings);
    if (!service.ok) return service;
    days.push(at);
    read.push(service.value);
    if (at <= previous) rising = false;
    previous = at;
  }
  const services = rising ? read : inOrder(days, read, warnings);
  return ok({ services: services.filter((service) => service !== null), warnings });
}

/** The services by day, the later record of a day in the place of the earlier. */
function inOrder(
  days: readonly number[],
  read: readonly (LearnableService | null)[],
  warnings: ForecastWarning[],
): (LearnableService | null)[] {
  const byDay = new Map<number, LearnableService | null>();
  days.forEach((day, i) => {
    if (byDay.has(day)) {
      const serviceDate = serviceDateOf(day);
      warnings.push({
        kind: 'duplicate-day',
        message: `${serviceDate} is recorded twice; the later record was used.`,
        serviceDate,
      });
    }
    byDay.set(day, read[i] ?? null);
  });
  return [...byDay].sort(([a], [b]) => a - b).map(([, service]) => service);
}

/** The refusal of a weekday that does not belong to its date. */
export function wrongWeekday(
  path: readonly (string | number)[],
  record: { readonly serviceDate: string; readonly weekday: number },
) {
  return coreError(
    'invalid-date',
    `${record.serviceDate} is not weekday ${record.weekday} (1 is Monday).`,
    { path: [...path, 'weekday'], detail: { ...record } },
  );
}

const NOTHING = ok(null);

function readService(
  record: CompletedService,
  day: number,
  index: number,
  booked: Float64Array,
  capacity: number,
  warnings: ForecastWarning[],
): Result<LearnableService | null> {
  const { serviceDate, actualCovers, walkInCovers, noShowCovers, cancelledCovers } = record;
  if (actualCovers !== undefined && !isCount(actualCovers)) {
    return err(notACount(['history', index, 'actualCovers'], actualCovers));
  }
  if (walkInCovers !== undefined && !isCount(walkInCovers)) {
    return err(notACount(['history', index, 'walkInCovers'], walkInCovers));
  }
  if (noShowCovers !== undefined && !isCount(noShowCovers)) {
    return err(notACount(['history', index, 'noShowCovers'], noShowCovers));
  }
  if (cancelledCovers !== undefined && !isCount(cancelledCovers)) {
    return err(notACount(['history', index, 'cancelledCovers'], cancelledCovers));
  }
  if (walkInCovers !== undefined && actualCovers !== undefined && walkInCovers > actualCovers) {
    return err(moreWalkInsThanCovers(index, walkInCovers, actualCovers));
  }
  let { snapshots } = record;
  const bookedFrom = index * GRID_SIZE;
  const usual = usualOnGrid(snapshots, capacity, booked, bookedFrom);
  if (!usual) {
    const read = readSnapshots(snapshots, 0, serviceDate, warnings);
    if (!read.ok) {
      return err({ ...read.error, path: ['history', index, ...(read.error.path ?? [])] });
    }
    snapshots = read.value;
    bookedOnGrid(snapshots, capacity, booked, bookedFrom);
  }
  if (record.closed === true || record.privateHire === true || actualCovers === undefined) {
    return NOTHING;
  }
  if (actualCovers > capacity || (!usual && holdsMoreThan(snapshots, capacity))) {
    warnings.push(aboveCapacity(serviceDate, capacity));
  }
  return ok({
    day,
    weekday: record.weekday - 1,
    finalCovers: Math.min(capacity, actualCovers),
    snapshots,
    booked,
    bookedFrom,
    walkInCovers,
    noShowCovers,
    cancelledCovers,
    event: record.event,
  });
}

/**
 * Checks snapshots and leaves out, with one warning, those from closer to service than `horizon`:
 * at the moment of the forecast they lie in the future.
 */
export function readSnapshots(
  snapshots: readonly BookingSnapshot[],
  horizon: number,
  serviceDate: string,
  warnings: ForecastWarning[],
): Result<readonly BookingSnapshot[]> {
  let future = 0;
  for (let s = 0; s < snapshots.length; s += 1) {
    const { daysBefore, booked, cancelledSoFar } = snapshots[s] as BookingSnapshot;
    if (!Number.isInteger(daysBefore)) {
      return err(notDays(['snapshots', s, 'daysBefore'], daysBefore));
    }
    if (!isCount(booked)) return err(notACount(['snapshots', s, 'booked'], booked));
    if (cancelledSoFar !== undefined && !isCount(cancelledSoFar)) {
      return err(notACount(['snapshots', s, 'cancelledSoFar'], cancelledSoFar));
    }
    if (daysBefore < horizon) future += 1;
  }
  if (future === 0) return ok(snapshots);
  warnings.push({
    kind: 'snapshot-in-future',
    message: `${future} booking snapshot(s) of ${serviceDate} lie in the future and were left out.`,
    serviceDate,
  });
  return ok(snapshots.filter((s) => s.daysBefore >= horizon));
}

/** True when a snapshot holds more covers than the room. */
export function holdsMoreThan(snapshots: readonly BookingSnapshot[], capacity: number): boolean {
  if (capacity === Infinity) return false;
  for (const snapshot of snapshots) if (snapshot.booked > capacity) return true;
  return false;
}

/** The warning that a day holds more covers than the room. */
export function aboveCapacity(serviceDate: string, capacity: number): ForecastWarning {
  return {
    kind: 'above-capacity',
    message: `${serviceDate} shows more covers than the room takes (${capacity}); counted as full.`,
    serviceDate,
  };
}

function isCount(value: number): boolean {
  return Number.isInteger(value) && value >= 0;
}

function notACount(path: readonly (string | number)[], value: unknown) {
  return coreError('out-of-range', 'Covers are a whole number of at least 0.', {
    path,
    detail: { value },
  });
}

function moreWalkInsThanCovers(index: number, walkInCovers: number, actualCovers: number) {
  return coreError('out-of-range', 'Walk-ins are part of the covers served.', {
    path: ['history', index, 'walkInCovers'],
    detail: { walkInCovers, actualCovers },
  });
}

function notDays(path: readonly (string | number)[], value: unknown) {
  return coreError('out-of-range', 'Days before service are a whole number.', {
    path,
    detail: { value },
  });
}
