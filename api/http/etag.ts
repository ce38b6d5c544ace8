import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import { Refusal } from '../modules/platform/index.ts';

/** The header that names the version an editor saw. */
export const IfMatchHeaders = z.object({
  'if-match': z.string().max(100).optional().meta({
    description:
      'The ETag that was last read. Refused (428) without it, (412) when it is no longer so.',
  }),
});

/** Sets the ETag of an edited resource from its revision. */
export function setRevision(reply: FastifyReply, rev: number): void {
  reply.header('etag', `"${rev}"`);
}

/**
 * @returns the revision named by If-Match
 * @throws Refusal `version-required` without the header, `invalid-input` when it is not one of ours
 */
export function revisionFrom(request: FastifyRequest): number {
  const header = request.headers['if-match'];
  if (header === undefined) {
    throw new Refusal('version-required', 'Send If-Match with the ETag you last read.');
  }
  const match = /^(?:W\/)?"(\d{1,9})"$/.exec(header.trim());
  if (!match?.[1]) {
    throw new Refusal('invalid-input', 'If-Match must be the ETag you last read.', {
      issues: [{ pointer: '/headers/if-match', message: 'Expected a quoted revision number.' }],
    });
  }
  return Number(match[1]);
}
