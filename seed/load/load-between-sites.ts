import type { Services } from '../../api/modules/routes.ts';
import type { Actor } from '../../api/modules/platform/index.ts';
import type { DemoData } from '../generator/types.ts';
import { recipeId, siteId } from './demo-keys.ts';

/** The sites that something is made for elsewhere: planning one plans its makers too. */
export function receivers(data: DemoData): DemoData['sites'] {
  return data.sites.filter(({ key }) => data.makings.some((making) => making.for.includes(key)));
}

/**
 * The ways between the demo's sites and who makes what for whom, as a lead would set them; what stands
 * from an earlier run is left alone.
 */
export async function addBetweenSites(
  services: Pick<Services, 'transferRoutes' | 'productions'>,
  actor: Actor,
  data: DemoData,
  today: string,
): Promise<void> {
  if ((await services.transferRoutes.list(actor)).length > 0) return;
  for (const { from, to, ...way } of data.ways) {
    await services.transferRoutes.add(actor, {
      ...way,
      fromSiteId: siteId(from),
      toSiteId: siteId(to),
      arrivesDaysLater: 0,
      noTripDates: [],
      massLimitG: null,
      minimumContainers: 1,
      costPerTrip: '0',
      currency: null,
    });
  }
  for (const { component, maker, holds, container, reason, ...making } of data.makings) {
    await services.productions.add(actor, {
      componentId: recipeId(component),
      makerSiteIds: [siteId(maker)],
      siteIds: making.for.map(siteId),
      mode: 'fixed',
      fromDate: today,
      endsBefore: null,
      containerName: container,
      containerValue: holds.value,
      containerUnit: holds.unit === 'each' ? '{each}' : holds.unit,
      keeping: null,
      restMadeHere: true,
      reason,
    });
  }
}
