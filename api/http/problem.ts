import { z } from 'zod';
import type { RefusalKind } from '../modules/platform/index.ts';

const PROBLEM_BASE = 'https://tamis.example/problems/';

/** Every refusal kind has one status. The compiler says when a kind is missing here. */
const STATUS_OF_KIND: Readonly<Record<RefusalKind, number>> = {
  'invalid-input': 400,
  'not-signed-in': 401,
  forbidden: 403,
  'not-found': 404,
  conflict: 409,
  'still-in-progress': 409,
  'already-done': 409,
  'stale-version': 412,
  'version-required': 428,
  'too-many-requests': 429,
  'too-large': 413,
  unavailable: 503,
  'unknown-unit': 422,
  'dimension-mismatch': 422,
  'no-density': 422,
  'no-piece-mass': 422,
  'unreadable-amount': 422,
  'out-of-range': 422,
  'recipe-cycle': 422,
  'missing-component': 422,
  'missing-ingredient': 422,
  infeasible: 422,
  'invalid-date': 422,
  'invalid-zone': 422,
  'invalid-code': 422,
  'currency-mismatch': 422,
  'missing-data': 422,
  'solver-failed': 500,
  'wrong-state': 409,
  'over-limit': 403,
  'broken-explanation': 500,
};

const TITLE_OF_STATUS: Readonly<Record<number, string>> = {
  400: 'The request is not right',
  401: 'Please sign in',
  403: 'Not allowed',
  404: 'Not found',
  409: 'It clashes with what is there',
  412: 'Changed by someone else',
  413: 'Too large',
  414: 'Address too long',
  415: 'Wrong content type',
  422: 'The figures do not work',
  428: 'Say which version you edited',
  429: 'Too many requests',
  500: 'Something went wrong on our side',
  503: 'Not available just now',
};

/** RFC 9457 problem details, with a JSON pointer for each field that is wrong. */
export const ProblemSchema = z
  .object({
    type: z.string(),
    title: z.string(),
    status: z.number().int(),
    detail: z.string().optional(),
    instance: z.string().optional(),
    issues: z.array(z.object({ pointer: z.string(), message: z.string() })).optional(),
    context: z.record(z.string(), z.unknown()).optional(),
  })
  .meta({ id: 'Problem', description: 'RFC 9457 problem details' });

export type Problem = z.infer<typeof ProblemSchema>;

/** @returns the HTTP status of a refusal kind */
export function statusOfKind(kind: RefusalKind): number {
  return STATUS_OF_KIND[kind];
}

/** Builds a problem body. `kind` becomes the last part of the stable `type` URI. */
export function problem(
  kind: string,
  status: number,
  detail: string,
  extra: {
    instance?: string;
    issues?: readonly { pointer: string; message: string }[];
    context?: Readonly<Record<string, unknown>>;
  } = {},
): Problem {
  return {
    type: `${PROBLEM_BASE}${kind}`,
    title: TITLE_OF_STATUS[status] ?? 'Not done',
    status,
    detail,
    ...(extra.instance ? { instance: extra.instance } : {}),
    ...(extra.issues && extra.issues.length > 0 ? { issues: [...extra.issues] } : {}),
    ...(extra.context && Object.keys(extra.context).length > 0
      ? { context: { ...extra.context } }
      : {}),
  };
}
