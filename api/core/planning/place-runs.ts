import type { PlannedRun } from '../batches/index.ts';
import { makingsOf, mostAtOnce, sizedSteps } from '../schedule/index.ts';
import type { Blocked, DueMaking, PlacedBatch } from '../schedule/index.ts';
import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import { componentRuns, decidedRuns } from './component-runs.ts';
import type { ComponentRuns, RunsAsked } from './component-runs.ts';
import type { OpenNeed } from './open-needs.ts';
import type { PlanDraft } from './plan-draft.ts';
import type { PlanVersion } from './plan-input.ts';
import { makeDateOf, stepsOf } from './production-slots.ts';
import type { DatedSlot } from './production-slots.ts';

/** Most times a run without room is cut or struck out and the component's runs chosen anew. */
const MOST_STRIKES = 4;

/** A run on people and equipment. */
export interface PlacedRun extends DatedSlot {
  readonly batches: number;
  /** When its makings begin, in batches; those close together count as one. */
  readonly starts: readonly MakingStart[];
  /** The day it was wished for. */
  readonly wishedDate: string;
  readonly dueMin: number;
  readonly lateMin: number;
  /** Why it is late. */
  readonly blocked?: Blocked;
  /** Why it is not made on the day it was wished for. */
  readonly moved?: Blocked;
  /** How its first making comes to its times. */
  readonly timing?: Timing;
}

/** What decides when a making is begun. */
export interface Timing {
  readonly readyMin: number;
  readonly workingMin: number;
  /** Steps that wait, in the recipe's order, with how long. */
  readonly waits: readonly { readonly step: number; readonly waitingMin: number }[];
  /** When it could be ready if only working hours bound. */
  readonly byHoursMin: number;
  /** Who or what keeps it from being later. */
  readonly blocked?: Blocked;
}

/** Makings that begin about together. */
export interface MakingStart {
  readonly fromMin: number;
  readonly toMin: number;
  readonly batches: number;
}

/** Makings begun within this of the first of them take what they use at once. */
const TOGETHER_MIN = 4 * 60;

/** The runs of a component where they really go, and how they were chosen. */
export interface PlacedRuns {
  /** As chosen, with cost and bound. */
  readonly chosen: ComponentRuns;
  /** Chosen from what was left after other choices had found no room. */
  readonly cut: boolean;
  /** As placed: what each serves at its true times. */
  readonly played: ComponentRuns;
  readonly placed: ReadonlyMap<string, PlacedRun>;
  /** Runs that find no time at all. */
  readonly homeless: readonly { readonly slot: DatedSlot; readonly blocked: Blocked }[];
  /** What runs that were tried were short of. */
  readonly blocks: readonly Blocked[];
}

/**
 * Chooses the runs of a component and places their makings on what people and equipment have left,
 * each as late as it is in time: on its day, or on an earlier one that its shelf life allows. Where a
 * run finds no room in time, its chance is cut to the makings that did find room, or struck out, and
 * the runs are chosen anew, so that work moves to where there is room; when that helps no more, the choice that leaves least short or late
 * stands, and what is late is placed as soon as it goes.
 */
export function choosePlacedRuns(asked: RunsAsked, draft: PlanDraft): Result<PlacedRuns> {
  const room = new Map<string, number>();
  const blocks: Blocked[] = [];
  let best: Choice | undefined;
  for (let strike = 0; strike <= MOST_STRIKES; strike += 1) {
    const runs = componentRuns(asked, draft.made, room);
    if (!runs.ok) return runs;
    const attempt = placeAll(runs.value, asked, draft);
    const failing = attempt.makings.filter(({ late }) => late).map(({ slotId }) => slotId);
    const stuck = [...failing, ...attempt.homeless.map(({ slot }) => slot.id)];
    const choice = { runs: runs.value, cut: room.size > 0 };
    if (stuck.length === 0) return finished(choice, attempt, asked, draft, blocks);
    for (const { blocked } of [...attempt.placed.values(), ...attempt.homeless]) {
      if (blocked) blocks.push(blocked);
    }
    attempt.undo();
    const short = shortBatches(runs.value, stuck, asked);
    if (!best || short < best.short - 1e-9) best = { ...choice, short };
    for (const slotId of stuck) room.set(slotId, attempt.fits.get(slotId) ?? 0);
  }
  if (!best) throw new Error('At least one choice has been tried');
  return finished(best, placeAll(best.runs, asked, draft), asked, draft, blocks);
}

interface Choice {
  readonly runs: ComponentRuns;
  readonly cut: boolean;
  readonly short: number;
}

function shortBatches(
  { plan }: ComponentRuns,
  stuck: readonly string[],
  { version }: RunsAsked,
): number {
  const output = version.recipe.outputs.find((out) => out.main)?.quantity ?? 1;
  const unmet = plan.unmet.reduce((sum, { quantity }) => sum + quantity, 0) / output;
  const late = plan.runs.filter(({ slotId }) => stuck.includes(slotId));
  return unmet + late.reduce((sum, { batches }) => sum + batches, 0);
}

interface Attempt {
  readonly placed: ReadonlyMap<string, PlacedRun>;
  readonly homeless: PlacedRuns['homeless'];
  readonly makings: readonly { readonly slotId: string; readonly late: boolean }[];
  /** Batches that found room in time, of runs of which not all did. */
  readonly fits: ReadonlyMap<string, number>;
  readonly taken: readonly Taken[];
  readonly undo: () => void;
}

/** A making with the place it has taken. */
interface Taken {
  readonly making: DueMaking;
  readonly batch: PlacedBatch;
  readonly batches: number;
}

/** Places every run, the latest due first, and takes what it needs. */
function placeAll({ plan, slots }: ComponentRuns, asked: RunsAsked, draft: PlanDraft): Attempt {
  const byId = new Map(asked.needs.map((need) => [need.id, need]));
  const placed = new Map<string, PlacedRun>();
  const homeless: { slot: DatedSlot; blocked: Blocked }[] = [];
  const makings: { slotId: string; late: boolean }[] = [];
  const fits = new Map<string, number>();
  const taken: Taken[] = [];
  const runs = plan.runs
    .flatMap((run) => {
      const slot = slots.get(run.slotId);
      if (!slot) return [];
      const times = servedTimes(run, slot, byId);
      // A run is wished for early where what goes into it does not keep until late.
      const dueMin = asked.wished ? Math.min(times.dueMin, slot.readyMin) : times.dueMin;
      return [{ run, slot, times: { ...times, dueMin } }];
    })
    .sort((a, b) => b.times.dueMin - a.times.dueMin);
  for (const { run, slot, times } of runs) {
    const found = placeRun(run, slot, times, asked, draft);
    if (found.fits < run.batches - 1e-9) fits.set(slot.id, found.fits);
    if ('placed' in found) {
      placed.set(slot.id, found.placed);
      makings.push({ slotId: slot.id, late: found.placed.lateMin > 0 });
      taken.push(...found.taken);
    } else homeless.push({ slot, blocked: found.blocked });
  }
  const undo = (): void => {
    for (const { making, batch } of taken) draft.placer.take(making.steps, batch, -1);
  };
  return { placed, homeless, makings, fits, taken, undo };
}

interface ServedTimes {
  readonly dueMin: number;
  readonly readyFromMin: number;
}

function servedTimes(
  run: PlannedRun,
  slot: DatedSlot,
  byId: ReadonlyMap<string, OpenNeed>,
): ServedTimes {
  const served = run.allocations.flatMap(({ needId }) => byId.get(needId) ?? []);
  if (served.length === 0) return { dueMin: slot.readyMin, readyFromMin: -Infinity };
  const keeps = slot.useByMin - slot.readyMin;
  return {
    dueMin: Math.min(...served.map(({ atMin }) => atMin)),
    readyFromMin: Math.max(...served.map(({ untilMin }) => untilMin)) - keeps,
  };
}

type RunPlace = {
  /** Batches of the first makings, all of them in time. */
  readonly fits: number;
} & (
  | {
      readonly placed: PlacedRun;
      readonly taken: readonly Taken[];
    }
  | { readonly blocked: Blocked }
);

/** One run, making by making; all or none. */
function placeRun(
  run: PlannedRun,
  slot: DatedSlot,
  { dueMin, readyFromMin }: ServedTimes,
  asked: RunsAsked,
  draft: PlanDraft,
): RunPlace {
  const { placer, input } = draft;
  const day = input.open.findLast((interval) => interval.date === slot.date);
  const taken: Taken[] = [];
  let lateMin = 0;
  let blocked: Blocked | undefined;
  let moved: Blocked | undefined;
  let fits = 0;
  for (const batches of makingsIn(run.batches, asked.version, draft)) {
    const steps = sizedSteps(stepsOf(asked.version.steps), batches, draft.kinds);
    const making = {
      id: slot.id,
      steps,
      releaseMin: asked.nowMin,
      ...(day ? { startByMin: day.toMin } : {}),
      dueMin,
      readyFromMin,
    };
    const found = placer.place(making);
    if (!('batch' in found)) {
      for (const other of taken) placer.take(other.making.steps, other.batch, -1);
      return { blocked: found.blocked, fits };
    }
    if (!found.blocked && !blocked) fits += batches;
    // Not in time is late, also where it would be ready too early to keep.
    if (found.blocked) {
      blocked = found.blocked;
      lateMin = Math.max(lateMin, found.lateMin, 1);
    }
    const opens = Math.max(asked.nowMin, day?.fromMin ?? asked.nowMin);
    if (!found.blocked && found.batch.startMin < opens) {
      moved ??= placer.place({ ...making, releaseMin: opens }).blocked;
    }
    placer.take(steps, found.batch);
    taken.push({ making, batch: found.batch, batches });
  }
  const starts = taken.map(({ batch }) => batch.startMin);
  const startMin = Math.min(...starts);
  const readyMin = Math.max(...taken.map(({ batch }) => batch.readyMin));
  const placed: PlacedRun = {
    id: slot.id,
    date: makeDateOf(input.open, startMin) ?? slot.date,
    wishedDate: slot.date,
    startMin,
    starts: together(taken.map(({ batch, batches }) => ({ startMin: batch.startMin, batches }))),
    readyMin,
    // Every making keeps as long from when it is ready itself.
    useByMin: Math.min(...taken.map(({ batch }) => batch.readyMin)) + slot.useByMin - slot.readyMin,
    batches: run.batches,
    dueMin,
    lateMin,
    ...(blocked ? { blocked } : {}),
    ...(moved ? { moved } : {}),
  };
  return { placed, taken, fits };
}

function together(
  makings: readonly { readonly startMin: number; readonly batches: number }[],
): readonly MakingStart[] {
  const groups: MakingStart[] = [];
  for (const { startMin, batches } of [...makings].sort((a, b) => a.startMin - b.startMin)) {
    const last = groups.at(-1);
    if (last && startMin - last.fromMin <= TOGETHER_MIN) {
      groups[groups.length - 1] = {
        fromMin: last.fromMin,
        toMin: startMin,
        batches: last.batches + batches,
      };
    } else groups.push({ fromMin: startMin, toMin: startMin, batches });
  }
  return groups;
}

/** The makings of a run, in batches, as the recipe and the site's vessels allow. */
export function makingsIn(
  batches: number,
  version: PlanVersion,
  draft: PlanDraft,
): readonly number[] {
  const limits = version.recipe.batchLimits;
  const most = mostAtOnce(
    version.steps,
    draft.kinds,
    limits?.stepBatches ?? 1,
    limits?.maximumBatches,
  );
  return makingsOf(batches, most);
}

function finished(
  { runs: chosen, cut }: Omit<Choice, 'short'>,
  attempt: Attempt,
  asked: RunsAsked,
  draft: PlanDraft,
  blocks: readonly Blocked[],
): Result<PlacedRuns> {
  const { homeless } = attempt;
  const placed = new Map(
    [...attempt.placed].map(([id, run]) => [id, { ...run, ...timingOf(run, attempt, draft) }]),
  );
  const played = decidedRuns(asked, [...placed.values()]);
  if (!played.ok) return played;
  return ok({ chosen, cut, played: played.value, placed, homeless, blocks });
}

/** How the first making of a run comes to its times. */
function timingOf(
  { id, startMin }: PlacedRun,
  { taken }: Attempt,
  { placer }: PlanDraft,
): Pick<PlacedRun, 'timing'> {
  const first = taken.find(({ making, batch }) => making.id === id && batch.startMin === startMin);
  if (!first) return {};
  const { making, batch } = first;
  placer.take(making.steps, batch, -1);
  const why = placer.whyNotLater(making, batch);
  placer.take(making.steps, batch);
  return {
    timing: {
      readyMin: batch.readyMin,
      workingMin: making.steps.reduce((sum, { workingMin }) => sum + workingMin, 0),
      waits: making.steps.flatMap(({ waitingMin }, i) =>
        waitingMin > 0 ? [{ step: i + 1, waitingMin }] : [],
      ),
      ...why,
    },
  };
}
