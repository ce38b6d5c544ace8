import { z } from 'zod';
import { Id, ServiceDate } from '../../http/wire.ts';

/** Expecting to throw away more than half is a recipe or an order to mend, not an expectation. */
const MOST_EXPECTED = 0.5;

export const WasteExpectationBody = z
  .strictObject({
    itemId: Id.nullable()
      .default(null)
      .meta({ description: 'Null: everything of which nothing else is known.' }),
    fraction: z.number().min(0).max(MOST_EXPECTED),
    source: z.string().trim().min(1).max(300),
    validFrom: ServiceDate,
  })
  .meta({ id: 'WasteExpectationBody' });

export const WasteExpectationSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    itemId: z.string().nullable(),
    fraction: z.number(),
    source: z.string(),
    validFrom: z.string(),
    enteredBy: z.string(),
    enteredAt: z.string(),
  })
  .meta({ id: 'WasteExpectation' });
export const WasteExpectationList = z
  .object({ items: z.array(WasteExpectationSchema) })
  .meta({ id: 'WasteExpectationList' });
