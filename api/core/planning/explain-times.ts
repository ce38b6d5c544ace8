import { lackWords } from './tight-runs.ts';
import type { PlacedRun } from './place-runs.ts';
import type { PlanDraft } from './plan-draft.ts';
import type { NeededBy } from './plan-output.ts';

/** The node that explains when a run is begun, from that of the amount it makes. */
export function timesNodeOf(quantityNode: string): string {
  return quantityNode.replace(/:(quantity|made)$/, ':begun-before');
}

/**
 * Explains when a run is begun, in minutes before the first thing that needs it: what working hours
 * leave between the two, what people or equipment push it forward (below zero: back, it is late), the
 * waits of its steps, the hands-on time, and the pauses between. Of a run in several makings it is the
 * first of them.
 *
 * @param stem id of the run in the explanation
 * @param version id of the recipe version, as the source of the steps
 */
export function explainTimes(
  draft: PlanDraft,
  stem: string,
  run: PlacedRun,
  { name, version, first }: { name: string; version: string; first: NeededBy },
): void {
  const { timing } = run;
  if (!timing) return;
  const { builder } = draft;
  const source = { kind: 'recipe version', id: version } as const;
  const given = (part: string, label: string, value: number, note?: string) => ({
    nodeId: builder.given({
      id: `${stem}:${part}`,
      label,
      value,
      unit: 'min',
      ...(note === undefined ? {} : { source: { ...source, note } }),
    }),
  });
  const waitingMin = timing.waits.reduce((sum, wait) => sum + wait.waitingMin, 0);
  const pauses = timing.readyMin - run.startMin - timing.workingMin - waitingMin;
  const lack = timing.blocked ?? run.blocked;
  const before = [
    given(
      'by-hours',
      `Ready no later inside working hours, before ${first.label}`,
      first.atMin - timing.byHoursMin,
    ),
    ...(timing.byHoursMin === timing.readyMin
      ? []
      : [
          given(
            'pushed',
            lack ? `Pushed: ${lackWords(lack, draft)}` : 'Pushed by people or equipment',
            timing.byHoursMin - timing.readyMin,
          ),
        ]),
  ];
  const ready = builder.add({
    id: `${stem}:ready-before`,
    label: `${name} ready before ${first.label}, ${first.serviceDate}`,
    unit: 'min',
    formula: 'weighted-sum',
    inputs: before,
  });
  const steps = timing.waits.map((wait) => `step ${wait.step}: ${wait.waitingMin} min`).join(', ');
  builder.add({
    id: `${stem}:begun-before`,
    label: `${name} begun before ${first.label}, ${first.serviceDate}`,
    unit: 'min',
    formula: 'weighted-sum',
    inputs: [
      { nodeId: ready },
      ...(waitingMin > 0
        ? [given('waits', 'Waiting: setting, chilling, baking', waitingMin, steps)]
        : []),
      given('hands', 'Hands on it', timing.workingMin, 'its steps, for this making'),
      ...(pauses > 0
        ? [
            given(
              'pauses',
              'Pauses between steps: closed, or hands and equipment elsewhere',
              pauses,
            ),
          ]
        : []),
    ],
  });
}
