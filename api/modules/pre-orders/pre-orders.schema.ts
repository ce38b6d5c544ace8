import { z } from 'zod';
import { Id, Name, Note, ServiceDate } from '../../http/wire.ts';

const Count = z.number().int().min(1).max(10_000);

export const PreOrderBody = z
  .strictObject({
    serviceId: Id,
    serviceDate: ServiceDate,
    party: Name,
    covers: Count,
    note: Note.nullable().default(null),
    lines: z
      .array(z.strictObject({ dishId: Id, portions: Count }))
      .max(50)
      .default([])
      .meta({ description: 'What was ordered, by dish.' }),
    setMenu: z
      .array(z.strictObject({ dishId: Id, perCover: z.number().int().min(1).max(4).default(1) }))
      .max(20)
      .default([])
      .meta({ description: 'What each of the guests will have, beside what was ordered.' }),
  })
  .meta({
    id: 'PreOrderBody',
    description: 'A party whose guests choose nothing any more: what they will have is certain.',
  });

const fields = {
  id: z.string(),
  siteId: z.string(),
  serviceId: z.string(),
  serviceDate: z.string(),
  party: z.string(),
  covers: z.number().int(),
  note: z.string().nullable(),
  lines: z.array(
    z.object({ dishId: z.string(), dishName: z.string(), portions: z.number().int() }),
  ),
  enteredBy: z.string(),
  createdAt: z.string(),
  rev: z.number().int(),
};
export const PreOrderSchema = z.object(fields).meta({ id: 'PreOrder' });
export const PreOrderKept = z
  .object({
    ...fields,
    warnings: z.array(z.object({ pointer: z.string(), message: z.string() })),
  })
  .meta({ id: 'PreOrderKept' });
export const PreOrderList = z
  .object({ items: z.array(PreOrderSchema) })
  .meta({ id: 'PreOrderList' });
export const PreOrderQuery = z.object({ from: ServiceDate, to: ServiceDate });
