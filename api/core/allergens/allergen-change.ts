import type { AllergenCode } from './allergen-codes.ts';
import type { AllergenPresence, AllergenStatement } from './allergen-statement.ts';

/** What changes for the guest between two statements on one item. */
export interface AllergenChange {
  readonly addedContains: readonly AllergenPresence[];
  readonly removedContains: readonly AllergenPresence[];
  readonly addedMayContain: readonly AllergenPresence[];
  readonly removedMayContain: readonly AllergenPresence[];
  /** Ingredients without a declaration that were not there before. */
  readonly newlyNotDeclared: readonly string[];
  /**
   * True where a guest who could eat it before may not be able to now: something contained that was
   * not, something that may be contained that was neither, or something new nobody declared.
   * Such a change wants a second person's confirmation.
   */
  readonly addsRisk: boolean;
}

/**
 * Compares two statements on the same item: the version in force and the one to be published.
 * What moves from 'may contain' to 'contains' is added to one and removed from the other.
 * @throws Error where the statements are under two regimes
 */
export function allergenChange(
  before: AllergenStatement,
  after: AllergenStatement,
): AllergenChange {
  if (before.regime !== after.regime) {
    throw new Error(`Statements under ${before.regime} and ${after.regime} cannot be compared.`);
  }
  const addedContains = without(after.contains, before.contains);
  const addedMayContain = without(after.mayContain, before.mayContain);
  const undeclaredBefore = new Set(before.notDeclared.map((way) => way.ingredientId));
  const newlyNotDeclared = after.notDeclared
    .map((way) => way.ingredientId)
    .filter((id) => !undeclaredBefore.has(id));
  const contained = codesOf(before.contains);
  return {
    addedContains,
    removedContains: without(before.contains, after.contains),
    addedMayContain,
    removedMayContain: without(before.mayContain, after.mayContain),
    newlyNotDeclared,
    addsRisk:
      addedContains.length > 0 ||
      addedMayContain.some((presence) => !contained.has(presence.code)) ||
      newlyNotDeclared.length > 0,
  };
}

function without(
  presences: readonly AllergenPresence[],
  taken: readonly AllergenPresence[],
): AllergenPresence[] {
  const codes = codesOf(taken);
  return presences.filter((presence) => !codes.has(presence.code));
}

function codesOf(presences: readonly AllergenPresence[]): ReadonlySet<AllergenCode> {
  return new Set(presences.map((presence) => presence.code));
}
