import { AuditService } from './audit.service.ts';
import { SessionService, type AccessDependencies } from './session.service.ts';
import { SetupService } from './setup.service.ts';
import { TokenService } from './token.service.ts';
import { UserService } from './user.service.ts';

/** Everything about who may come in. */
export interface AccessServices {
  readonly sessions: SessionService;
  readonly setup: SetupService;
  readonly users: UserService;
  readonly tokens: TokenService;
  readonly audit: AuditService;
}

/** Makes the access services over one set of parts. */
export function createAccessServices(deps: AccessDependencies): AccessServices {
  return {
    sessions: new SessionService(deps),
    setup: new SetupService(deps),
    users: new UserService(deps),
    tokens: new TokenService(deps),
    audit: new AuditService(deps),
  };
}
