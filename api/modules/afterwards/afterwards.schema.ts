import { z } from 'zod';
import { ServiceDate } from '../../http/wire.ts';

export const StretchQuery = z.object({ from: ServiceDate.optional(), to: ServiceDate.optional() });
const Quantity = z.object({ value: z.number(), unit: z.string() });

export const AfterwardsSchema = z
  .object({
    site: z.object({ id: z.string(), name: z.string() }),
    from: z.string(),
    to: z.string(),
    lines: z.array(
      z.object({
        component: z.object({ id: z.string(), name: z.string() }),
        planned: Quantity,
        made: Quantity,
        used: Quantity,
        sold: Quantity,
        wasted: Quantity,
        wastedBy: z.array(z.object({ reason: z.string(), amount: Quantity })),
        drift: Quantity.meta({ description: 'What counts found more (above zero) or less.' }),
        short: Quantity,
        shortBy: z.array(
          z.object({ cause: z.string(), amount: Quantity, words: z.array(z.string()) }),
        ),
        plannedSurplus: Quantity.meta({
          description: 'Made beyond need only because batches are whole.',
        }),
        expectedWaste: Quantity.meta({
          description: 'The surplus of whole batches and stock that plans found no use for.',
        }),
        wasteBeyondExpected: Quantity,
      }),
    ),
    soldOut: z.array(
      z.object({
        dish: z.string(),
        service: z.string(),
        serviceDate: z.string(),
        soldOutAt: z.string(),
      }),
    ),
    daysWithoutPlan: z.array(z.string()),
  })
  .meta({ id: 'Afterwards' });
