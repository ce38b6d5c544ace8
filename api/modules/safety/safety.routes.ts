import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { RULE_SET_IDS, ruleSetOf } from '../../core/safety/index.ts';
import { actorOf } from '../../http/access.ts';
import {
  toBreachBody,
  toOverviewBody,
  toReadingBody,
  toRecordBody,
  toRuleSetBody,
} from './safety-body.ts';
import type { SafetyOverviewService } from './safety-overview.service.ts';
import {
  BreachSchema,
  CorrectBody,
  DecideBody,
  OverviewSchema,
  ReadingBody,
  ReadingSchema,
  RecordSchema,
  RuleSetSchema,
  StrikeBody,
} from './safety.schema.ts';
import type { SafetyService } from './safety.service.ts';

const COOKS = ['lead', 'chef', 'admin'] as const;
const tags = ['safety'];
const TaskParams = z.object({ taskId: z.string() });
const LotParams = z.object({ lotId: z.string() });
const HoldingQuery = z.object({ kind: z.enum(['cold', 'hot']).default('cold') });

/** Limits, temperatures, breaches and what was decided about them. */
export function safetyRoutes(
  safety: SafetyService,
  overview: SafetyOverviewService,
): FastifyPluginAsyncZod {
  return async (app) => {
    app.get(
      '/safety-rules',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The limits of each rule set, each with what it rests on',
          response: { 200: z.object({ items: z.array(RuleSetSchema) }) },
        },
      },
      async () => ({ items: RULE_SET_IDS.map((id) => toRuleSetBody(ruleSetOf(id))) }),
    );

    app.get(
      '/sites/:siteId/safety',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Open breaches, held lots, and coolings of the last day and a half',
          params: z.object({ siteId: z.string() }),
          response: { 200: OverviewSchema },
        },
      },
      async (request) => toOverviewBody(await overview.of(request.params.siteId)),
    );

    app.get(
      '/prep-tasks/:taskId/cooling',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The readings of a batch that cools, and its limits',
          params: TaskParams,
          response: { 200: RecordSchema },
        },
      },
      async (request) => {
        const actor = actorOf(request);
        return toRecordBody(actor, await safety.ofTask(actor, request.params.taskId));
      },
    );
    app.post(
      '/prep-tasks/:taskId/cooling',
      {
        config: { access: COOKS, idempotent: true },
        schema: {
          tags,
          summary: 'Write a temperature down; a breach holds back what the task made',
          params: TaskParams,
          body: ReadingBody,
          response: { 201: RecordSchema },
        },
      },
      async (request, reply) => {
        const actor = actorOf(request);
        const record = await safety.readTask(actor, request.params.taskId, request.body);
        return reply.code(201).send(toRecordBody(actor, record));
      },
    );

    app.get(
      '/stock-lots/:lotId/temperatures',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The temperatures that were read of a lot',
          params: LotParams,
          querystring: HoldingQuery,
          response: { 200: RecordSchema },
        },
      },
      async (request) => {
        const actor = actorOf(request);
        const { lotId } = request.params;
        return toRecordBody(actor, await safety.ofLot(actor, lotId, request.query.kind));
      },
    );
    app.post(
      '/stock-lots/:lotId/temperatures',
      {
        config: { access: COOKS, idempotent: true },
        schema: {
          tags,
          summary: 'Write the temperature of a lot held cold or hot; a breach holds it back',
          params: LotParams,
          querystring: HoldingQuery,
          body: ReadingBody,
          response: { 201: RecordSchema },
        },
      },
      async (request, reply) => {
        const actor = actorOf(request);
        const { lotId } = request.params;
        const record = await safety.readLot(actor, lotId, request.query.kind, request.body);
        return reply.code(201).send(toRecordBody(actor, record));
      },
    );

    app.post(
      '/temperature-readings/:readingId/strike-out',
      {
        config: { access: COOKS },
        schema: {
          tags,
          summary: 'Strike a mistyped reading out; it stays on record, with the reason',
          params: z.object({ readingId: z.string() }),
          body: StrikeBody,
          response: { 200: ReadingSchema },
        },
      },
      async (request) => {
        const actor = actorOf(request);
        const struck = await safety.strike(actor, request.params.readingId, request.body.reason);
        return toReadingBody(actor, struck);
      },
    );

    const BreachParams = z.object({ breachId: z.string() });
    app.post(
      '/safety-breaches/:breachId/correction',
      {
        config: { access: COOKS },
        schema: {
          tags,
          summary: 'Say what was done about a breach; the lots stay held',
          params: BreachParams,
          body: CorrectBody,
          response: { 200: BreachSchema },
        },
      },
      async (request) => {
        const { correction, note } = request.body;
        const { breachId } = request.params;
        return toBreachBody(await safety.correct(actorOf(request), breachId, correction, note));
      },
    );
    app.post(
      '/safety-breaches/:breachId/decision',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags,
          summary: 'Release what was held, or have it thrown away, with the reason',
          params: BreachParams,
          body: DecideBody,
          response: { 200: BreachSchema },
        },
      },
      async (request) => {
        const { decision, reason } = request.body;
        const { breachId } = request.params;
        return toBreachBody(await safety.decide(actorOf(request), breachId, decision, reason));
      },
    );
  };
}
