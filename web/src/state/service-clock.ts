// How long ago something happened, without trusting the device's clock: tablets in kitchens are wrong
// by hours. The service says its time with every answer; between answers the page counts seconds by a
// clock that nobody sets.

interface Heard {
  readonly serviceMs: number;
  readonly countedMs: number;
}

let last: Heard | null = null;
/** Names this load of the page: the counting clock starts anew with each. */
const LOAD = [...crypto.getRandomValues(new Uint8Array(8))].join('.');

/** Remembers the time that an answer of the service carries. */
export function hearTime(date: string | null): void {
  const serviceMs = date === null ? Number.NaN : Date.parse(date);
  if (Number.isFinite(serviceMs)) last = { serviceMs, countedMs: performance.now() };
}

/** The service's time as far as this page load can know it. */
function serviceNow(): number | null {
  return last === null ? null : last.serviceMs + (performance.now() - last.countedMs);
}

/** A moment by every clock there is. */
export interface Moment {
  readonly deviceMs: number;
  readonly countedMs: number;
  readonly load: string;
  readonly serviceMs: number | null;
}

export function thisMoment(): Moment {
  return {
    deviceMs: Date.now(),
    countedMs: performance.now(),
    load: LOAD,
    serviceMs: serviceNow(),
  };
}

const MINUTE_MS = 60_000;

/**
 * Minutes since a moment, to a tenth. The device's clock may have been set, and the counting clock
 * stands still while the device sleeps: of the two the longer time counts, but never more than went by
 * for the service, where its time is known at both ends. A use-by may come early, never late.
 */
export function minutesSince(moment: Moment): number {
  const device = Date.now() - moment.deviceMs;
  const counted = moment.load === LOAD ? performance.now() - moment.countedMs : null;
  const now = serviceNow();
  const service = now === null || moment.serviceMs === null ? null : now - moment.serviceMs;
  const own = Math.max(device, counted ?? 0);
  const ms = service === null ? own : counted === null ? service : Math.min(service, own);
  return Math.max(0, Math.round(ms / (MINUTE_MS / 10)) / 10);
}
