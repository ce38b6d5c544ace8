import { z } from 'zod';
import { pageSchema } from '../../http/paging.ts';
import { Id, Instant, Name } from '../../http/wire.ts';
import { ROLES } from '../platform/index.ts';

export const RoleSchema = z.enum(ROLES).meta({ id: 'Role' });
/** Longer than any password may be, so that the rule itself answers; short enough to hash. */
const Password = z.string().min(1).max(1000);
const Email = z.string().trim().max(254).pipe(z.email('This is not an email address.'));
export const SiteScopeSchema = z
  .union([z.literal('all'), z.array(Id).max(1000)])
  .meta({ id: 'SiteScope', description: '"all", or the ids of the sites' });

export const SignInBody = z
  .strictObject({ email: z.string().min(1).max(254), password: Password })
  .meta({ id: 'SignInBody' });

export const SessionSchema = z
  .object({
    user: z.object({
      id: z.string(),
      kind: z.enum(['user', 'token', 'system']),
      name: z.string(),
      email: z.string().nullable(),
    }),
    role: RoleSchema,
    scope: z.enum(['all-sites', 'own-sites']),
    sites: z.array(
      z.object({ id: z.string(), name: z.string(), zone: z.string(), currency: z.string() }),
    ),
    csrfToken: z.string().nullable().meta({
      description:
        'Send as x-csrf-token with every changing request by cookie. Null for API tokens.',
    }),
    expiresAt: z.string().nullable(),
  })
  .meta({ id: 'Session' });

export const PasswordChangeBody = z
  .strictObject({ currentPassword: Password, newPassword: Password })
  .meta({ id: 'PasswordChangeBody' });

export const SetupState = z
  .object({ needed: z.boolean(), groupName: z.string().nullable() })
  .meta({ id: 'SetupState' });
export const SetupBody = z
  .strictObject({
    setupCode: z.string().min(1).max(100),
    email: Email,
    name: Name,
    password: Password,
    groupName: Name,
  })
  .meta({ id: 'SetupBody' });

export const UserBody = z
  .strictObject({ email: Email, name: Name, role: RoleSchema, siteIds: SiteScopeSchema })
  .meta({ id: 'UserBody' });
export const NewUserBody = z
  .strictObject({ ...UserBody.shape, password: Password })
  .meta({ id: 'NewUserBody' });
export const UserSchema = z
  .object({
    id: z.string(),
    email: z.string(),
    name: z.string(),
    role: RoleSchema,
    siteIds: SiteScopeSchema,
    archived: z.boolean(),
    inYourCare: z.boolean().meta({ description: 'Whether who asks may change this person.' }),
    rev: z.number().int(),
  })
  .meta({ id: 'User' });
export const UserPage = pageSchema(UserSchema, 'User')
  .extend({
    rolesToGive: z.array(RoleSchema).meta({ description: 'Roles that who asks may give.' }),
  })
  .meta({ id: 'UserPage' });
export const NewPasswordBody = z
  .strictObject({ password: Password })
  .meta({ id: 'NewPasswordBody' });

export const ApiTokenBody = z
  .strictObject({
    name: Name,
    role: RoleSchema,
    siteIds: SiteScopeSchema,
    expiresAt: Instant.nullable()
      .default(null)
      .meta({ description: 'At most two years ahead; a year when left out.' }),
  })
  .meta({ id: 'ApiTokenBody' });
const tokenShape = {
  id: z.string(),
  name: z.string(),
  role: RoleSchema,
  siteIds: SiteScopeSchema,
  createdBy: z.string(),
  createdAt: z.string(),
  expiresAt: z.string(),
  revokedAt: z.string().nullable(),
  lastUsedAt: z.string().nullable(),
};
export const ApiTokenSchema = z.object(tokenShape).meta({ id: 'ApiToken' });
export const ApiTokenPage = pageSchema(ApiTokenSchema, 'ApiToken');
export const NewApiToken = z
  .object({
    ...tokenShape,
    secret: z.string().meta({ description: 'Shown here and never again.' }),
  })
  .meta({ id: 'NewApiToken' });

export const AuditLineSchema = z
  .object({
    id: z.string(),
    at: z.string(),
    actorKind: z.string(),
    actorId: z.string(),
    actorName: z.string(),
    action: z.string(),
    subjectKind: z.string(),
    subjectId: z.string(),
    siteId: z.string().nullable(),
    detail: z.record(z.string(), z.unknown()).nullable(),
  })
  .meta({ id: 'AuditLine' });
export const AuditPage = pageSchema(AuditLineSchema, 'AuditLine');
const Word = z.string().min(1).max(80);
export const AuditQuery = z.object({
  subjectKind: Word.optional(),
  subjectId: Word.optional(),
  actorId: Word.optional(),
  site: Word.optional(),
});
