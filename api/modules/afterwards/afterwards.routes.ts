import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { codeOfBase } from '../../core/quantity/index.ts';
import { AfterwardsSchema, StretchQuery } from './afterwards.schema.ts';
import type { AfterLine, Afterwards, AfterwardsService } from './afterwards.service.ts';

function toLineBody(line: AfterLine) {
  const amount = (value: number) => ({ value, unit: codeOfBase(line.baseUnit) });
  return {
    component: { id: line.itemId, name: line.name },
    planned: amount(line.planned),
    made: amount(line.made),
    used: amount(line.used),
    sold: amount(line.sold),
    wasted: amount(line.wasted),
    wastedBy: line.wastedBy.map(({ reason, quantity }) => ({ reason, amount: amount(quantity) })),
    drift: amount(line.drift),
    short: amount(line.short),
    shortBy: line.shortBy.map(({ cause, quantity, words }) => ({
      cause,
      amount: amount(quantity),
      words: [...words],
    })),
    plannedSurplus: amount(line.plannedSurplus),
    expectedWaste: amount(line.expectedWaste),
    wasteBeyondExpected: amount(line.wasteBeyondExpected),
  };
}

function toBody(report: Afterwards): z.infer<typeof AfterwardsSchema> {
  return {
    site: { id: report.siteId, name: report.siteName },
    from: report.fromDate,
    to: report.toDate,
    lines: report.lines.map(toLineBody),
    soldOut: report.soldOut.map(({ dishName, serviceName, serviceDate, soldOutAt }) => ({
      dish: dishName,
      service: serviceName,
      serviceDate,
      soldOutAt: soldOutAt.toISOString(),
    })),
    daysWithoutPlan: [...report.daysWithoutPlan],
  };
}

/** How the days went, site by site. */
export function afterwardsRoutes(afterwards: AfterwardsService): FastifyPluginAsyncZod {
  return async (app) => {
    app.get(
      '/sites/:siteId/afterwards',
      {
        config: { access: 'signed-in' },
        schema: {
          tags: ['afterwards'],
          summary: 'Made, used, thrown away and missing by component, against what plans expected',
          params: z.object({ siteId: z.string() }),
          querystring: StretchQuery,
          response: { 200: AfterwardsSchema },
        },
      },
      async (request) => {
        const { from, to } = request.query;
        return toBody(await afterwards.of(request.params.siteId, from, to));
      },
    );
  };
}
