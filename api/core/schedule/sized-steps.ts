import { equipmentOf } from './plan-step.ts';
import type { PlanStep, StepEquipment } from './plan-step.ts';
import { placesOf } from './site-resources.ts';
import type { SiteEquipment } from './site-resources.ts';

const DUST = 1e-9;

/**
 * The steps of one making of `batches` batches at a site.
 *
 * Hands: `workingMin` is for one batch; the part of it that grows (`growingFraction`) grows in
 * proportion to the batches, the rest (getting out, watching the pot) comes once a load:
 * w · ((1 − g) · loads + g · b), rounded up to whole minutes.
 * Equipment: whole units (moulds, trays) are rounded up to whole ones; parts of a machine stay parts.
 * Where the making wants more places than the site has, the step is done in loads one after another,
 * each as long as one: fruit poached in turns when the pan holds less than the batch.
 *
 * @param batches > 0, fractions allowed
 * @param kinds equipment on record at the site; a kind that is not there does not bind
 */
export function sizedSteps(
  steps: readonly PlanStep[],
  batches: number,
  kinds: ReadonlyMap<string, SiteEquipment>,
): readonly PlanStep[] {
  return steps.map((step) => {
    const growing = step.growingFraction ?? 0;
    const wanted = equipmentOf(step).map((use) => ({ use, amount: sizedAmount(use, batches) }));
    const loads = Math.max(
      1,
      ...wanted.map(({ use, amount }) => {
        const site = kinds.get(use.kind);
        const room = site === undefined ? Infinity : placesOf(site);
        return room > 0 ? Math.ceil(amount / room - DUST) : 1;
      }),
    );
    const hands = step.workingMin * ((1 - growing) * loads + growing * batches);
    const equipment = wanted.map(({ use, amount }) => {
      const site = kinds.get(use.kind);
      return { ...use, amount: site ? Math.min(amount, Math.max(placesOf(site), DUST)) : amount };
    });
    return {
      ...step,
      workingMin: Math.ceil(hands - DUST),
      waitingMin: step.waitingMin * loads,
      ...(equipment.length > 0 ? { equipment } : {}),
    };
  });
}

function sizedAmount(use: StepEquipment, batches: number): number {
  const scaled = use.amount * batches;
  return Number.isInteger(use.amount) ? Math.ceil(scaled - DUST) : scaled;
}

/**
 * Most batches that one making can hold: the recipe's maximum, and the vessels (kept until the batch
 * is taken out of them) that the site has.
 *
 * @param multiple permitted multiple of batches; the answer is one of them, or 0 where the vessels
 *                 hold less than one
 */
export function mostAtOnce(
  steps: readonly PlanStep[],
  kinds: ReadonlyMap<string, SiteEquipment>,
  multiple: number,
  maximumBatches = Infinity,
): number {
  const rooms = steps.flatMap((step) =>
    equipmentOf(step).flatMap((use) => {
      const site = kinds.get(use.kind);
      return use.keptDuringHold === true && site ? [placesOf(site) / use.amount] : [];
    }),
  );
  const most = Math.min(maximumBatches, ...rooms);
  return most === Infinity ? Infinity : Math.floor(most / multiple + DUST) * multiple;
}

/** Makings of a run, in batches: as many full ones as there are, and the rest. */
export function makingsOf(batches: number, maximumBatches: number): readonly number[] {
  if (!(maximumBatches > 0) || batches <= maximumBatches + DUST) return [batches];
  const whole = Math.floor(batches / maximumBatches + DUST);
  const rest = batches - whole * maximumBatches;
  return [...Array.from({ length: whole }, () => maximumBatches), ...(rest > DUST ? [rest] : [])];
}
