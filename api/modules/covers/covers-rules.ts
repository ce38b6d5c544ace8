import { addDays, daysBetween, serviceDateOf, weekdayOf } from '../../core/calendar/index.ts';
import { orRefuse, Refusal, type RefusalIssue } from '../platform/index.ts';
import type { ClosedDay, MealService, Site } from '../sites/index.ts';
import type { OutcomeInput, SaleInput, SnapshotInput } from './covers.ports.ts';

/** More than this many times the seats is a slip of the finger, not a full house. */
export const MOST_SITTINGS = 3;
/** Tables are booked and cancelled again; more cancelled than this many times the seats is a slip. */
const MOST_CANCELLED = 10;
/** Several small dishes a cover are possible; more than this is not. */
const MOST_PORTIONS_A_COVER = 4;
const MOST_DAYS_AHEAD = 730;
const MOST_DAYS_BACK = 3_660;
const CLOCK_SLACK_MS = 5 * 60_000;

const WEEKDAYS = [
  'Mondays',
  'Tuesdays',
  'Wednesdays',
  'Thursdays',
  'Fridays',
  'Saturdays',
  'Sundays',
];

/** What the rules look at besides the row itself. */
export interface CoversContext {
  readonly site: Site;
  readonly services: ReadonlyMap<string, MealService>;
  readonly closedDates: ReadonlySet<string>;
  readonly now: Date;
  readonly today: string;
}

/** What is wrong with a row (it is refused) and what is odd about it (it is kept and said). */
export interface Judgement {
  readonly problems: readonly RefusalIssue[];
  readonly warnings: readonly RefusalIssue[];
}

/** The site's calendar date of an instant. */
export function siteDateOf(at: Date, zone: string): string {
  return orRefuse(serviceDateOf(Math.floor(at.getTime() / 60_000), zone), '/zone');
}

export function coversContext(
  site: Site,
  services: readonly MealService[],
  closedDays: readonly ClosedDay[],
  now: Date,
): CoversContext {
  return {
    site,
    services: new Map(services.map((service) => [service.id, service])),
    closedDates: new Set(closedDays.map((day) => day.date)),
    now,
    today: siteDateOf(now, site.zone),
  };
}

class Notes implements Judgement {
  readonly problems: RefusalIssue[] = [];
  readonly warnings: RefusalIssue[] = [];
  problem(pointer: string, message: string): void {
    this.problems.push({ pointer, message });
  }
  warn(pointer: string, message: string): void {
    this.warnings.push({ pointer, message });
  }
}

/**
 * Whether the service is held that day. For a day to come it must be; of a day gone by the record
 * counts, since weekdays and closed days may have been changed afterwards.
 */
function noteSitting(
  notes: Notes,
  context: CoversContext,
  { serviceId, serviceDate }: { readonly serviceId: string; readonly serviceDate: string },
): MealService | null {
  const service = context.services.get(serviceId);
  if (!service) {
    notes.problem('/serviceId', `${context.site.name} has no service with the id ${serviceId}.`);
    return null;
  }
  const ahead = daysBetween(context.today, serviceDate);
  if (ahead > MOST_DAYS_AHEAD || ahead < -MOST_DAYS_BACK) {
    notes.problem('/serviceDate', 'This date is more than two years ahead or ten years back.');
    return service;
  }
  const weekday = weekdayOf(serviceDate);
  const notHeld = !service.weekdays.includes(weekday)
    ? `${service.name} is not held on ${WEEKDAYS[weekday - 1]}.`
    : service.activeFrom !== null && serviceDate < service.activeFrom
      ? `${service.name} begins on ${service.activeFrom}.`
      : service.activeTo !== null && serviceDate > service.activeTo
        ? `${service.name} ended on ${service.activeTo}.`
        : null;
  if (notHeld !== null) {
    if (ahead >= 0) notes.problem('/serviceDate', notHeld);
    else notes.warn('/serviceDate', notHeld);
  }
  if (context.closedDates.has(serviceDate)) {
    notes.warn('/serviceDate', `${context.site.name} is closed on ${serviceDate}.`);
  }
  return service;
}

function judgeCovers(
  notes: Notes,
  pointer: string,
  covers: number,
  service: MealService | null,
): void {
  if (!service) return;
  const most = service.seats * MOST_SITTINGS;
  if (covers > most) {
    notes.problem(
      pointer,
      `${covers} covers is more than ${MOST_SITTINGS} times the ${service.seats} seats of ${service.name}.`,
    );
  }
}

/** Judges a booking snapshot. */
export function judgeSnapshot(context: CoversContext, snapshot: SnapshotInput): Judgement {
  const notes = new Notes();
  const service = noteSitting(notes, context, snapshot);
  if (snapshot.takenAt.getTime() > context.now.getTime() + CLOCK_SLACK_MS) {
    notes.problem('/takenAt', 'A snapshot cannot be taken in the future. Check clock and offset.');
  } else if (siteDateOf(snapshot.takenAt, context.site.zone) > addDays(snapshot.serviceDate, 1)) {
    notes.problem('/takenAt', 'Taken after the service was over: record the outcome instead.');
  }
  judgeCovers(notes, '/booked', snapshot.booked, service);
  judgeCancelled(notes, snapshot.cancelled, service);
  return notes;
}

function judgeCancelled(notes: Notes, cancelled: number | null, service: MealService | null): void {
  if (!service || cancelled === null || cancelled <= service.seats * MOST_CANCELLED) return;
  notes.problem(
    '/cancelled',
    `${cancelled} cancelled is more than ${MOST_CANCELLED} times the ${service.seats} seats of ${service.name}.`,
  );
}

function judgeHeldAlready(notes: Notes, context: CoversContext, serviceDate: string): void {
  if (serviceDate > context.today) {
    notes.problem('/serviceDate', 'This service is still to come; nothing has come of it yet.');
  }
}

/**
 * Judges what came of a service.
 * @param newest its newest booking figure: what does not go with it is odd, since bookings may have
 * come or gone after it
 */
export function judgeOutcome(
  context: CoversContext,
  outcome: OutcomeInput,
  newest?: Pick<SnapshotInput, 'booked' | 'cancelled'>,
): Judgement {
  const notes = new Notes();
  const service = noteSitting(notes, context, outcome);
  judgeHeldAlready(notes, context, outcome.serviceDate);
  judgeCovers(notes, '/covers', outcome.covers, service);
  if (outcome.closed && outcome.covers > 0) {
    notes.problem('/covers', 'A closed service has no covers.');
  }
  const { covers, walkIns, noShows, cancelled, closed } = outcome;
  if (walkIns !== null && walkIns > covers) {
    notes.problem('/walkIns', `Of ${covers} covers no more than ${covers} can have walked in.`);
  }
  if (noShows !== null) judgeCovers(notes, '/noShows', noShows, service);
  if (closed && noShows !== null && noShows > 0) {
    notes.problem('/noShows', 'Nobody fails to come to a closed service: say cancelled.');
  }
  judgeCancelled(notes, cancelled, service);
  if (newest && !closed) noteBookings(notes, outcome, newest);
  return notes;
}

/** What the parts of an outcome say of the bookings, beside the bookings themselves. */
function noteBookings(
  notes: Notes,
  { covers, walkIns, noShows, cancelled }: OutcomeInput,
  newest: Pick<SnapshotInput, 'booked' | 'cancelled'>,
): void {
  if (walkIns !== null) {
    const byBooking = covers - walkIns + (noShows ?? 0);
    if (byBooking > newest.booked) {
      notes.warn(
        '/walkIns',
        `That makes ${byBooking} booked; the newest bookings say ${newest.booked}. Did more walk in?`,
      );
    } else if (noShows !== null && byBooking < newest.booked - (cancelled ?? 0)) {
      notes.warn(
        '/noShows',
        `That makes ${byBooking} booked; the newest bookings say ${newest.booked}. Did more not come?`,
      );
    }
  }
  if (cancelled !== null && newest.cancelled !== null && cancelled < newest.cancelled) {
    notes.warn('/cancelled', `The bookings counted ${newest.cancelled} cancelled already.`);
  }
}

/** Judges the sale of a dish; `dishIds` are the dishes there are. */
export function judgeSale(
  context: CoversContext,
  sale: SaleInput,
  dishIds: ReadonlySet<string>,
): Judgement {
  const notes = new Notes();
  const service = noteSitting(notes, context, sale);
  judgeHeldAlready(notes, context, sale.serviceDate);
  if (!dishIds.has(sale.dishId)) {
    notes.problem('/dishId', `There is no dish with the id ${sale.dishId}.`);
  }
  if (service) {
    const most = service.seats * MOST_SITTINGS * MOST_PORTIONS_A_COVER;
    if (sale.portions > most) {
      notes.problem(
        '/portions',
        `${sale.portions} portions is more than ${service.name} can serve.`,
      );
    }
  }
  if (sale.soldOutAt !== null) {
    const on = siteDateOf(sale.soldOutAt, context.site.zone);
    if (on !== sale.serviceDate && on !== addDays(sale.serviceDate, 1)) {
      notes.problem('/soldOutAt', 'A dish sells out on the day of the service.');
    } else if (sale.soldOutAt.getTime() > context.now.getTime() + CLOCK_SLACK_MS) {
      notes.problem('/soldOutAt', 'This instant is still to come.');
    }
  }
  return notes;
}

/** Judges a stated or known sitting of which only the date and the service matter. */
export function judgeAhead(
  context: CoversContext,
  sitting: { readonly serviceId: string; readonly serviceDate: string },
  covers: number | null,
): Judgement {
  const notes = new Notes();
  const service = noteSitting(notes, context, sitting);
  if (covers !== null) judgeCovers(notes, '/covers', covers, service);
  return notes;
}

/**
 * Whether a service can be held on a date: see `noteSitting`. The service is there where nothing is
 * wrong with its id.
 */
export function judgeSitting(
  context: CoversContext,
  sitting: { readonly serviceId: string; readonly serviceDate: string },
): Judgement & { readonly service: MealService } {
  const notes = new Notes();
  const service = noteSitting(notes, context, sitting);
  if (!service)
    throw new Refusal('invalid-input', notes.problems[0]?.message ?? '', {
      issues: notes.problems,
    });
  return { service, problems: notes.problems, warnings: notes.warnings };
}
