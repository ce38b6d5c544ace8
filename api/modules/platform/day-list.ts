// The list of a site's day is asked for on every tablet every few minutes, so it is kept as written
// text and fetched in the same query as who asks. These are the words both ends of that query share.

/**
 * Marks that change whenever what a site's lists are read from changes: its plan, tasks and zone, and
 * the names of items. Equal marks, equal lists.
 */
export interface ListMarks {
  readonly site: string;
  readonly names: string;
}

/** Which written list is asked for. */
export interface DayListAsk {
  readonly siteId: string;
  /** A service date. */
  readonly date: string;
  /** Fingerprint of what writes lists: another version of the service may write them otherwise. */
  readonly form: string;
  /** What the caller has already: then only marks are fetched, for they mostly stand. */
  readonly have: ListMarks | null;
}

/** What stands of it. */
export interface DayListFound {
  readonly zone: string;
  /** Null where nothing ever changed: nothing can be kept then. */
  readonly marks: ListMarks | null;
  /** The list as written under these very marks; null when it is to be written, or was not asked for. */
  readonly body: string | null;
}
