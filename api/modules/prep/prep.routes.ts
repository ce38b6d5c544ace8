import type { FastifyReply, FastifyRequest } from 'fastify';
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { convert } from '../../core/quantity/index.ts';
import { actorOf } from '../../http/access.ts';
import { setRevision } from '../../http/etag.ts';
import { ExplanationSchema, toExplanationBody } from '../../http/explanation.ts';
import { orRefuse } from '../platform/index.ts';
import type { DayListAsk } from '../platform/index.ts';
import type { PrepTask } from './prep.ports.ts';
import type { DayListsService } from './day-lists.service.ts';
import { toNeedsBody, toPlanBody, toTaskBody } from './prep-body.ts';
import {
  AbandonBody,
  FinishBody,
  IngredientNeedsSchema,
  ListQuery,
  NodeQuery,
  NothingNew,
  PlanBody,
  PlanSchema,
  PrepListSchema,
  SiteParams,
  StartBody,
  TaskParams,
  TaskSchema,
} from './prep.schema.ts';
import type { PrepService } from './prep.service.ts';
import { itemsOfPlan } from './read-list.ts';
import type { TaskWorkService } from './task-work.service.ts';

const COOKS = ['lead', 'chef', 'admin'] as const;
const UCUM_OF = { g: 'g', ml: 'mL', each: '{each}' } as const;

/** Before the request was checked: what is no site's day is not fetched, and refused afterwards. */
const askIn =
  (lists: DayListsService) =>
  ({ params, query, headers }: FastifyRequest): DayListAsk | null => {
    const { siteId } = params as Readonly<Record<string, string>>;
    const { date } = query as Readonly<Record<string, unknown>>;
    if (siteId === undefined || siteId.includes('\0')) return null;
    if (date !== undefined && (typeof date !== 'string' || !/^\d{4}-\d\d-\d\d$/.test(date)))
      return null;
    return lists.askOf(siteId, date, headers['if-none-match']);
  };

/** Sends what is written as JSON already; null: the caller has it. */
const sendWritten = (reply: FastifyReply, json: string | null): FastifyReply =>
  json === null ? reply.code(304).send() : reply.type('application/json; charset=utf-8').send(json);

/** Plans, prep lists, tasks, and the explanation of every figure on them. */
export function prepRoutes(
  prep: PrepService,
  lists: DayListsService,
  taskWork: TaskWorkService,
): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['prep'];
    const taskBody = async (task: PrepTask) => {
      const { names, versionNumbers, stockUses, fridge } = await prep.shownWith(task);
      return toTaskBody(task, names, versionNumbers, stockUses, fridge);
    };

    app.post(
      '/sites/:siteId/prep-plans',
      {
        config: { access: COOKS, idempotent: true },
        schema: {
          tags,
          summary: 'Work a site’s plan out anew',
          params: SiteParams,
          body: PlanBody,
          response: { 201: PlanSchema },
        },
      },
      async (request, reply) => {
        const actor = actorOf(request);
        const { siteId } = request.params;
        const plan = await prep.workOut(actor, siteId, request.body.days);
        return reply
          .code(201)
          .header('location', `/v1/prep-plans/${plan.id}`)
          .send(toPlanBody(plan, await prep.namesOf(itemsOfPlan(plan))));
      },
    );

    app.get(
      '/sites/:siteId/prep-list',
      {
        config: { access: 'signed-in', dayList: askIn(lists) },
        schema: {
          tags,
          summary: 'The list of a day: what to start, how much, by when and for which service',
          params: SiteParams,
          querystring: ListQuery,
          response: { 200: PrepListSchema, 304: NothingNew },
        },
      },
      async (request, reply) => {
        const { siteId } = request.params;
        const list = await lists.list(actorOf(request), siteId, request.query.date, {
          ifNoneMatch: request.headers['if-none-match'],
          fetched: request.dayList,
        });
        if (list.etag !== null) reply.header('etag', list.etag);
        reply.header('cache-control', 'private, no-cache');
        return sendWritten(reply, list.body);
      },
    );

    app.get(
      '/prep-plans/:planId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One plan with its figures',
          params: z.object({ planId: z.string() }),
          response: { 200: PlanSchema },
        },
      },
      async (request) => {
        const actor = actorOf(request);
        const plan = await prep.plan(actor, request.params.planId);
        return toPlanBody(plan, await prep.namesOf(itemsOfPlan(plan)));
      },
    );

    app.get(
      '/prep-plans/:planId/explanation',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Why the plan makes what it makes',
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
          summary: 'What ingredients the plan needs, by day',
          params: z.object({ planId: z.string() }),
          response: { 200: IngredientNeedsSchema },
        },
      },
      async (request) => {
        const actor = actorOf(request);
        const { planId } = request.params;
        const rows = await prep.needs(actor, planId);
        const ids = rows.flatMap((row) => [row.ingredientId, row.drivenBy ?? row.ingredientId]);
        return toNeedsBody(planId, rows, await prep.namesOf(ids));
      },
    );

    app.get(
      '/prep-tasks/:taskId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One task of a list',
          params: TaskParams,
          response: { 200: TaskSchema },
        },
      },
      async (request, reply) => {
        const actor = actorOf(request);
        const task = await prep.task(actor, request.params.taskId);
        setRevision(reply, task.rev);
        return taskBody(task);
      },
    );

    app.get(
      '/prep-tasks/:taskId/explanation',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Why a task is there, its amount and its times',
          params: TaskParams,
          response: { 200: ExplanationSchema },
        },
      },
      async (request) =>
        toExplanationBody(await prep.explainTask(actorOf(request), request.params.taskId)),
    );

    app.get(
      '/prep-tasks/:taskId/times/explanation',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'When a task is begun, in minutes before the first thing that needs it, and why',
          params: TaskParams,
          response: { 200: ExplanationSchema },
        },
      },
      async (request) =>
        toExplanationBody(await prep.explainTimes(actorOf(request), request.params.taskId)),
    );

    const act = { config: { access: COOKS, idempotent: true } } as const;
    app.post(
      '/prep-tasks/:taskId/start',
      {
        ...act,
        schema: {
          tags,
          summary: 'Say that a task was begun',
          params: TaskParams,
          body: StartBody,
          response: { 200: TaskSchema },
        },
      },
      async (request) => {
        const actor = actorOf(request);
        const { taskId } = request.params;
        return taskBody(await taskWork.start(actor, taskId, request.body?.minutesAgo));
      },
    );

    app.post(
      '/prep-tasks/:taskId/finish',
      {
        ...act,
        schema: {
          tags,
          summary: 'Tick a task off with what was made; puts a dated lot on the shelf',
          params: TaskParams,
          body: FinishBody,
          response: { 200: TaskSchema },
        },
      },
      async (request) => {
        const actor = actorOf(request);
        const { made, partial, minutesAgo } = request.body;
        const before = await prep.task(actor, request.params.taskId);
        const names = await prep.namesOf([before.recipeId]);
        const unit = UCUM_OF[names.get(before.recipeId)?.baseUnit ?? 'g'];
        const madeQuantity = orRefuse(convert(made.value, made.unit, unit), '/made/unit');
        return taskBody(
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
        schema: {
          tags,
          summary: 'Give a task up',
          params: TaskParams,
          body: AbandonBody,
          response: { 200: TaskSchema },
        },
      },
      async (request) => {
        const actor = actorOf(request);
        const { reason, minutesAgo } = request.body;
        return taskBody(await taskWork.abandon(actor, request.params.taskId, reason, minutesAgo));
      },
    );

    app.post(
      '/prep-tasks/:taskId/undo',
      {
        ...act,
        schema: {
          tags,
          summary: 'Take a tick back within four hours, while nothing of what it made was used',
          params: TaskParams,
          response: { 200: TaskSchema },
        },
      },
      async (request) => {
        const actor = actorOf(request);
        return taskBody(await taskWork.undo(actor, request.params.taskId));
      },
    );
  };
}
