import type { ServiceDate } from '../calendar/index.ts';
import type { OpenNeed } from './open-needs.ts';
import type { MadeElsewhere, SitePlanInput } from './plan-input.ts';
import type { NeedFromElsewhere } from './plan-output.ts';

/** @returns who says that another site makes the item for this service date; undefined: nobody */
export function madeElsewhere(
  itemId: string,
  serviceDate: ServiceDate,
  input: Pick<SitePlanInput, 'madeElsewhere'>,
): MadeElsewhere | undefined {
  return input.madeElsewhere?.find(
    (one) =>
      one.itemId === itemId &&
      one.fromDate <= serviceDate &&
      (one.endsBefore === undefined || serviceDate < one.endsBefore),
  );
}

/** A need less what is here and what comes. */
export function stillNeeded(need: OpenNeed, quantity: number, node: string): NeedFromElsewhere {
  const { id, itemId, atMin, untilMin, serviceDate, certainFraction, neededBy } = need;
  return {
    needId: id,
    itemId,
    atMin,
    untilMin,
    serviceDate,
    quantity,
    certainFraction,
    node,
    neededBy: { ...neededBy, quantity },
  };
}

/** One sentence for the chef: why what another site makes is short. */
export function whyNotSent(name: string, need: OpenNeed, elsewhere: MadeElsewhere): string {
  return (
    elsewhere.whyShort?.[need.id] ??
    `${name} is made at another site, and nothing comes in time for ${need.neededBy.label}.`
  );
}
