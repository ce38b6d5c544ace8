import { z } from 'zod';
import { CODE_KINDS } from './labels.service.ts';

export const CodeQuery = z.object({ code: z.enum(CODE_KINDS).default('plain') });

export const LabelSchema = z
  .object({
    lotId: z.string(),
    lotCode: z.string(),
    supplierLot: z.string().nullable(),
    item: z.object({ kind: z.string(), id: z.string(), name: z.string() }),
    site: z.object({ id: z.string(), name: z.string(), zone: z.string() }),
    amount: z.object({ value: z.number(), unit: z.string() }),
    state: z.enum(['good', 'held', 'expired']),
    heldReason: z.string().nullable(),
    madeAt: z.string(),
    useBy: z.string().nullable().meta({
      description: 'Null while the lot is held: no date is to be trusted then.',
    }),
    useByReason: z.string().nullable(),
    storage: z.string().nullable(),
    preparedBy: z.string().nullable(),
    contains: z.array(z.string()),
    mayContain: z.array(z.string()),
    notDeclared: z.array(z.string()),
    code: z.object({
      kind: z.enum(CODE_KINDS),
      text: z.string(),
      rows: z.array(z.string()).meta({
        description: 'QR code, a row a string, 1 is dark; leave four modules free round it.',
      }),
    }),
    notice: z.string(),
  })
  .meta({ id: 'LotLabel' });
export const LabelsSchema = z.object({ items: z.array(LabelSchema) }).meta({ id: 'LotLabels' });
