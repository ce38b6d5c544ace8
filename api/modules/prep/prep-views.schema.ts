import { z } from 'zod';
import { AmountOrZero, ServiceDate } from '../../http/wire.ts';

const Named = z.object({ id: z.string(), name: z.string() });
const site = z.object({ id: z.string(), zone: z.string() });

export const ProductionSchema = z
  .object({
    site,
    planId: z.string(),
    dates: z.array(z.string()),
    rows: z.array(
      z.object({
        component: Named,
        station: z.string(),
        days: z.array(z.object({ date: z.string(), amount: AmountOrZero, batches: z.number() })),
      }),
    ),
  })
  .meta({ id: 'ProductionView' });

export const PullListSchema = z
  .object({
    site,
    planId: z.string(),
    date: z.string(),
    forDate: z.string(),
    outOfFreezer: z
      .array(
        z.object({
          lotId: z.string(),
          item: Named,
          amount: AmountOrZero,
          useBy: z.string(),
          usedBy: z.string(),
          at: z.string(),
        }),
      )
      .meta({
        description: 'Frozen stock that is used on that day. What must thaw comes out now.',
      }),
    beginToday: z
      .array(
        z.object({
          taskId: z.string(),
          component: Named,
          amount: AmountOrZero,
          startBy: z.string(),
          readyBy: z.string(),
          started: z.boolean(),
        }),
      )
      .meta({
        description: 'What is ready only then, because it sets, rests or freezes overnight.',
      }),
    notice: z.string(),
  })
  .meta({ id: 'PullList' });

export const ViewQuery = z.object({
  from: ServiceDate.optional(),
  days: z.coerce.number().int().min(1).max(31).default(7),
});
export const DayQuery = z.object({ date: ServiceDate.optional() });
