import { z } from 'zod';
import { Amount, AmountOrZero, ServiceDate } from '../../http/wire.ts';
import { MOST_MINUTES_AGO } from '../platform/index.ts';

export const PlanBody = z
  .strictObject({ days: z.number().int().min(1).max(28).default(14) })
  .meta({ id: 'PrepPlanBody' });

export const MinutesAgo = z.number().min(0).max(MOST_MINUTES_AGO).meta({
  description:
    'How many minutes ago it happened (a tick made without a network). Counted back from the clock of the service.',
});

export const FinishBody = z
  .strictObject({
    made: Amount,
    partial: z.boolean().default(false),
    minutesAgo: MinutesAgo.default(0),
  })
  .meta({ id: 'FinishBody' });

export const StartBody = z
  .strictObject({ minutesAgo: MinutesAgo.default(0) })
  .nullish()
  .meta({ id: 'StartBody' });

export const AbandonBody = z
  .strictObject({
    reason: z.string().trim().min(3).max(300),
    minutesAgo: MinutesAgo.default(0),
  })
  .meta({ id: 'AbandonBody' });

const NamedFigure = z.object({ amount: AmountOrZero, node: z.string() });

const NeededForSchema = z
  .object({
    kind: z.enum(['service', 'batch', 'transfer']),
    label: z.string(),
    serviceDate: z.string(),
    at: z.string(),
    amount: AmountOrZero,
  })
  .meta({ id: 'NeededFor' });

/** What the plan takes from a lot, and what is in it now. */
const StockUseSchema = z.object({
  lotId: z.string(),
  item: z.object({ id: z.string(), name: z.string() }),
  amount: AmountOrZero,
  useBy: z.string(),
  left: AmountOrZero.meta({
    description: 'What the lot holds now. Less than is planned: work the plan out again.',
  }),
  held: z.boolean().meta({ description: 'Held back since the plan was made: not to be used.' }),
});

export const TaskSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    planId: z.string(),
    component: z.object({ id: z.string(), name: z.string() }),
    version: z.object({ id: z.string(), number: z.number().int().nullable() }),
    station: z.string(),
    makeDate: z.string(),
    startBy: z.string(),
    readyBy: z.string(),
    useBy: z.string(),
    batches: z.number(),
    makings: z.number().int(),
    toMake: NamedFigure,
    needed: AmountOrZero,
    neededNode: z.string(),
    batchesNode: z.string(),
    neededFor: z.array(NeededForSchema),
    useFirst: z.array(StockUseSchema),
    status: z.enum(['to_do', 'started', 'done', 'part_done', 'abandoned', 'dropped']),
    cautions: z.array(z.string()),
    changed: z.object({ at: z.string(), from: AmountOrZero.nullable() }).nullable(),
    held: z.boolean().meta({
      description: 'Something that it made is held back: not to be used until a lead decides.',
    }),
    made: AmountOrZero.nullable(),
    startedAt: z.string().nullable(),
    finishedAt: z.string().nullable(),
    doneBy: z.string().nullable(),
    reason: z.string().nullable(),
    rev: z.number().int(),
  })
  .meta({ id: 'PrepTask' });

const ServiceSummarySchema = z
  .object({
    slotId: z.string(),
    serviceId: z.string(),
    name: z.string(),
    serviceDate: z.string(),
    startsAt: z.string(),
    booked: z.number().nullable(),
    covers: z.object({
      expected: z.number(),
      low: z.number(),
      high: z.number(),
      lowNode: z.string(),
      highNode: z.string(),
      node: z.string(),
      method: z.string(),
      /** The kept forecast this comes from; null on plans made before forecasts were kept. */
      forecastId: z.string().nullable(),
      /** Set when a person's figure was used instead. */
      overrideId: z.string().nullable(),
    }),
    portions: z.array(
      z.object({
        dish: z.object({ id: z.string(), name: z.string() }),
        portions: z.number(),
        node: z.string(),
      }),
    ),
  })
  .meta({ id: 'PlannedService' });

const ShortageSchema = z
  .object({
    item: z.object({ id: z.string(), name: z.string() }),
    amount: AmountOrZero,
    serviceDate: z.string(),
    at: z.string(),
    neededBy: z.string(),
    reason: z.string(),
    message: z.string(),
    node: z.string(),
  })
  .meta({ id: 'Shortage' });

const UseFirstSchema = StockUseSchema.extend({ usedBy: z.string(), at: z.string() }).meta({
  id: 'UseFirst',
});

/** A run that people or equipment leave no room for in time, or only on an earlier day. */
const TightRunSchema = z
  .object({
    item: z.object({ id: z.string(), name: z.string() }),
    kind: z.enum(['earlier-day', 'late', 'no-time']),
    dueAt: z.string(),
    lateMin: z.number(),
    lacks: z.enum(['hours', 'hands', 'equipment']),
    equipmentKind: z.string().nullable(),
    message: z.string(),
  })
  .meta({ id: 'TightRun' });

/**
 * Costs in minutes of work: hands on the makings (`handsMin`; null for a plan of an earlier version,
 * whose costs leave them out), getting out and cleaning down, what is thrown away, days in the fridge.
 * No choice among the same chances costs less than `boundMin`.
 */
const SolutionSchema = z
  .object({
    method: z.enum(['level-by-level', 'together']),
    costMin: z.number(),
    handsMin: z.number().nullable(),
    boundMin: z.number(),
    gapFraction: z.number(),
  })
  .meta({ id: 'PlanSolution' });

export const PlanSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    fromDate: z.string(),
    toDate: z.string(),
    status: z.enum(['current', 'superseded']),
    workedOutAt: z.string(),
    services: z.array(ServiceSummarySchema),
    shortages: z.array(ShortageSchema),
    warnings: z.array(z.string()),
    tight: z.array(TightRunSchema),
    /** How the batches were chosen; null for a plan of an earlier version. */
    solution: SolutionSchema.nullable(),
    taskIds: z.array(z.string()),
  })
  .meta({ id: 'PrepPlan' });

export const PrepListSchema = z
  .object({
    site: z.object({ id: z.string(), zone: z.string() }),
    date: z.string(),
    plan: z.object({ id: z.string(), workedOutAt: z.string() }),
    services: z.array(ServiceSummarySchema),
    tasks: z
      .array(
        TaskSchema.extend({
          beginNowFrom: z.string().meta({
            description: 'From this instant on a task to do goes before those of its station.',
          }),
          waitsFor: z
            .array(
              z.object({
                taskId: z.string(),
                component: z.object({ id: z.string(), name: z.string() }),
                readyBy: z.string(),
                started: z.boolean(),
              }),
            )
            .meta({ description: 'Tasks of this list that must be ready before it is begun.' }),
        }).meta({ id: 'PrepListTask' }),
      )
      .meta({
        description:
          'By station, then by start. Neither a tick nor another plan moves a task whose own station and start stand.',
      }),
    useFirst: z.array(UseFirstSchema),
    shortages: z.array(ShortageSchema),
    /** What people or equipment leave little or no room for on this day. */
    tight: z.array(TightRunSchema),
    /** How the batches of the whole plan were chosen; null for a plan of an earlier version. */
    solution: SolutionSchema.nullable(),
    throwAway: z.array(
      z.object({
        lotId: z.string(),
        item: z.object({ id: z.string(), name: z.string() }),
        amount: AmountOrZero,
        useBy: z.string(),
      }),
    ),
    warnings: z.array(z.string()),
    notice: z.string(),
  })
  .meta({ id: 'PrepList' });

/** What a plan needs of each ingredient on each day, as purchased. */
export const IngredientNeedsSchema = z
  .object({
    planId: z.string(),
    items: z.array(
      z.object({
        ingredient: z.object({ id: z.string(), name: z.string() }),
        needDate: z.string(),
        at: z.string(),
        amount: AmountOrZero,
        certain: AmountOrZero,
        /** For a piece with parts (zest, juice): the part that asks for most pieces. */
        drivenBy: z.object({ id: z.string(), name: z.string() }).nullable(),
        node: z.string(),
      }),
    ),
  })
  .meta({ id: 'IngredientNeeds' });

export const ListQuery = z.object({ date: ServiceDate.optional() });
export const TaskParams = z.object({ taskId: z.string() });
export const SiteParams = z.object({ siteId: z.string() });
export const NodeQuery = z.object({ node: z.string().min(1).max(400) });

/** Answer to an If-None-Match that names the list as it is. */
export const NothingNew = z.undefined().describe('The caller has it already (If-None-Match)');
