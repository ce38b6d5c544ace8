import { createHash } from 'node:crypto';
import { addDays } from '../../core/calendar/index.ts';
import { BEGIN_NOW_MIN, beginNowFrom, sectionOrder } from '../../core/planning/index.ts';
import { siteDate } from '../forecasts/index.ts';
import { notFound, requireSite } from '../platform/index.ts';
import type {
  Actor,
  Clock,
  DayListAsk,
  DayListFound,
  ListMarks,
  UnitOfWork,
} from '../platform/index.ts';
import { SAFETY_NOTICE, stockUse, toPlanBody, toPrepListBody, toTaskBody } from './prep-body.ts';
import type { DayListsRepository, PrepWork } from './prep.ports.ts';
import { readList } from './read-list.ts';
import { waitsFor } from './waits-for.ts';

const WRITERS = [
  toPrepListBody,
  toPlanBody,
  toTaskBody,
  stockUse,
  waitsFor,
  sectionOrder,
  beginNowFrom,
];
/** Changes with the text of what writes a list, so that a newer version writes the kept ones anew. */
const formFor = (kind: 'today' | 'another day'): string =>
  createHash('sha256')
    .update([...WRITERS, BEGIN_NOW_MIN, SAFETY_NOTICE, kind].join('\n'))
    .digest('hex')
    .slice(0, 12);
/** Today's list also has what was begun days ago, so that one kept as tomorrow's does not serve after midnight. */
const FORM_TODAY = formFor('today');
const FORM_ANOTHER_DAY = formFor('another day');
/** Lists of yesterday and of this many days ahead are kept; others are written each time. */
const KEPT_DAYS = 14;
/** Times a list is read again because it changed while it was read; then it is given, and not kept. */
const TRIES = 3;

export interface DayListsDependencies {
  readonly work: Pick<UnitOfWork<PrepWork>, 'read'>;
  readonly kept: DayListsRepository;
  readonly clock: Clock;
}

/** A list as it goes to the caller. */
export interface WrittenList {
  /** Null where nothing tells this list from a later one. */
  readonly etag: string | null;
  /** JSON; null when the caller has this very list. */
  readonly body: string | null;
}

/** What the caller has, and what was fetched with who asks. */
export interface ListRequest {
  readonly ifNoneMatch?: string | undefined;
  readonly fetched?: { readonly ask: DayListAsk; readonly found: DayListFound | null } | null;
}

const MS_PER_MIN = 60_000;

/**
 * The list of a day as text. It is kept beside the marks it was read under, in the database, so that
 * whichever process is asked sends the kept one exactly while nothing it is read from has changed.
 */
export class DayListsService {
  readonly #deps: DayListsDependencies;
  /** The zone a site had when last asked about: a guess, which every answer corrects. */
  readonly #zones = new Map<string, string>();
  readonly #today = new Map<string, { readonly minute: number; readonly date: string }>();

  constructor(deps: DayListsDependencies) {
    this.#deps = deps;
  }

  /** What to fetch for a request, before it is known who asks. */
  askOf(siteId: string, date?: string, ifNoneMatch?: string): DayListAsk {
    const today = this.#todayIn(this.#zones.get(siteId) ?? 'UTC');
    const day = date ?? today;
    const form = formOf(day, today);
    return { siteId, date: day, form, have: marksIn(ifNoneMatch, day, form) };
  }

  /**
   * The list of a site's day, today's in its zone when none is named.
   * @throws Refusal `forbidden`, and `not-found` for a site that is not there or has no plan
   */
  async list(
    actor: Actor,
    siteId: string,
    date: string | undefined,
    { ifNoneMatch, fetched = null }: ListRequest = {},
  ): Promise<WrittenList> {
    requireSite(actor, siteId);
    let ask = fetched?.ask ?? this.askOf(siteId, date, ifNoneMatch);
    let found = fetched ? fetched.found : await this.#deps.kept.find(ask);
    if (!found) throw notFound('site', siteId);
    this.#zones.set(siteId, found.zone);
    const today = this.#todayIn(found.zone);
    const day = date ?? today;
    if (day !== ask.date || formOf(day, today) !== ask.form) {
      ask = this.askOf(siteId, day, ifNoneMatch);
      found = await this.#deps.kept.find(ask);
    }
    if (found && ask.have) {
      if (found.marks && same(found.marks, ask.have)) {
        return { etag: tagOf(ask, found.marks), body: null };
      }
      ask = { ...ask, have: null };
      found = await this.#deps.kept.find(ask);
    }
    for (let tries = 1; ; tries += 1) {
      if (!found) throw notFound('site', siteId);
      const { marks, body } = found;
      if (marks && body !== null) return { etag: tagOf(ask, marks), body };
      // The marks were read before the list: what changes from here on shows in the next ones.
      const list = await readList(this.#deps.work.read.prep, siteId, this.#deps.clock.now(), day);
      const written = JSON.stringify(toPrepListBody(list));
      if (!marks) return { etag: null, body: written };
      if (tries === TRIES || (await this.#keep(ask, marks, written, found.zone))) {
        return { etag: tagOf(ask, marks), body: written };
      }
      found = await this.#deps.kept.find(ask);
    }
  }

  /** @returns false when the list is to be read again, because something changed meanwhile */
  async #keep(ask: DayListAsk, marks: ListMarks, body: string, zone: string): Promise<boolean> {
    const yesterday = addDays(this.#todayIn(zone), -1);
    if (ask.date < yesterday || ask.date > addDays(yesterday, KEPT_DAYS + 1)) return true;
    try {
      return await this.#deps.kept.keep(ask, marks, body, yesterday);
    } catch {
      // Kept or not, the list is right: a reader is not told of a database that cannot be written to.
      return true;
    }
  }

  #todayIn(zone: string): string {
    const now = this.#deps.clock.now();
    const minute = Math.floor(now.getTime() / MS_PER_MIN);
    const known = this.#today.get(zone);
    if (known?.minute === minute) return known.date;
    const date = siteDate(now, zone);
    this.#today.set(zone, { minute, date });
    return date;
  }
}

const formOf = (day: string, today: string): string =>
  day === today ? FORM_TODAY : FORM_ANOTHER_DAY;

const same = (a: ListMarks, b: ListMarks): boolean => a.site === b.site && a.names === b.names;

const tagOf = ({ date, form }: DayListAsk, { site, names }: ListMarks): string =>
  `"${date}.${form}.${site}.${names}"`;

/** The marks in the first of the caller's tags that is of this day and this way of writing. */
function marksIn(ifNoneMatch: string | undefined, day: string, ofForm: string): ListMarks | null {
  if (ifNoneMatch === undefined) return null;
  const before = `"${day}.${ofForm}.`;
  const from = ifNoneMatch.indexOf(before);
  const end = ifNoneMatch.indexOf('"', from + 1);
  if (from < 0 || end < 0) return null;
  const [site, names, ...more] = ifNoneMatch.slice(from + before.length, end).split('.');
  return site && names && more.length === 0 ? { site, names } : null;
}
