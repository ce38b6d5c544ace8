/** How long before it must be begun a task stands among those to begin now. Common practice, no source. */
export const BEGIN_NOW_MIN = 15;

const MS_PER_MIN = 60_000;

/** What decides where a task stands on a section's list. */
export interface ListedTask {
  readonly id: string;
  readonly station: string;
  readonly makeDate: string;
  readonly startBy: Date;
  readonly status: string;
}

/** The instant from which a task that nobody began stands among those to begin now. */
export function beginNowFrom({ startBy }: Pick<ListedTask, 'startBy'>): Date {
  return new Date(startBy.getTime() - BEGIN_NOW_MIN * MS_PER_MIN);
}

/** Whether a task of that day must be begun now: nobody began it, and its time has come. */
export function mustBeginNow(task: ListedTask, now: Date, today: string): boolean {
  return task.status === 'to_do' && task.makeDate === today && beginNowFrom(task) <= now;
}

const byTime = (a: ListedTask, b: ListedTask): number =>
  a.startBy.getTime() - b.startBy.getTime() || (a.id < b.id ? -1 : 1);

/**
 * Tasks as a section works: by station, then by time. Nothing else is looked at (no status, no
 * amount), so that a tick or another plan moves no task whose own station and time stand.
 */
export function sectionOrder<T extends ListedTask>(tasks: readonly T[]): readonly T[] {
  return [...tasks].sort((a, b) => a.station.localeCompare(b.station, 'en') || byTime(a, b));
}

/** What must be begun now first, by time across stations; then day by day as a section works. */
export function sectionOrderAt<T extends ListedTask>(
  tasks: readonly T[],
  now: Date,
  today: string,
): readonly { readonly task: T; readonly beginNow: boolean }[] {
  const marked = sectionOrder(tasks)
    .map((task) => ({ task, beginNow: mustBeginNow(task, now, today) }))
    .sort((a, b) => a.task.makeDate.localeCompare(b.task.makeDate));
  const first = marked.filter(({ beginNow }) => beginNow);
  return [
    ...first.sort((a, b) => byTime(a.task, b.task)),
    ...marked.filter(({ beginNow }) => !beginNow),
  ];
}
