import { addDays } from '../../api/core/calendar/index.ts';
import type { Services } from '../../api/modules/routes.ts';
import type { Actor } from '../../api/modules/platform/index.ts';
import type { Database, Db } from '../../api/persistence/database.ts';
import { fromServiceDate } from '../../api/persistence/row-values.ts';
import type { DemoData } from '../generator/types.ts';
import { recipeId, serviceId, siteId } from './demo-keys.ts';

/** Overrides of days to come are said in the evening before loading; of days gone by, two days ahead. */
const SAID_DAYS_AHEAD = 2;

/** The pars of the demo's sites, and what its people set in place of the forecast. */
export async function loadPars(db: Db, data: DemoData, today: string): Promise<void> {
  await db.parLevel.createMany({
    data: data.pars.map((par) => ({
      id: `par_${par.site}-${par.recipe}`,
      siteId: siteId(par.site),
      recipeId: recipeId(par.recipe),
      rule: par.rule,
      quantity: par.quantity ?? null,
      serviceLevel: par.level ?? null,
      reviewDays: par.reviewDays,
      leadDays: par.leadDays,
      reason: par.reason,
      enteredBy: 'demo',
    })),
  });
  await db.coversOverride.createMany({
    data: data.overrides.map((override) => {
      const date = addDays(today, override.inDays);
      const said = addDays(
        override.inDays > 0 ? today : date,
        override.inDays > 0 ? -1 : -SAID_DAYS_AHEAD,
      );
      return {
        id: `over_${override.site}-${override.service}-${date}`,
        siteId: siteId(override.site),
        serviceId: serviceId(override.site, override.service),
        serviceDate: fromServiceDate(date),
        covers: override.covers,
        reason: override.reason,
        enteredBy: override.enteredBy,
        enteredAt: new Date(`${said}T17:00:00Z`),
      };
    }),
  });
}

/**
 * Plays the last weeks of the first site's services through, and notes beside each override of days
 * gone by what the forecast would have said when it was entered.
 */
export async function playBack(
  database: Database,
  services: Services,
  actor: Actor,
  data: DemoData,
): Promise<void> {
  const [site] = data.sites;
  if (!site) return;
  for (const service of site.services) {
    const test = await services.backtests.run(actor, siteId(site.key), {
      serviceId: serviceId(site.key, service.key),
      horizons: [1, SAID_DAYS_AHEAD, 3, 5, 7, 10, 14],
      everyDays: 1,
    });
    for (const point of test.result.points) {
      if (point.horizonDays !== SAID_DAYS_AHEAD || point.override === undefined) continue;
      await database.prisma.coversOverride.updateMany({
        where: {
          serviceId: test.serviceId,
          serviceDate: fromServiceDate(point.serviceDate),
          forecastMean: null,
        },
        data: { forecastMean: point.mean },
      });
    }
  }
}
