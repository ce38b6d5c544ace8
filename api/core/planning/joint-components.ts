import type { JointComponent, SharedCapacity } from '../batches/index.ts';
import { equipmentOf, placesOf } from '../schedule/index.ts';
import type { PlanStep } from '../schedule/index.ts';
import { batchProblem, handsOnRun, mainOutput, slotsFor } from './component-runs.ts';
import type { RunsAsked } from './component-runs.ts';
import { madeElsewhere } from './made-elsewhere.ts';
import type { OpenNeed } from './open-needs.ts';
import type { PlanDraft } from './plan-draft.ts';
import type { PlanVersion } from './plan-input.ts';
import { stepsOf } from './production-slots.ts';
import type { DatedSlot } from './production-slots.ts';

/** Components of a plan as one problem: what goes into what, and what shares a day's hands or equipment. */
export interface PlanTogetherProblem {
  readonly components: readonly JointComponent[];
  readonly capacities: readonly SharedCapacity[];
  readonly slots: ReadonlyMap<string, ReadonlyMap<string, DatedSlot>>;
}

/**
 * The components of a plan that can be planned together, with what services need of them and every
 * chance to make them: as early as each day allows, and just before each service or chance of a
 * component they go into.
 *
 * Left out are components of which the plan's dates ask for several versions, those that another site
 * makes, and those that come as by-products of others; what such a component draws is left out too (`'ruled out'`, so that a bound
 * holds whatever its runs are) or stands as the plan has it (`'as planned'`).
 *
 * Each chance takes its hands and equipment from its own day, in minutes: a coarse picture, in which
 * only the placing on people and equipment (`choosePlacedRuns`) has the last word.
 */
export function jointComponents(
  draft: PlanDraft,
  otherUsers: 'ruled out' | 'as planned',
): PlanTogetherProblem {
  const versions = singleVersions(draft);
  const usersOf = new Map<string, string[]>();
  for (const [id, { recipe }] of versions) {
    for (const childId of new Set(recipe.lines.map(({ itemId }) => itemId))) {
      if (versions.has(childId)) usersOf.set(childId, [...(usersOf.get(childId) ?? []), id]);
    }
  }
  const itemOfTask = new Map(draft.tasks.map((task) => [task.id, task.itemId]));
  const isOwn = ({ neededBy }: OpenNeed): boolean => {
    if (neededBy.kind !== 'batch') return true;
    return otherUsers === 'as planned' && !versions.has(itemOfTask.get(neededBy.id) ?? '');
  };
  const capacities = capacitiesOf(draft);
  const shared = new Set(capacities.map(({ id }) => id));
  const slots = new Map<string, readonly DatedSlot[]>();
  const components: JointComponent[] = [];
  const visit = (id: string, version: PlanVersion): void => {
    if (slots.has(id)) return;
    const users = usersOf.get(id) ?? [];
    for (const user of users) {
      const its = versions.get(user);
      if (its) visit(user, its);
    }
    const needs = draft.needs.of(id).filter(isOwn);
    const times = [
      ...needs.map(({ atMin }) => atMin),
      ...users.flatMap((user) => (slots.get(user) ?? []).map(({ startMin }) => startMin)),
    ];
    const asked = askedOf(id, version, needs, draft);
    const mine = times.length === 0 ? [] : slotsFor(asked, times);
    slots.set(id, mine);
    components.push(component(id, asked, mine, draft, { versions, shared }));
  };
  for (const [id, version] of versions) visit(id, version);
  return {
    components,
    capacities,
    slots: new Map(
      [...slots].map(([id, list]) => [id, new Map(list.map((slot) => [slot.id, slot]))]),
    ),
  };
}

/** Components with needs, all made here by one version, that nobody gets as a by-product. */
function singleVersions(draft: PlanDraft): ReadonlyMap<string, PlanVersion> {
  const byProducts = new Set(
    draft.input.versions.flatMap(({ recipe }) =>
      recipe.outputs.filter(({ main }) => !main).map(({ itemId }) => itemId),
    ),
  );
  const found = new Map<string, PlanVersion>();
  for (const { id, kind } of draft.input.items) {
    if (kind !== 'component' || byProducts.has(id)) continue;
    const asked = new Set(
      draft.needs
        .of(id)
        .map(({ serviceDate }) =>
          madeElsewhere(id, serviceDate, draft.input)
            ? undefined
            : draft.versions.on(id, serviceDate),
        ),
    );
    const [only] = asked;
    if (asked.size === 1 && only) found.set(id, only);
  }
  return found;
}

function askedOf(
  id: string,
  version: PlanVersion,
  needs: readonly OpenNeed[],
  draft: PlanDraft,
): RunsAsked {
  const { input, kinds } = draft;
  return {
    version,
    name: draft.nameOf(id),
    needs,
    lots: [...input.lots, ...draft.dueLots].filter(({ itemId }) => itemId === id),
    open: input.open,
    nowMin: input.nowMin,
    horizonEndMin: input.horizonEndMin,
    kinds,
  };
}

function component(
  id: string,
  asked: RunsAsked,
  slots: readonly DatedSlot[],
  draft: PlanDraft,
  {
    versions,
    shared,
  }: {
    readonly versions: ReadonlyMap<string, PlanVersion>;
    /** What of people and equipment binds. */
    readonly shared: ReadonlySet<string>;
  },
): JointComponent {
  const { version } = asked;
  const problem = batchProblem(asked, slots);
  const drawn = new Map<string, number>();
  for (const line of version.recipe.lines) {
    if (!versions.has(line.itemId)) continue;
    const perUnit = line.quantity / line.yieldFraction / mainOutput(version).quantity;
    drawn.set(line.itemId, (drawn.get(line.itemId) ?? 0) + perUnit);
  }
  return {
    ...problem,
    slots: problem.slots.map((slot) => ({
      ...slot,
      uses: usesOf(version, slot.id, slots, draft).filter(({ capacityId }) =>
        shared.has(capacityId),
      ),
    })),
    component: { id, name: draft.nameOf(id) },
    inputs: [...drawn].map(([componentId, perUnit]) => ({ componentId, perUnit })),
  };
}

const handsOn = (date: string): string => `hands ${date}`;
const kindOn = (kind: string, date: string): string => `${kind} ${date}`;

function usesOf(
  version: PlanVersion,
  slotId: string,
  slots: readonly DatedSlot[],
  { kinds }: PlanDraft,
): NonNullable<JointComponent['slots'][number]['uses']> {
  const slot = slots.find(({ id }) => id === slotId);
  if (!slot) return [];
  const uses = new Map<string, { perRun: number; perBatch: number }>();
  const add = (id: string, perRun: number, perBatch: number): void => {
    const known = uses.get(id) ?? { perRun: 0, perBatch: 0 };
    uses.set(id, { perRun: known.perRun + perRun, perBatch: known.perBatch + perBatch });
  };
  const { perRunMin, perBatchMin } = handsOnRun(version);
  add(handsOn(slot.date), perRunMin, perBatchMin);
  for (const step of stepsOf(version.steps)) {
    for (const use of equipmentOf(step)) {
      if (kinds.has(use.kind)) add(kindOn(use.kind, slot.date), 0, use.amount * minutesOf(step));
    }
  }
  return [...uses].map(([capacityId, use]) => ({ capacityId, ...use }));
}

function minutesOf({ workingMin, waitingMin }: PlanStep): number {
  return workingMin + waitingMin;
}

const MIN_PER_DAY = 24 * 60;

/** Minutes of hands on each day, and of each kind of equipment. */
function capacitiesOf({ input, kinds }: PlanDraft): readonly SharedCapacity[] {
  const dates = new Set(input.open.map(({ date }) => date));
  return [...dates].flatMap((date) => {
    const shifts = input.shifts?.filter((shift) => shift.date === date);
    const hands = shifts?.reduce(
      (sum, { fromMin, toMin, people }) =>
        sum + Math.max(0, toMin - Math.max(fromMin, input.nowMin)) * people,
      0,
    );
    return [
      ...(hands === undefined || !Number.isFinite(hands)
        ? []
        : [{ id: handsOn(date), name: `people on ${date}`, capacity: hands }]),
      ...[...kinds.values()].map((site) => ({
        id: kindOn(site.kind, date),
        name: `${site.name} on ${date}`,
        capacity: placesOf(site) * MIN_PER_DAY,
      })),
    ];
  });
}
