import { Refusal } from './refusal.ts';

export const ROLES = ['lead', 'chef', 'purchasing', 'admin'] as const;
export type Role = (typeof ROLES)[number];

/** Who asks. Site-bound actors (chefs, scoped tokens) see and change only their own sites. */
export interface Actor {
  readonly kind: 'user' | 'token' | 'system';
  readonly id: string;
  readonly name: string;
  readonly role: Role;
  readonly siteIds: 'all' | readonly string[];
}

/** @returns whether the actor may see and change this site */
export function maySeeSite(actor: Actor, siteId: string): boolean {
  return actor.siteIds === 'all' || actor.siteIds.includes(siteId);
}

/** @throws Refusal `forbidden` when the site is not one of the actor's */
export function requireSite(actor: Actor, siteId: string): void {
  if (!maySeeSite(actor, siteId)) {
    throw new Refusal('forbidden', 'That site is not one of yours.', { detail: { siteId } });
  }
}
