import type { EpochMin } from '../calendar/index.ts';
import type { PlacedBatch } from './plan-step.ts';
import { seededSequence } from './seeded-sequence.ts';
import { SitePlacer } from './site-placer.ts';
import type { Blocked, MakingToPlace, ScheduleSite } from './site-placer.ts';

/** One making that wants hands and equipment. */
export interface ScheduleJob extends MakingToPlace {
  /** Until when the services it serves need it to keep. */
  readonly keepUntilMin?: EpochMin;
  /** How long it keeps once ready. */
  readonly keepsMin?: number;
  /** When it must be ready. */
  readonly readyByMin: EpochMin;
  /** Ids of jobs that take what this one makes: it must be ready when they start. */
  readonly usedBy: readonly string[];
}

/** When a job happens. */
export interface ScheduledJob {
  readonly id: string;
  readonly batch: PlacedBatch;
  /** When it has to be ready: its own time, or the start of what uses it. */
  readonly dueMin: EpochMin;
  /** Minutes after `dueMin`; 0 when in time. */
  readonly lateMin: number;
  /** Why it is late. */
  readonly blocked?: Blocked;
}

/** A site's schedule. */
export interface SiteSchedule {
  readonly jobs: ReadonlyMap<string, ScheduledJob>;
  /** Jobs that no order of placing found any time for at all. */
  readonly unplaced: readonly { readonly id: string; readonly blocked: Blocked }[];
  /** Orders tried. */
  readonly orders: number;
}

const MOST_ORDERS = 12;
/** How far the order of placing is disturbed, minutes. */
const DISTURB_MIN = 8 * 60;

/**
 * Places the makings of a site on its people and equipment, backward from what needs them: each as
 * late as it can be (freshest at service) with what is left, users before what they use. Working time
 * takes hands inside one stretch of work; waiting time takes equipment only and runs through nights.
 *
 * When something is late in the first order (latest due first), other orders are tried: what was late
 * goes first, then the order disturbed from a seeded sequence. The schedule with the least minutes
 * late is kept, so that the same jobs always get the same schedule.
 *
 * Serial generation on the reversed network (Kolisch 1996) with the exact placing of a chain of steps
 * with holds (placeLatest).
 *
 * @param jobs users may be named that are not among the jobs (a service): they are left aside
 */
export function scheduleSite(jobs: readonly ScheduleJob[], site: ScheduleSite): SiteSchedule {
  // Least room to move first, then latest due first.
  const wait = new Map(jobs.map((job) => [job.id, roomMin(job) - job.readyByMin]));
  const next = seededSequence(jobs.length);
  let best: SiteSchedule | undefined;
  let urgent: ReadonlySet<string> = new Set();
  for (let order = 1; order <= MOST_ORDERS; order += 1) {
    const rank = (job: ScheduleJob): number =>
      (wait.get(job.id) ?? 0) -
      (urgent.has(job.id) ? 1e9 : 0) +
      (order > 2 ? DISTURB_MIN * next() : 0);
    const found = { ...placeInOrder(jobs, rank, site), orders: order };
    if (!best || lateness(found) < lateness(best)) best = found;
    if (lateness(best) === 0) break;
    const late = [...found.jobs.values()].filter(({ lateMin }) => lateMin > 0).map(({ id }) => id);
    urgent = new Set([...urgent, ...late, ...found.unplaced.map(({ id }) => id)]);
  }
  return { ...(best ?? { jobs: new Map(), unplaced: [] }), orders: best?.orders ?? 0 };
}

/** How far a job can be moved within its shelf life, minutes; three days count as free. */
function roomMin(job: ScheduleJob): number {
  if (job.keepsMin === undefined || job.keepUntilMin === undefined) return MOST_ROOM_MIN;
  const first = Math.max(job.releaseMin, job.keepUntilMin - job.keepsMin);
  return Math.min(MOST_ROOM_MIN, Math.max(0, job.readyByMin - first));
}

const MOST_ROOM_MIN = 3 * 24 * 60;

/** A job without any time counts as a week late. */
function lateness({ jobs, unplaced }: Pick<SiteSchedule, 'jobs' | 'unplaced'>): number {
  const late = [...jobs.values()].reduce((sum, { lateMin }) => sum + lateMin, 0);
  return late + unplaced.length * 7 * 24 * 60;
}

function placeInOrder(
  jobs: readonly ScheduleJob[],
  rank: (job: ScheduleJob) => number,
  site: ScheduleSite,
): Pick<SiteSchedule, 'jobs' | 'unplaced'> {
  const byId = new Map(jobs.map((job) => [job.id, job]));
  const open = new Map(jobs.map((job) => [job.id, job.usedBy.filter((id) => byId.has(id)).length]));
  const inputsOf = new Map<string, ScheduleJob[]>();
  for (const job of jobs) {
    for (const user of job.usedBy) inputsOf.set(user, [...(inputsOf.get(user) ?? []), job]);
  }
  const ranks = new Map(jobs.map((job) => [job.id, rank(job)]));
  const ready = jobs.filter((job) => open.get(job.id) === 0);
  const placer = new SitePlacer(site);
  const placed = new Map<string, ScheduledJob>();
  const unplaced: { id: string; blocked: Blocked }[] = [];
  const byRank = (a: ScheduleJob, b: ScheduleJob): number =>
    (ranks.get(b.id) ?? 0) - (ranks.get(a.id) ?? 0) || (a.id < b.id ? 1 : -1);
  while (ready.length > 0) {
    ready.sort(byRank);
    const job = ready.pop();
    if (!job) break;
    const starts = job.usedBy.flatMap((id) => placed.get(id)?.batch.startMin ?? []);
    const dueMin = Math.min(job.readyByMin, ...starts);
    const lastUse = Math.max(job.keepUntilMin ?? -Infinity, ...starts);
    const readyFromMin = lastUse - (job.keepsMin ?? Infinity);
    const outcome = placer.place({ ...job, dueMin, readyFromMin });
    if ('batch' in outcome) {
      placer.take(job.steps, outcome.batch);
      placed.set(job.id, { id: job.id, dueMin, ...outcome });
    } else unplaced.push({ id: job.id, blocked: outcome.blocked });
    for (const input of inputsOf.get(job.id) ?? []) {
      const left = (open.get(input.id) ?? 1) - 1;
      open.set(input.id, left);
      if (left === 0) ready.push(input);
    }
  }
  return { jobs: placed, unplaced };
}
