import type { EpochMin } from '../calendar/index.ts';
import { workingStretches, workStarts } from './batch-times.ts';
import { placeEarliest, placeLatest } from './place-batch.ts';
import type { PlacementRules } from './place-batch.ts';
import { equipmentOf, leadTimeMin } from './plan-step.ts';
import type { PlacedBatch, PlanStep, StepEquipment } from './plan-step.ts';
import { siteOccupation } from './site-resources.ts';
import type { Shift, SiteEquipment, SiteOccupation } from './site-resources.ts';
import { intersect } from './spans.ts';
import type { Span, Spans } from './spans.ts';

/** People and equipment of a site. */
export interface ScheduleSite {
  readonly shifts: readonly Shift[];
  readonly equipment: readonly SiteEquipment[];
}

/** A making that wants a place. */
export interface MakingToPlace {
  readonly id: string;
  /** Sized for this making (see sizedSteps). */
  readonly steps: readonly PlanStep[];
  /** Earliest start: now, or what its own components allow. */
  readonly releaseMin: EpochMin;
  /** Latest start wished for (the end of its day); left out = none. */
  readonly startByMin?: EpochMin | undefined;
}

/** A making whose users are placed: when it is due, and from when on it may be ready. */
export interface DueMaking extends MakingToPlace {
  readonly dueMin: EpochMin;
  readonly readyFromMin: EpochMin;
}

/** What a step could not get in time. */
export interface Blocked {
  readonly stepId: string;
  /** 'hours': not even an empty kitchen has the time. */
  readonly by: 'hours' | 'hands' | 'equipment';
  readonly kind?: string;
  /** By hours, because what is done may wait no longer than this for its first use. */
  readonly waitMaxMin?: number;
}

/** Where a making goes, and how late that is; or what it could not get. */
export type Placement =
  | { readonly batch: PlacedBatch; readonly lateMin: number; readonly blocked?: Blocked }
  | { readonly blocked: Blocked };

/** How long after its time a late making is still looked for. */
const LATEST_LATE_MIN = 7 * 24 * 60;

/** Places makings one by one on what people and equipment of a site have left. */
export class SitePlacer {
  readonly #occupied: SiteOccupation;
  readonly #stretches: readonly Span[];

  constructor(site: ScheduleSite) {
    this.#occupied = siteOccupation(site.shifts, site.equipment);
    this.#stretches = workingStretches(site.shifts);
  }

  /**
   * The making as late as it can be ready in time; where it cannot, as soon as it goes, with the
   * minutes it is late and what was missing. Exact for one making (see placeLatest). Takes nothing.
   */
  place(making: DueMaking): Placement {
    const inTime = this.placeInTime(making);
    if ('batch' in inTime) return { batch: inTime.batch, lateMin: 0 };
    const { dueMin, readyFromMin, releaseMin, steps } = making;
    const blocked = this.#whatBlocks(making, inTime.blockedStep);
    const rules = this.#rulesFor(
      { ...making, startByMin: undefined },
      { lo: releaseMin, hi: Math.max(dueMin, releaseMin) + LATEST_LATE_MIN },
    );
    const from = Math.max(releaseMin, readyFromMin - leadTimeMin(steps));
    const soon = placeEarliest(steps, from, rules);
    if (!('batch' in soon)) return { blocked };
    return { batch: soon.batch, lateMin: Math.max(0, soon.batch.readyMin - dueMin), blocked };
  }

  /** As soon as it goes, begun no earlier than `fromMin`; undefined where it finds no time. */
  placeSoonest(steps: readonly PlanStep[], fromMin: EpochMin): PlacedBatch | undefined {
    const window = { lo: fromMin, hi: fromMin + LATEST_LATE_MIN };
    const rules = this.#rulesFor({ id: '', steps, releaseMin: fromMin }, window);
    const soon = placeEarliest(steps, fromMin, rules);
    return 'batch' in soon ? soon.batch : undefined;
  }

  /** The making as late as it can be ready in time, or the step that does not fit. */
  placeInTime(making: DueMaking): ReturnType<typeof placeLatest> {
    const rules = this.#rulesFor(making, { lo: making.releaseMin, hi: making.dueMin });
    return placeLatest(making.steps, readyWithin(making), rules, making.releaseMin);
  }

  /**
   * When a placed making could be ready if only working hours bound, and what of people and equipment
   * keeps it from being later than it is. Takes nothing; ask while it is not taken itself.
   */
  whyNotLater(
    making: DueMaking,
    batch: PlacedBatch,
  ): { readonly byHoursMin: EpochMin; readonly blocked?: Blocked } {
    const window = { lo: making.releaseMin, hi: making.dueMin };
    const hours = this.#rulesFor(making, window, 'nothing');
    const free = placeLatest(making.steps, readyWithin(making), hours, making.releaseMin);
    if (!('batch' in free) || free.batch.readyMin <= batch.readyMin) {
      return { byHoursMin: batch.readyMin };
    }
    const later = { ...making, releaseMin: batch.startMin + 1 };
    return { byHoursMin: free.batch.readyMin, blocked: this.#whatBlocks(later, 0) };
  }

  /** Takes people and equipment for a placed making; `sign` -1 gives them back. */
  take(steps: readonly PlanStep[], batch: PlacedBatch, sign: 1 | -1 = 1): void {
    for (const [index, step] of steps.entries()) {
      const at = batch.steps[index];
      if (!at) continue;
      if (step.workingMin > 0) {
        const want = { amount: sign * (step.hands ?? 1), temperatureC: null };
        this.#occupied.hands.take(want, at.startMin, at.workEndMin);
      }
      for (const use of equipmentOf(step)) {
        const room = this.#occupied.equipment.get(use.kind);
        if (!room) continue;
        const { offset, length } = during(step, use);
        const from = at.startMin + offset;
        const next = batch.steps[index + 1]?.startMin ?? at.endMin;
        const until = use.keptDuringHold === true ? Math.max(from + length, next) : from + length;
        const want = wantOf(step, use);
        room.take({ ...want, amount: sign * want.amount }, from, until);
      }
    }
  }

  #rulesFor(making: MakingToPlace, window: Span, only?: string): PlacementRules {
    const occupied = this.#occupied;
    const known = new Map<number, Spans>();
    const startsOf = (index: number): Spans => {
      const before = known.get(index);
      if (before) return before;
      const step = making.steps[index];
      if (!step) return [];
      let starts: Spans = intersect(workStarts(this.#stretches, step.workingMin), [window]);
      if (index === 0 && making.startByMin !== undefined) {
        starts = intersect(starts, [{ lo: -Infinity, hi: making.startByMin }]);
      }
      if (step.workingMin > 0 && (only === undefined || only === 'hands')) {
        const want = { amount: step.hands ?? 1, temperatureC: null };
        starts = intersect(starts, occupied.hands.starts(want, step.workingMin, window));
      }
      for (const use of equipmentOf(step)) {
        const room = occupied.equipment.get(use.kind);
        if (!room || (only !== undefined && only !== use.kind)) continue;
        const { offset, length } = during(step, use);
        const free = room.starts(wantOf(step, use), length, {
          lo: window.lo + offset,
          hi: window.hi + offset,
        });
        starts = intersect(
          starts,
          free.map(({ lo, hi }) => ({ lo: lo - offset, hi: hi - offset })),
        );
      }
      known.set(index, starts);
      return starts;
    };
    const freeDuringHold = (index: number): Spans => {
      const step = making.steps[index];
      if (!step) return [];
      let free: Spans = [{ lo: -Infinity, hi: Infinity }];
      for (const use of equipmentOf(step)) {
        const room = occupied.equipment.get(use.kind);
        if (use.keptDuringHold !== true || !room) continue;
        if (only !== undefined && only !== use.kind) continue;
        free = intersect(free, room.starts(wantOf(step, use), 1, window));
      }
      return free;
    };
    return { startsOf, freeDuringHold };
  }

  /** Finds the one thing without which the making would fit: hands, equipment, or the hours. */
  #whatBlocks(making: DueMaking, blockedStep: number): Blocked {
    const stepId = making.steps[blockedStep]?.id ?? '?';
    const window = { lo: making.releaseMin, hi: making.dueMin };
    const fitsWith = (only: string, within = readyWithin(making)): boolean => {
      const rules = this.#rulesFor(making, window, only);
      return 'batch' in placeLatest(making.steps, within, rules, making.releaseMin);
    };
    if (!fitsWith('nothing')) {
      const waitMaxMin = making.steps.at(-1)?.holdMaxMin;
      const waiting = { lo: making.readyFromMin, hi: making.dueMin };
      if (waitMaxMin === undefined || !fitsWith('nothing', waiting)) return { stepId, by: 'hours' };
      return { stepId, by: 'hours', waitMaxMin };
    }
    const kinds = new Set(
      making.steps.flatMap((step) => equipmentOf(step).map(({ kind }) => kind)),
    );
    const short = [...kinds].find((kind) => !fitsWith(kind));
    return short === undefined ? { stepId, by: 'hands' } : { stepId, by: 'equipment', kind: short };
  }
}

/** When a making may be ready: in date for all it serves, and no longer before its first use than it may wait. */
function readyWithin({ steps, dueMin, readyFromMin }: DueMaking): Span {
  const held = dueMin - (steps.at(-1)?.holdMaxMin ?? Infinity);
  return { lo: Math.max(held, readyFromMin), hi: dueMin };
}

function wantOf(step: PlanStep, use: StepEquipment) {
  return { amount: use.amount, temperatureC: step.temperatureC ?? null };
}

/** Which part of the step occupies the equipment: minutes from its start, and for how long. */
function during(step: PlanStep, use: StepEquipment): { offset: number; length: number } {
  if (use.during === 'working') return { offset: 0, length: step.workingMin };
  if (use.during === 'waiting') return { offset: step.workingMin, length: step.waitingMin };
  return { offset: 0, length: step.workingMin + step.waitingMin };
}
