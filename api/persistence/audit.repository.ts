import { keyedRequest, requestId, type AuditTrail, type NewId } from '../modules/platform/index.ts';
import type { Db } from './database.ts';
import { toNullableJson } from './row-values.ts';

/** The append-only audit trail. */
export function createAuditTrail(db: Db, newId: NewId): AuditTrail {
  return {
    async append({ actor, action, subjectKind, subjectId, siteId, detail }) {
      await db.auditEvent.create({
        data: {
          id: newId('aud'),
          actorKind: actor.kind,
          actorId: actor.id,
          actorName: actor.name,
          action,
          subjectKind,
          subjectId,
          siteId: siteId ?? null,
          requestId: requestId() ?? null,
          detail: toNullableJson(detail),
        },
      });
      keyedRequest()?.made.push({ kind: subjectKind, id: subjectId });
    },
  };
}
