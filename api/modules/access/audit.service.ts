import type { Page, PageRequest } from '../platform/index.ts';
import type { AuditFilter, AuditLine } from './access.ports.ts';
import type { AccessDependencies } from './session.service.ts';

/** Reads the audit trail. */
export class AuditService {
  readonly #deps: Pick<AccessDependencies, 'work'>;

  constructor(deps: Pick<AccessDependencies, 'work'>) {
    this.#deps = deps;
  }

  /** Newest first. */
  async list(request: PageRequest, filter: AuditFilter): Promise<Page<AuditLine>> {
    return this.#deps.work.read.access.auditLines.page(request, filter);
  }
}
