import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { actorOf } from '../../http/access.ts';
import { setRevision } from '../../http/etag.ts';
import {
  ProductionParams,
  ProductionSchema,
  toProductionBody,
  type ProductionsService,
} from '../central-production/index.ts';
import type { PrepService } from './prep.service.ts';

/** Has it worked out where a component is made best, and plans the sites for which that moves. */
export function placeDecisionsRoutes(
  prep: PrepService,
  productions: ProductionsService,
): FastifyPluginAsyncZod {
  return async (app) => {
    app.post(
      '/central-productions/:productionId/decision',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags: ['central production'],
          summary:
            'Weigh every place again, planned through at the sites concerned, and plan those for which it moves',
          params: ProductionParams,
          response: { 200: ProductionSchema },
        },
      },
      async (request, reply) => {
        const actor = actorOf(request);
        const { productionId } = request.params;
        await prep.decidePlace(actor, productionId);
        const found = await productions.get(actor, productionId);
        setRevision(reply, found.production.rev);
        return toProductionBody(found);
      },
    );
  };
}
