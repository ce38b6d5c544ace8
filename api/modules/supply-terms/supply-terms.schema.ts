import { z } from 'zod';
import { Id, ServiceDate } from '../../http/wire.ts';
import { GAP_KINDS } from './supply-terms.ports.ts';

const Note = z.string().trim().min(1).max(200).nullable().default(null);
const Named = z.object({ id: z.string(), name: z.string() });

export const SupplyGapBody = z
  .strictObject({
    packId: Id.nullable().default(null),
    ingredientId: Id.nullable().default(null),
    kind: z.enum(GAP_KINDS).default('out-of-stock'),
    fromDate: ServiceDate,
    toDate: ServiceDate.nullable().default(null).describe('Null: until further notice.'),
    note: Note,
  })
  .meta({ id: 'SupplyGapBody' });

export const SupplyGapSchema = z
  .object({
    id: z.string(),
    supplierId: z.string(),
    packId: z.string().nullable(),
    ingredientId: z.string().nullable(),
    name: z.string().nullable().describe('Of the pack or ingredient; null: everything.'),
    kind: z.enum(GAP_KINDS),
    fromDate: z.string(),
    toDate: z.string().nullable(),
    note: z.string().nullable(),
    enteredBy: z.string(),
    rev: z.number().int(),
  })
  .meta({ id: 'SupplyGap' });
export const SupplyGapList = z
  .object({ items: z.array(SupplyGapSchema) })
  .meta({ id: 'SupplyGapList' });
export const SupplyGapQuery = z.object({
  supplierId: Id.optional(),
  from: ServiceDate.optional().describe('Leaves out gaps that are over before this day.'),
});
export const GapParams = z.object({ gapId: z.string() });
export const SupplierParams = z.object({ supplierId: z.string() });

export const SupplyContractBody = z
  .strictObject({
    siteId: Id,
    supplierId: Id,
    ingredientId: Id.nullable().default(null),
    category: z
      .string()
      .trim()
      .min(1)
      .max(80)
      .nullable()
      .default(null)
      .describe('All ingredients of a category; without it or an ingredient: everything.'),
    fromDate: ServiceDate,
    toDate: ServiceDate.nullable().default(null),
    note: Note,
  })
  .meta({ id: 'SupplyContractBody' });

export const SupplyContractSchema = z
  .object({
    id: z.string(),
    site: Named,
    supplier: Named,
    ingredient: Named.nullable(),
    category: z.string().nullable(),
    fromDate: z.string(),
    toDate: z.string().nullable(),
    note: z.string().nullable(),
    enteredBy: z.string(),
    rev: z.number().int(),
  })
  .meta({ id: 'SupplyContract' });
export const SupplyContractList = z
  .object({ items: z.array(SupplyContractSchema) })
  .meta({ id: 'SupplyContractList' });
export const SupplyContractQuery = z.object({
  siteId: Id.optional(),
  supplierId: Id.optional(),
});
export const ContractParams = z.object({ contractId: z.string() });

export const SubstituteBody = z
  .strictObject({
    ratio: z
      .number()
      .positive()
      .max(1000)
      .default(1)
      .describe('Prepared base units of the substitute for one of the original.'),
    note: Note,
  })
  .meta({ id: 'SubstituteBody' });
export const SubstituteList = z
  .object({
    items: z.array(
      z.object({
        substitute: Named,
        ratio: z.number(),
        note: z.string().nullable(),
        enteredBy: z.string(),
      }),
    ),
  })
  .meta({ id: 'SubstituteList' });
export const IngredientParams = z.object({ ingredientId: z.string() });
export const SubstituteParams = IngredientParams.extend({ substituteId: z.string() });
