import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { convert } from '../../core/quantity/index.ts';
import { actorOf } from '../../http/access.ts';
import { setRevision } from '../../http/etag.ts';
import { ExplanationSchema, toExplanationBody } from '../../http/explanation.ts';
import type { Actor } from '../platform/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { PrepTask } from './prep.ports.ts';
import { toNeedsBody, toPlanBody, toPrepListBody, toTaskBody } from './prep-body.ts';
import {
  AbandonBody,
  FinishBody,
  IngredientNeedsSchema,
  ListQuery,
  NodeQuery,
  PlanBody,
  PlanSchema,
  PrepListSchema,
  SiteParams,
  StartBody,
  TaskParams,
  TaskSchema,
} from './prep.schema.ts';
import type { PrepService } from './prep.service.ts';
import type { TaskWorkService } from './task-work.service.ts';

const COOKS = ['lead', 'chef', 'admin'] as const;
const UCUM_OF = { g: 'g', ml: 'mL', each: '{each}' } as const;

/** Plans, prep lists, tasks, and the explanation of every figure on them. */
export function prepRoutes(prep: PrepService, taskWork: TaskWorkService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['prep'];
    const taskBody = async (actor: Actor, task: PrepTask) => {
      const list = await prep.list(actor, task.siteId, task.makeDate);
      return toTaskBody(task, list.names, list.versionNumbers, list.plan.summary.stockUses);
    };

    app.post(
      '/sites/:siteId/prep-plans',
      {
        config: { access: COOKS, idempotent: true },
        schema: { tags, params: SiteParams, body: PlanBody, response: { 201: PlanSchema } },
      },
      async (request, reply) => {
        const actor = actorOf(request);
        const { siteId } = request.params;
        const plan = await prep.workOut(actor, siteId, request.body.days);
        const list = await prep.list(actor, siteId);
        return reply
          .code(201)
          .header('location', `/v1/prep-plans/${plan.id}`)
          .send(toPlanBody(plan, list.names));
      },
    );

    app.get(
      '/sites/:siteId/prep-list',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          params: SiteParams,
          querystring: ListQuery,
          response: { 200: PrepListSchema },
        },
      },
      async (request) =>
        toPrepListBody(
          await prep.list(actorOf(request), request.params.siteId, request.query.date),
        ),
    );

    app.get(
      '/prep-plans/:planId',
      {
        config: { access: 'signed-in' },
        schema: { tags, params: z.object({ planId: z.string() }), response: { 200: PlanSchema } },
      },
      async (request) => {
        const actor = actorOf(request);
        const plan = await prep.plan(actor, request.params.planId);
        return toPlanBody(plan, (await prep.list(actor, plan.siteId)).names);
      },
    );

    app.get(
      '/prep-plans/:planId/explanation',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          params: z.object({ planId: z.string() }),
          querystring: NodeQuery,
          response: { 200: ExplanationSchema },
        },
      },
      async (request) =>
        toExplanationBody(
          await prep.explain(actorOf(request), request.params.planId, request.query.node),
        ),
    );

    app.get(
      '/prep-plans/:planId/ingredient-needs',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          params: z.object({ planId: z.string() }),
          response: { 200: IngredientNeedsSchema },
        },
      },
      async (request) => {
        const actor = actorOf(request);
        const { planId } = request.params;
        const rows = await prep.needs(actor, planId);
        const { siteId } = await prep.plan(actor, planId);
        return toNeedsBody(planId, rows, (await prep.list(actor, siteId)).names);
      },
    );

    app.get(
      '/prep-tasks/:taskId',
      {
        config: { access: 'signed-in' },
        schema: { tags, params: TaskParams, response: { 200: TaskSchema } },
      },
      async (request, reply) => {
        const actor = actorOf(request);
        const task = await prep.task(actor, request.params.taskId);
        setRevision(reply, task.rev);
        return taskBody(actor, task);
      },
    );

    app.get(
      '/prep-tasks/:taskId/explanation',
      {
        config: { access: 'signed-in' },
        schema: { tags, params: TaskParams, response: { 200: ExplanationSchema } },
      },
      async (request) =>
        toExplanationBody(await prep.explainTask(actorOf(request), request.params.taskId)),
    );

    const act = { config: { access: COOKS, idempotent: true } } as const;
    app.post(
      '/prep-tasks/:taskId/start',
      {
        ...act,
        schema: { tags, params: TaskParams, body: StartBody, response: { 200: TaskSchema } },
      },
      async (request) => {
        const actor = actorOf(request);
        const { taskId } = request.params;
        return taskBody(actor, await taskWork.start(actor, taskId, request.body?.minutesAgo));
      },
    );

    app.post(
      '/prep-tasks/:taskId/finish',
      {
        ...act,
        schema: { tags, params: TaskParams, body: FinishBody, response: { 200: TaskSchema } },
      },
      async (request) => {
        const actor = actorOf(request);
        const { made, partial, minutesAgo } = request.body;
        const before = await prep.task(actor, request.params.taskId);
        const { names } = await prep.list(actor, before.siteId);
        const unit = UCUM_OF[names.get(before.recipeId)?.baseUnit ?? 'g'];
        const madeQuantity = orRefuse(convert(made.value, made.unit, unit), '/made/unit');
        return taskBody(
          actor,
          await taskWork.finish(actor, request.params.taskId, {
            madeQuantity,
            partial,
            minutesAgo,
          }),
        );
      },
    );

    app.post(
      '/prep-tasks/:taskId/abandon',
      {
        ...act,
        schema: { tags, params: TaskParams, body: AbandonBody, response: { 200: TaskSchema } },
      },
      async (request) => {
        const actor = actorOf(request);
        const { reason, minutesAgo } = request.body;
        return taskBody(
          actor,
          await taskWork.abandon(actor, request.params.taskId, reason, minutesAgo),
        );
      },
    );

    app.post(
      '/prep-tasks/:taskId/undo',
      { ...act, schema: { tags, params: TaskParams, response: { 200: TaskSchema } } },
      async (request) => {
        const actor = actorOf(request);
        return taskBody(actor, await taskWork.undo(actor, request.params.taskId));
      },
    );
  };
}
