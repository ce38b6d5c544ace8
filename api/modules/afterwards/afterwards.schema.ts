import { z } from 'zod';
import { ServiceDate } from '../../http/wire.ts';

export const StretchQuery = z.object({ from: ServiceDate.optional(), to: ServiceDate.optional() });
const Quantity = z.object({ value: z.number(), unit: z.string() });

const Named = z.object({ id: z.string(), name: z.string() });

const LINE = {
  planned: Quantity,
  made: Quantity,
  used: Quantity,
  sold: Quantity,
  sent: Quantity.meta({ description: 'To other sites.' }),
  came: Quantity.meta({ description: 'From other sites.' }),
  wasted: Quantity,
  wastedBy: z.array(z.object({ reason: z.string(), amount: Quantity })),
  drift: Quantity.meta({ description: 'What counts found more (above zero) or less.' }),
  short: Quantity,
  shortBy: z.array(z.object({ cause: z.string(), amount: Quantity, words: z.array(z.string()) })),
  plannedSurplus: Quantity.meta({
    description: 'Made beyond need only because batches are whole.',
  }),
  expectedWaste: Quantity.meta({
    description: 'The surplus of whole batches and stock that plans found no use for.',
  }),
  wasteBeyondExpected: Quantity,
};

const SoldOut = z.object({
  dish: z.string(),
  service: z.string(),
  serviceDate: z.string(),
  soldOutAt: z.string(),
});

export const AfterwardsSchema = z
  .object({
    site: z.object({ id: z.string(), name: z.string() }),
    from: z.string(),
    to: z.string(),
    lines: z.array(z.object({ component: Named, ...LINE })),
    soldOut: z.array(SoldOut),
    daysWithoutPlan: z.array(z.string()),
  })
  .meta({ id: 'Afterwards' });

export const GroupAfterwardsSchema = z
  .object({
    from: z.string(),
    to: z.string(),
    sites: z.array(Named.extend({ daysWithoutPlan: z.array(z.string()) })),
    lines: z.array(
      z.object({
        component: Named,
        ...LINE,
        sites: z
          .array(z.object({ site: Named, ...LINE }))
          .meta({ description: 'Each site for itself; the line adds them up.' }),
      }),
    ),
    soldOut: z.array(SoldOut.extend({ site: Named })),
  })
  .meta({ id: 'GroupAfterwards' });
