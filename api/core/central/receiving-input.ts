import type { ItemLot, MadeElsewhere, SitePlanInput } from '../planning/index.ts';
import type { AskedTransfer, CentralSupply } from './supply.ts';

/** Lots that are not here yet have ids that begin so. */
export const COMING_LOT = 'coming:';

/**
 * The input of the receiving site's first plan: nothing of what others make is made here, so that its
 * needs show.
 */
export function askingInput(input: SitePlanInput, supply: CentralSupply): SitePlanInput {
  return { ...input, madeElsewhere: [...others(input), ...elsewhere(supply, () => true, {})] };
}

/**
 * The input of the plan that stands: with what comes. What does not come is made here where the rule
 * says so, and else is short for the reason given.
 */
export function suppliedInput(
  input: SitePlanInput,
  supply: CentralSupply,
  asked: {
    readonly transfers: readonly AskedTransfer[];
    readonly whyShort: MadeElsewhere['whyShort'];
  },
): SitePlanInput {
  const coming = asked.transfers.map((transfer) => comingLot(transfer, supply));
  return {
    ...input,
    lots: [...input.lots, ...coming],
    madeElsewhere: [
      ...others(input),
      ...elsewhere(supply, ({ restMadeHere }) => !restMadeHere, asked.whyShort),
    ],
  };
}

/** What the input says already of other components. */
const others = ({ madeElsewhere }: SitePlanInput): readonly MadeElsewhere[] => madeElsewhere ?? [];

function elsewhere(
  { from }: CentralSupply,
  which: (component: CentralSupply['from'][number]['components'][number]) => boolean,
  whyShort: MadeElsewhere['whyShort'],
): readonly MadeElsewhere[] {
  return from.flatMap(({ components }) =>
    components.filter(which).map(({ itemId, fromDate, endsBefore }) => ({
      itemId,
      fromDate,
      ...(endsBefore === undefined ? {} : { endsBefore }),
      ...(whyShort === undefined ? {} : { whyShort }),
    })),
  );
}

function comingLot(transfer: AskedTransfer, { from }: CentralSupply): ItemLot {
  const { makerSiteId, itemId, versionId, tripId, quantity, arriveMin, useByMin } = transfer;
  const maker = from.find((one) => one.makerSiteId === makerSiteId);
  const name = maker?.components.find((one) => one.itemId === itemId)?.name ?? itemId;
  return {
    id: `${COMING_LOT}${makerSiteId}:${itemId}@${versionId}:${tripId}`,
    itemId,
    quantity,
    availableFromMin: arriveMin,
    useByMin,
    coming: {
      label: `${name} from ${maker?.makerName ?? makerSiteId}, leaves ${tripId}`,
      source: { kind: 'transfer', id: tripId, note: `from ${maker?.makerName ?? makerSiteId}` },
    },
  };
}
