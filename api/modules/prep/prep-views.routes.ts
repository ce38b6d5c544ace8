import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { toCalendarFeed, toCsv } from '../../core/exports/index.ts';
import { actorOf } from '../../http/access.ts';
import { orRefuse } from '../platform/index.ts';
import { SAFETY_NOTICE } from './prep-body.ts';
import { calendarEntries, productionCells, taskCells, TASK_HEADER } from './prep-files.ts';
import { SiteParams } from './prep.schema.ts';
import type { PrepList } from './read-list.ts';
import { DayQuery, ProductionSchema, PullListSchema, ViewQuery } from './prep-views.schema.ts';
import type { PrepViewsService } from './prep-views.service.ts';

const UNIT = { g: 'g', ml: 'mL', each: '{each}' } as const;
const named = (list: PrepList, id: string) => ({ id, name: list.names.get(id)?.name ?? id });
const amount = (list: PrepList, id: string, value: number) => ({
  value,
  unit: UNIT[list.names.get(id)?.baseUnit ?? 'each'],
});
const siteOf = ({ siteId, zone }: PrepList) => ({ id: siteId, zone });

/** The plan as a week's production, as what to pull for tomorrow, and as files. */
export function prepViewsRoutes(views: PrepViewsService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['prep'];
    const config = { access: 'signed-in' } as const;
    const file = (type: string) => ({ produces: [type], response: { 200: z.string() } });

    app.get(
      '/sites/:siteId/production',
      {
        config,
        schema: {
          tags,
          summary: 'Which component is made on which day',
          params: SiteParams,
          querystring: ViewQuery,
          response: { 200: ProductionSchema },
        },
      },
      async (request) => {
        const { from, days } = request.query;
        const found = await views.production(actorOf(request), request.params.siteId, from, days);
        const { list } = found;
        return {
          site: siteOf(list),
          planId: list.plan.id,
          dates: [...found.dates],
          rows: found.rows.map((row) => ({
            component: named(list, row.recipeId),
            station: row.station,
            days: [...row.days].map(([date, made]) => ({
              date,
              amount: amount(list, row.recipeId, made.quantity),
              batches: made.batches,
            })),
          })),
        };
      },
    );

    app.get(
      '/sites/:siteId/pull-list',
      {
        config,
        schema: {
          tags,
          summary: 'What is taken out of the freezer or begun today for tomorrow',
          params: SiteParams,
          querystring: DayQuery,
          response: { 200: PullListSchema },
        },
      },
      async (request) => {
        const pull = await views.pullList(
          actorOf(request),
          request.params.siteId,
          request.query.date,
        );
        const { list } = pull;
        return {
          site: siteOf(list),
          planId: list.plan.id,
          date: pull.date,
          forDate: pull.forDate,
          outOfFreezer: pull.outOfFreezer.map((use) => ({
            lotId: use.lotId,
            item: named(list, use.itemId),
            amount: amount(list, use.itemId, use.quantity),
            useBy: use.useBy.toISOString(),
            usedBy: use.usedBy,
            at: use.at.toISOString(),
          })),
          beginToday: pull.beginToday.map((task) => ({
            taskId: task.id,
            component: named(list, task.recipeId),
            amount: amount(list, task.recipeId, task.quantity),
            startBy: task.startBy.toISOString(),
            readyBy: task.readyBy.toISOString(),
            started: task.status === 'started',
          })),
          notice: SAFETY_NOTICE,
        };
      },
    );

    app.get(
      '/sites/:siteId/prep-list.csv',
      {
        config,
        schema: {
          tags,
          summary: 'The list of a day as comma-separated values',
          params: SiteParams,
          querystring: ViewQuery,
          ...file('text/csv'),
        },
      },
      async (request, reply) => {
        const { from, days } = request.query;
        const found = await views.tasks(actorOf(request), request.params.siteId, from, days);
        return reply
          .type('text/csv; charset=utf-8; header=present')
          .header('content-disposition', `attachment; filename="prep-${found.from}.csv"`)
          .send(toCsv(TASK_HEADER, taskCells(found.list, found.tasks, found.now)));
      },
    );

    app.get(
      '/sites/:siteId/production.csv',
      {
        config,
        schema: {
          tags,
          summary: 'What is made on the days ahead as comma-separated values',
          params: SiteParams,
          querystring: ViewQuery,
          ...file('text/csv'),
        },
      },
      async (request, reply) => {
        const { from, days } = request.query;
        const found = await views.production(actorOf(request), request.params.siteId, from, days);
        const { header, rows } = productionCells(found);
        return reply
          .type('text/csv; charset=utf-8; header=present')
          .header('content-disposition', `attachment; filename="production-${found.from}.csv"`)
          .send(toCsv(header, rows));
      },
    );

    app.get(
      '/sites/:siteId/prep-list.ics',
      {
        config,
        schema: {
          tags,
          summary: 'The tasks of a day as iCalendar (RFC 5545)',
          params: SiteParams,
          querystring: ViewQuery,
          ...file('text/calendar'),
        },
      },
      async (request, reply) => {
        const { from, days } = request.query;
        const found = await views.tasks(actorOf(request), request.params.siteId, from, days);
        const { list } = found;
        return reply
          .type('text/calendar; charset=utf-8')
          .header('content-disposition', `attachment; filename="prep-${found.from}.ics"`)
          .send(
            orRefuse(
              toCalendarFeed({
                name: `Prep list, ${list.siteName}`,
                stampMin: Math.floor(list.plan.workedOutAt.getTime() / 60_000),
                entries: calendarEntries(list, found.tasks),
              }),
            ),
          );
      },
    );
  };
}
