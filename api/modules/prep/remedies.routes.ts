import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { AmountOrZero, Id, ServiceDate } from '../../http/wire.ts';
import { SiteParams } from './prep.schema.ts';
import type { RemediesService } from './remedies.service.ts';

const RemediesBody = z
  .strictObject({ itemId: Id, serviceDate: ServiceDate })
  .meta({ id: 'RemediesBody' });
const RemediesSchema = z
  .object({
    item: z.object({ id: z.string(), name: z.string() }),
    serviceDate: z.string(),
    shortNow: AmountOrZero,
    tightNow: z.boolean(),
    lateNowMin: z.number().int(),
    hasBeen: z.boolean().meta({ description: 'What it was short for has begun already.' }),
    remedies: z.array(
      z.object({
        kind: z.enum([
          'one-more-pair-of-hands',
          'start-earlier',
          'borrow-equipment',
          'even-chance',
          'cut-the-par',
          'another-dish',
        ]),
        equipmentKind: z.string().nullable(),
        dish: z.object({ id: z.string(), name: z.string() }).nullable(),
        shortAfter: AmountOrZero,
        tightAfter: z.boolean(),
        lateAfterMin: z.number().int(),
        mends: z.boolean(),
        shortagesBefore: z.number().int(),
        shortagesAfter: z.number().int(),
      }),
    ),
    elsewhere: z
      .array(z.object({ siteId: z.string(), amount: AmountOrZero }))
      .meta({ description: 'In date at other sites, with nothing planned to use it.' }),
    kitchens: z
      .array(
        z.object({
          siteId: z.string(),
          makes: AmountOrZero,
          readyAt: z.iso.datetime(),
          shortAfter: AmountOrZero,
          mends: z.boolean(),
          moreWorkMin: z.number(),
        }),
      )
      .meta({
        description: 'Sites that could make it without going short of anything themselves.',
      }),
    notice: z.string(),
  })
  .meta({ id: 'Remedies' });

/** Shelf life is never offered, and what is carried from site to site stays cold. */
const NOTICE =
  'Each was worked out by planning again with it; nothing is changed. Shelf life and cooling are not for bargaining: food-safety plan and local codes decide. What comes from another site must stay cold on the way.';
const UNIT = { g: 'g', ml: 'mL', each: '{each}' } as const;

/** What would mend a shortage, each remedy with its effect. */
export function remediesRoutes(service: RemediesService): FastifyPluginAsyncZod {
  return async (app) => {
    app.post(
      '/sites/:siteId/remedies',
      {
        config: { access: ['lead', 'chef', 'admin'] },
        schema: {
          tags: ['prep'],
          summary: 'Work out what would mend a shortage or a tight run; nothing is changed',
          params: SiteParams,
          body: RemediesBody,
          response: { 200: RemediesSchema },
        },
      },
      async (request) => {
        const found = await service.of(actorOf(request), request.params.siteId, request.body);
        const item = found.names.get(found.itemId);
        const amount = (value: number) => ({ value, unit: UNIT[item?.baseUnit ?? 'each'] });
        return {
          item: { id: found.itemId, name: item?.name ?? found.itemId },
          serviceDate: found.serviceDate,
          shortNow: amount(found.shortNow),
          tightNow: found.tightNow,
          lateNowMin: Math.ceil(found.lateNowMin),
          hasBeen: found.hasBeen,
          remedies: found.remedies.map(({ shortAfter, lateAfterMin, dishId, ...remedy }) => ({
            ...remedy,
            dish:
              dishId === null
                ? null
                : { id: dishId, name: found.names.get(dishId)?.name ?? dishId },
            shortAfter: amount(shortAfter),
            lateAfterMin: Math.ceil(lateAfterMin),
            mends: shortAfter <= 1e-9 && !remedy.tightAfter,
          })),
          kitchens: found.kitchens.map(
            ({ siteId, quantity, readyMin, shortAfter, moreWorkMin }) => ({
              siteId,
              makes: amount(quantity),
              readyAt: new Date(readyMin * 60_000).toISOString(),
              shortAfter: amount(shortAfter),
              mends: shortAfter <= 1e-9,
              moreWorkMin: Math.round(moreWorkMin),
            }),
          ),
          elsewhere: found.elsewhere.map(({ siteId, quantity }) => ({
            siteId,
            amount: amount(quantity),
          })),
          notice: NOTICE,
        };
      },
    );
  };
}
