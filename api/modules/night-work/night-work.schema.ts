import { z } from 'zod';
import { NIGHT_KINDS } from './night-work.ports.ts';

export const NightRunList = z
  .object({
    items: z.array(
      z.object({
        kind: z.enum(NIGHT_KINDS),
        key: z.string().meta({ description: "The id of a site, or 'group'." }),
        date: z.string(),
        startedAt: z.string(),
        endedAt: z.string().nullable(),
        outcome: z
          .enum(['done', 'failed'])
          .nullable()
          .meta({ description: 'Null while it runs, or since whoever ran it is gone.' }),
        attempts: z.number().int(),
        detail: z.string().nullable(),
      }),
    ),
  })
  .meta({ id: 'NightRunList' });
