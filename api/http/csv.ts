import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { invalid } from '../modules/platform/index.ts';

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
