import { z } from 'zod';
import { toPointer, type BodyCheck } from '../modules/platform/index.ts';
import { SHEETS_SEEN } from './tables.ts';

/** One thing wrong with a row of a file. */
export const CsvProblemSchema = z
  .object({ row: z.number().int(), column: z.string().nullable(), message: z.string() })
  .meta({ id: 'CsvProblem' });

/** What an import did, or would do. */
export const CsvReportSchema = z
  .object({
    dryRun: z.boolean(),
    ...SHEETS_SEEN,
    rows: z.number().int(),
    added: z.number().int(),
    replaced: z.number().int(),
    unchanged: z.number().int(),
    problems: z.array(CsvProblemSchema),
  })
  .meta({ id: 'CsvReport' });
/** Checks a body by its schema, with the pointers a route would give. */
export function checkBy<T>(schema: z.ZodType<T>): BodyCheck<T> {
  return (raw) => {
    const parsed = schema.safeParse(raw);
    if (parsed.success) return { value: parsed.data };
    return {
      issues: parsed.error.issues.map(({ path, message }) => ({
        pointer: toPointer(path),
        message,
      })),
    };
  };
}
