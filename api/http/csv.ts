import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { invalid, toPointer, type BodyCheck } from '../modules/platform/index.ts';

/** Lets the routes of this scope take `text/csv` bodies, as UTF-8 text. */
export function acceptCsv(
  app: Pick<FastifyInstance, 'addContentTypeParser'>,
  mostBytes: number,
): void {
  app.addContentTypeParser(
    'text/csv',
    { parseAs: 'buffer', bodyLimit: mostBytes },
    (_request, body, done) => {
      try {
        done(null, new TextDecoder('utf-8', { fatal: true }).decode(body as Buffer));
      } catch {
        done(invalid('', 'The file is not UTF-8 text. Save it as CSV UTF-8.'));
      }
    },
  );
}

/** One thing wrong with a row of a file. */
export const CsvProblemSchema = z
  .object({ row: z.number().int(), column: z.string().nullable(), message: z.string() })
  .meta({ id: 'CsvProblem' });

/** What an import did, or would do. */
export const CsvReportSchema = z
  .object({
    dryRun: z.boolean(),
    rows: z.number().int(),
    added: z.number().int(),
    replaced: z.number().int(),
    unchanged: z.number().int(),
    problems: z.array(CsvProblemSchema),
  })
  .meta({ id: 'CsvReport' });
export const CsvImportQuery = z.object({ dryRun: z.enum(['true', 'false']).default('false') });

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
