import type { Actor } from './actor.ts';

/** One line of the audit trail. */
export interface AuditEntry {
  readonly actor: Actor;
  readonly action: string;
  readonly subjectKind: string;
  readonly subjectId: string;
  readonly siteId?: string;
  readonly detail?: Readonly<Record<string, unknown>>;
}

/** Appends to the audit trail in the caller's transaction. */
export interface AuditTrail {
  append(entry: AuditEntry): Promise<void>;
}
