import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { archiveRoutes } from '../../http/archive-routes.ts';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import { pageRequest, toPageBody } from '../../http/paging.ts';
import { multiplyMoney, roundMoney } from '../../core/money/index.ts';
import type { Menu } from './menus.ports.ts';
import {
  MenuBody,
  MenuPage,
  MenuParams,
  MenuQuery,
  MenuSchema,
  SiteParams,
} from './menus.schema.ts';
import type { MenusService, NamedMenu } from './menus.service.ts';

function toBody({ menu, currency, dishNames }: NamedMenu) {
  return {
    ...menu,
    lines: menu.lines.map((line) => {
      const { netPrice, ...rest } = line;
      const net = { amount: netPrice, currency };
      return {
        ...rest,
        dishName: dishNames.get(line.dishId) ?? '',
        netPrice: net,
        grossPrice: roundMoney(multiplyMoney(net, 1 + line.taxRate)),
      };
    }),
  };
}

/** /v1/menus and /v1/sites/:siteId/menus. */
export function menusRoutes(service: MenusService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['menus'];
    const editors = ['lead', 'admin'] as const;
    const one = async (menu: Menu) => {
      const [named] = await service.named([menu]);
      if (!named) throw new Error(`The menu ${menu.id} is not there.`);
      return toBody(named);
    };

    app.get(
      '/sites/:siteId/menus',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The menus of a site',
          params: SiteParams,
          querystring: MenuQuery,
          response: { 200: MenuPage },
        },
      },
      async ({ params, query }) => {
        const page = await service.list(params.siteId, pageRequest(query), {
          archived: query.archived === 'true',
          ...(query.on === undefined ? {} : { on: query.on }),
        });
        const named = await service.named(page.items);
        return toPageBody({ ...page, items: named }, toBody);
      },
    );

    app.post(
      '/sites/:siteId/menus',
      {
        config: { access: editors, idempotent: true },
        schema: {
          tags,
          summary: 'Add a menu with its dishes and their shares',
          params: SiteParams,
          body: MenuBody,
          response: { 201: MenuSchema },
        },
      },
      async (request, reply) => {
        const made = await service.create(actorOf(request), request.params.siteId, request.body);
        setRevision(reply, made.rev);
        return reply
          .code(201)
          .header('location', `/v1/menus/${made.id}`)
          .send(await one(made));
      },
    );

    app.get(
      '/menus/:menuId',
      {
        config: { access: 'signed-in' },
        schema: { tags, summary: 'One menu', params: MenuParams, response: { 200: MenuSchema } },
      },
      async (request, reply) => {
        const found = await service.get(actorOf(request), request.params.menuId);
        setRevision(reply, found.rev);
        return one(found);
      },
    );

    app.put(
      '/menus/:menuId',
      {
        config: { access: editors },
        schema: {
          tags,
          summary: 'Change a menu',
          params: MenuParams,
          headers: IfMatchHeaders,
          body: MenuBody,
          response: { 200: MenuSchema },
        },
      },
      async (request, reply) => {
        const saved = await service.update(
          actorOf(request),
          request.params.menuId,
          revisionFrom(request),
          request.body,
        );
        setRevision(reply, saved.rev);
        return one(saved);
      },
    );

    archiveRoutes(app, {
      at: '/menus/:menuId',
      noun: 'a menu',
      tags,
      access: editors,
      params: MenuParams,
      schema: MenuSchema,
      set: async (actor, { menuId }, rev, archived) => {
        const saved = await service.setArchived(actor, menuId, rev, archived);
        return { rev: saved.rev, body: await one(saved) };
      },
    });
  };
}
