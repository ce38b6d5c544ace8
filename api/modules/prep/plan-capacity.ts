import type { OpenInterval } from '../../core/calendar/index.ts';
import type { PreviousRun, SitePlanInput } from '../../core/planning/index.ts';
import type { PlanStep, StepEquipment } from '../../core/schedule/index.ts';
import type { PlanningData, VersionRow } from './planning-data.ports.ts';
import type { PrepTask } from './prep.ports.ts';

/** People on shift and equipment on record, as the core's schedule takes them. */
export function siteCapacity(
  data: PlanningData,
  open: readonly OpenInterval[],
): Pick<SitePlanInput, 'shifts' | 'equipment'> {
  return {
    shifts: open.map((stretch) => ({ ...stretch, people: stretch.people ?? 1 })),
    equipment: data.equipment.map(({ kind, name, units, holdsQuantity }) => ({
      kind,
      name,
      units,
      ...(holdsQuantity === null ? {} : { placesPerUnit: holdsQuantity }),
    })),
  };
}

/** What nobody has started of the plan being replaced. */
export function previousRunsOf(standing: readonly PrepTask[]): readonly PreviousRun[] {
  return standing
    .filter((task) => task.status === 'to_do')
    .map((task) => ({
      itemId: task.recipeId,
      versionId: task.versionId,
      makeDate: task.makeDate,
      startMin: Math.floor(task.startBy.getTime() / 60_000),
      batches: task.batches,
    }));
}

/**
 * How much of a step's working time grows with the batches of a making: filling, piping and lining
 * are done piece by piece; a pot, a bowl or an oven is watched nearly as long whatever it holds.
 * Common practice, no source.
 */
const GROWS_WITH_PIECES = 1;
const GROWS_WITH_SIZE = 0.5;

/**
 * A recipe's steps as the schedule takes them. What a batch is filled into in a `work` step (whole
 * moulds, rings, frames, glasses; a part of a machine is no vessel) stays with it through what
 * follows, until somebody works on it again.
 */
export function planSteps(rows: VersionRow['steps']): readonly PlanStep[] {
  let kept: StepEquipment[] = [];
  return rows.map((step, index) => {
    const own: StepEquipment[] =
      step.equipmentKind === null
        ? []
        : [{ kind: step.equipmentKind, amount: step.equipmentAmount ?? 1 }];
    if (step.kind === 'work') {
      const more = rows.slice(index + 1).length > 0;
      kept = own
        .filter(({ amount }) => more && Number.isInteger(amount))
        .map((use) => ({ ...use, keptDuringHold: true }));
    }
    const others = own.filter(({ kind }) => !kept.some((use) => use.kind === kind));
    const equipment = [...kept, ...others];
    return {
      id: step.id,
      workingMin: step.workingMin,
      waitingMin: step.waitingMin,
      growingFraction: step.kind === 'work' ? GROWS_WITH_PIECES : GROWS_WITH_SIZE,
      ...(step.holdMaxMin === null ? {} : { holdMaxMin: step.holdMaxMin }),
      ...(step.temperatureC === null ? {} : { temperatureC: step.temperatureC }),
      ...(equipment.length > 0 ? { equipment } : {}),
    };
  });
}
