import { displayAmount } from '../../core/quantity/index.ts';
import { sectionOrderAt } from '../../core/planning/index.ts';
import type { CalendarEntry, CsvCell } from '../../core/exports/index.ts';
import type { PrepTask } from './prep.ports.ts';
import type { PrepList } from './read-list.ts';
import type { Production } from './prep-views.service.ts';

const UNIT = { g: 'g', ml: 'ml', each: 'each' } as const;
const nameOf = (list: PrepList, id: string): string => list.names.get(id)?.name ?? id;
const unitOf = (list: PrepList, id: string) => UNIT[list.names.get(id)?.baseUnit ?? 'each'];

/** Date and time on the site's own clock, as spreadsheets read them. */
function onSiteClock(at: Date, zone: string): string {
  const parts = new Intl.DateTimeFormat('en-CA', {
    timeZone: zone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  }).formatToParts(at);
  const part = (type: string): string => parts.find((one) => one.type === type)?.value ?? '';
  return `${part('year')}-${part('month')}-${part('day')} ${part('hour')}:${part('minute')}`;
}

export const TASK_HEADER = [
  'begin_now',
  'date',
  'station',
  'start_by',
  'ready_by',
  'component',
  'amount',
  'unit',
  'batches',
  'status',
  'for',
  'use_by',
  'cautions',
  'task_id',
] as const;

/**
 * One row a task: what must be begun now first, then day by day, by station and time; times on the
 * site's clock, amounts as they are.
 * @param now the instant of the file, and the date it is at the site then
 */
export function taskCells(
  list: PrepList,
  tasks: readonly PrepTask[],
  now: { readonly at: Date; readonly date: string },
): CsvCell[][] {
  return sectionOrderAt(tasks, now.at, now.date).map(({ task, beginNow }) => [
    beginNow ? 'now' : '',
    task.makeDate,
    task.station,
    onSiteClock(task.startBy, list.zone),
    onSiteClock(task.readyBy, list.zone),
    nameOf(list, task.recipeId),
    task.quantity,
    unitOf(list, task.recipeId),
    task.batches,
    task.status,
    [...new Set(task.neededFor.map((need) => need.label))].join('; '),
    onSiteClock(task.useBy, list.zone),
    task.cautions.join('; '),
    task.id,
  ]);
}

/** One row a component, one column a date. */
export function productionCells({ list, dates, rows }: Production): {
  readonly header: readonly string[];
  readonly rows: readonly CsvCell[][];
} {
  return {
    header: ['station', 'component', 'unit', ...dates],
    rows: rows.map((row) => [
      row.station,
      nameOf(list, row.recipeId),
      unitOf(list, row.recipeId),
      ...dates.map((date) => row.days.get(date)?.quantity ?? null),
    ]),
  };
}

/** A calendar entry a task, from its start to when it must be ready. */
export function calendarEntries(
  list: PrepList,
  tasks: readonly PrepTask[],
): readonly CalendarEntry[] {
  const minute = (at: Date): number => Math.floor(at.getTime() / 60_000);
  return tasks
    .filter((task) => task.status === 'to_do' || task.status === 'started')
    .map((task) => {
      const shown = displayAmount(task.quantity, list.names.get(task.recipeId)?.baseUnit ?? 'each');
      const takers = [...new Set(task.neededFor.map((need) => need.label))];
      return {
        uid: `${task.id}@tamis`,
        title: `${nameOf(list, task.recipeId)}, ${shown.text.replace(/ each$/, ' pieces')}`,
        startMin: minute(task.startBy),
        endMin: Math.max(minute(task.startBy), minute(task.readyBy)),
        description: [`For ${takers.join('; ')}`, ...task.cautions].join('\n'),
        location: task.station,
        categories: [task.station],
        sequence: task.rev,
      };
    });
}
