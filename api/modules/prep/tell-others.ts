import { COMING_LOT, promises } from '../../core/central/index.ts';
import type { SitePlanInput } from '../../core/planning/index.ts';
import { countedOn, standingPlace } from '../central-production/index.ts';
import type { NewId } from '../platform/index.ts';
import { askChanges, writeAsked } from './ask-others.ts';
import type { CentralRead } from './central-input.ts';
import type { PrepWork } from './prep.ports.ts';
import type { PlannedSite } from './with-makers.ts';
import type { WorkedOutPlan } from './work-out-plan.ts';

/**
 * Writes what a plan that is put in place means for other sites: what it asks of them, and what it
 * can give of what they asked. Behind the site's lock, in the plan's own transaction.
 */
export async function tellOthers(
  work: PrepWork,
  newId: NewId,
  {
    siteId,
    planId,
    read: { central },
    worked: { asked, plan },
  }: {
    readonly siteId: string;
    readonly planId: string;
    readonly read: { readonly central: CentralRead };
    readonly worked: WorkedOutPlan;
  },
): Promise<Pick<PlannedSite<unknown>, 'makerSiteIds' | 'shortSiteIds'>> {
  const { centralProduction } = work;
  const changes = askChanges(asked ?? { transfers: [] }, central, siteId, planId, newId);
  await writeAsked(work, changes);
  if (asked && asked.transfers.length > 0) {
    await centralProduction.saveExplanation(newId('exp'), planId, asked.explanation);
  }
  const shortSiteIds = new Set<string>();
  const given = promises(plan, central.asked);
  for (const { id, quantity } of central.asked) {
    const promised = given.get(id) ?? quantity;
    await centralProduction.promise(id, quantity, promised);
    if (promised >= quantity) continue;
    const row = await centralProduction.findTransfer(id);
    if (row?.status === 'planned' && row.quantity === quantity) shortSiteIds.add(row.toSiteId);
  }
  return { makerSiteIds: changes.makerSiteIds, shortSiteIds: [...shortSiteIds].sort() };
}

/** The input of a plan with what comes from others as it is asked for now, without asking anew. */
export function standingSupply(input: SitePlanInput, central: CentralRead): SitePlanInput {
  const coming = central.open.flatMap((row) => {
    const quantity = countedOn(row);
    if (quantity <= 0) return [];
    return [
      {
        id: `${COMING_LOT}${row.id}`,
        itemId: row.componentId,
        quantity,
        availableFromMin: Math.floor(row.arrivesAt.getTime() / 60_000),
        useByMin: Math.floor(row.useBy.getTime() / 60_000),
      },
    ];
  });
  const elsewhere = central.rules
    .filter((rule) => !rule.restMadeHere && standingPlace(rule).makerSiteId !== null)
    .map(({ componentId, fromDate, endsBefore }) => ({
      itemId: componentId,
      fromDate,
      ...(endsBefore === null ? {} : { endsBefore }),
    }));
  return { ...input, lots: [...input.lots, ...coming], madeElsewhere: elsewhere };
}
