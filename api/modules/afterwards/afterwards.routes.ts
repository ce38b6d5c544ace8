import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { toCsv } from '../../core/exports/index.ts';
import { actorOf } from '../../http/access.ts';
import { AFTER_HEADER, afterCells, toAfterBody, toGroupBody } from './afterwards-body.ts';
import { AfterwardsSchema, GroupAfterwardsSchema, StretchQuery } from './afterwards.schema.ts';
import type { AfterwardsService } from './afterwards.service.ts';

const CSV = 'text/csv; charset=utf-8; header=present';
const csvFile = { produces: ['text/csv'], response: { 200: z.string() } };

/** How the days went, site by site and all together. */
export function afterwardsRoutes(afterwards: AfterwardsService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['afterwards'];
    const config = { access: 'signed-in' } as const;

    app.get(
      '/sites/:siteId/afterwards',
      {
        config,
        schema: {
          tags,
          summary: 'Made, used, thrown away and missing by component, against what plans expected',
          params: z.object({ siteId: z.string() }),
          querystring: StretchQuery,
          response: { 200: AfterwardsSchema },
        },
      },
      async (request) => {
        const { from, to } = request.query;
        return toAfterBody(await afterwards.of(request.params.siteId, from, to));
      },
    );

    app.get(
      '/afterwards',
      {
        config,
        schema: {
          tags,
          summary: 'The same of all one’s sites together, with each of them beside',
          querystring: StretchQuery,
          response: { 200: GroupAfterwardsSchema },
        },
      },
      async (request) => {
        const { from, to } = request.query;
        return toGroupBody(await afterwards.ofGroup(actorOf(request), from, to));
      },
    );

    app.get(
      '/afterwards.csv',
      {
        config,
        schema: {
          tags,
          summary:
            'A row for each component and site, in base units, causes in columns of their own',
          querystring: StretchQuery,
          ...csvFile,
        },
      },
      async (request, reply) => {
        const { from, to } = request.query;
        const report = await afterwards.ofGroup(actorOf(request), from, to);
        return reply
          .type(CSV)
          .header(
            'content-disposition',
            `attachment; filename="afterwards-${report.fromDate}-${report.toDate}.csv"`,
          )
          .send(toCsv(AFTER_HEADER, afterCells(report)));
      },
    );
  };
}
