import { z } from 'zod';

/** What a site does otherwise than the group's recipe, on its card. */
export const SiteChanges = z.array(
  z.object({
    overrideId: z.string(),
    what: z.string(),
    text: z.string(),
    reason: z.string(),
    fromDate: z.string(),
    endsBefore: z.string().nullable(),
  }),
);
