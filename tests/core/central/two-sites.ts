import {
  askForTransfers,
  askingInput,
  outsideNeeds,
  promises,
  suppliedInput,
  tripsBetween,
  type CentralComponent,
  type CentralSupply,
  type OpenTrip,
  type TransferDays,
} from '../../../api/core/central/index.ts';
import { highsSolver } from '../../../api/core/milp/index.ts';
import { planSite, type SitePlanInput } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { at, planInput, service, versions, ZONE } from '../planning/lake-scenario.ts';

// The small menu of lake-scenario at two sites: the first makes shells or curd for the second.
const solver = highsSolver();

export const EVERY_DAY: TransferDays = {
  weekdays: [1, 2, 3, 4, 5, 6, 7],
  leavesAt: '14:00',
  arrivesAt: '15:30',
  arrivesDaysLater: 0,
  noTripDates: [],
};

export function tripsFrom(days: Partial<TransferDays> = {}, limits: Partial<OpenTrip> = {}) {
  const place = { zone: ZONE, closedDates: [] };
  return unwrap(
    tripsBetween({ ...EVERY_DAY, ...days }, place, place, '2026-03-09', '2026-03-14'),
  ).trips.map((trip) => ({ ...trip, ...limits }));
}

export function component(itemId: string, extra: Partial<CentralComponent> = {}): CentralComponent {
  const mine = versions.filter((version) => version.itemId === itemId);
  return {
    ruleId: 'cpr_1',
    itemId,
    name: itemId,
    baseUnit: itemId === 'shell' ? 'each' : 'g',
    fromDate: '2026-01-01',
    containerName: 'box',
    containerQuantity: itemId === 'shell' ? 12 : 1000,
    keeping: null,
    restMadeHere: false,
    versions: mine.map((version) => ({
      versionId: version.versionId,
      firstServiceDate: version.firstServiceDate,
      batchQuantity: version.recipe.outputs[0]?.quantity ?? 1,
      shelfLifeMin: version.shelfLifeMin,
      steps: version.steps,
    })),
    ...extra,
  };
}

export function supplyOf(
  components: readonly CentralComponent[],
  trips: readonly OpenTrip[],
  makerInput: SitePlanInput,
): CentralSupply {
  return {
    nowMin: makerInput.nowMin,
    from: [
      {
        makerSiteId: 'site-maker',
        makerName: 'Serafina',
        trips,
        makerOpen: makerInput.open,
        components,
      },
    ],
  };
}

/** Plans the receiving site, asks, plans it with what comes, and then the maker with what is asked. */
export async function throughBoth(
  input: SitePlanInput,
  makerInput: SitePlanInput,
  supply: CentralSupply,
) {
  const asking = unwrap(planSite(askingInput(input, supply)));
  const asked = unwrap(await askForTransfers(asking, supply, ZONE, solver));
  const given = suppliedInput(input, supply, asked);
  const plan = unwrap(planSite(given));
  const wanted = asked.transfers.map((transfer, i) => ({
    ...transfer,
    id: `trf_${i}`,
    receiverName: 'Molo',
    containerQuantity:
      supply.from[0]?.components.find(({ itemId }) => itemId === transfer.itemId)
        ?.containerQuantity ?? 1,
  }));
  const makerGiven = { ...makerInput, outsideNeeds: outsideNeeds(wanted, ZONE) };
  const maker = unwrap(planSite(makerGiven));
  return {
    asking,
    asked,
    given,
    plan,
    wanted,
    makerGiven,
    maker,
    promised: promises(maker, wanted),
  };
}

export const dinners = (covers: readonly number[], dishId = 'tart', share = 0.5) =>
  planInput(
    covers.map((count, i) =>
      service(`2026-03-${10 + i}`, i % 2 === 0 ? 'Dinner' : 'Lunch', count, [{ dishId, share }]),
    ),
    { nowMin: at('2026-03-09', '06:30') },
  );
