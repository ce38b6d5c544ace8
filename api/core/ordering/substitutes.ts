import { Decimal } from '../money/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';

/** An ingredient as a stand-in is judged: per base unit as purchased. */
export interface SubstituteProfile {
  readonly ingredientId: string;
  /** Decimal text per base unit; null when no price is known. */
  readonly pricePerBase: string | null;
  /** Fraction kept after trim and cooking, above 0 to 1. */
  readonly yieldFraction: number;
  /** Allergen codes that it contains and that it may contain; null when not declared. */
  readonly allergens: {
    readonly contains: readonly string[];
    readonly mayContain: readonly string[];
  } | null;
  /** Prepared base units that stand in for one of the original; 1 when left out. */
  readonly ratio?: number;
  readonly available?: boolean;
}

export interface RankedSubstitute {
  readonly ingredientId: string;
  readonly quantityBase: number;
  /** Against buying the original; null when a price is not known. */
  readonly costChange: string | null;
  readonly yieldChange: number;
  /**
   * `more` when a guest who could eat the original may not be able to eat this: something contained
   * that was not (also where it may have been), or something possible that was neither.
   * `not-declared` when either side is: nobody may call that the same.
   */
  readonly allergenChange: 'none' | 'fewer' | 'more' | 'not-declared';
  readonly containsAdded: readonly string[];
  readonly containsRemoved: readonly string[];
  readonly mayContainAdded: readonly string[];
  readonly mayContainRemoved: readonly string[];
}

/** Shown wherever a substitute is offered. */
export const SUBSTITUTE_NOTICE =
  'Check the label of the substitute and tell the floor before it is served. Declarations here may be out of date; local rules decide.';

/**
 * Stand-ins for an ingredient that cannot be had, best first: those that bring no allergen in, then
 * those that bring one, then those not declared; within each the cheapest, unknown prices last.
 * Unavailable ones are left out.
 *
 * @param quantityBase as-purchased quantity of the original, base unit
 * Errors: `out-of-range` for yields outside 0 to 1, ratios or quantities not above zero.
 */
export function rankSubstitutes(
  original: SubstituteProfile,
  candidates: readonly SubstituteProfile[],
  quantityBase: number,
): Result<RankedSubstitute[]> {
  const odd = [original, ...candidates].find(
    (p) => !(p.yieldFraction > 0 && p.yieldFraction <= 1) || !((p.ratio ?? 1) > 0),
  );
  if (odd || !(quantityBase > 0)) {
    return err(
      coreError('out-of-range', 'Yields lie above 0 up to 1; ratios and quantities above 0.', {
        detail: { ingredientId: odd?.ingredientId ?? original.ingredientId, quantityBase },
      }),
    );
  }
  const preparedBase = quantityBase * original.yieldFraction;
  const costOf = (profile: SubstituteProfile, quantity: number): Decimal | null =>
    profile.pricePerBase === null ? null : new Decimal(profile.pricePerBase).times(quantity);
  const before = costOf(original, quantityBase);
  const ranked = candidates
    .filter((candidate) => candidate.available !== false)
    .map((candidate): RankedSubstitute => {
      const needed = (preparedBase * (candidate.ratio ?? 1)) / candidate.yieldFraction;
      const cost = costOf(candidate, needed);
      return {
        ingredientId: candidate.ingredientId,
        quantityBase: needed,
        costChange: before && cost ? cost.minus(before).toString() : null,
        yieldChange: candidate.yieldFraction - original.yieldFraction,
        ...allergenChange(original.allergens, candidate.allergens),
      };
    });
  const order = { none: 0, fewer: 0, more: 1, 'not-declared': 2 } as const;
  const costRank = (s: RankedSubstitute): number =>
    s.costChange === null ? Infinity : Number(s.costChange);
  return ok(
    ranked.sort(
      (a, b) =>
        order[a.allergenChange] - order[b.allergenChange] ||
        (costRank(a) === costRank(b) ? 0 : costRank(a) - costRank(b)) ||
        a.ingredientId.localeCompare(b.ingredientId),
    ),
  );
}

const without = (codes: readonly string[], taken: readonly string[]): readonly string[] =>
  codes.filter((code) => !taken.includes(code));

/** What changes for the guest; the same judgement as core/allergens makes of two statements. */
function allergenChange(
  before: SubstituteProfile['allergens'],
  after: SubstituteProfile['allergens'],
): Pick<
  RankedSubstitute,
  'allergenChange' | 'containsAdded' | 'containsRemoved' | 'mayContainAdded' | 'mayContainRemoved'
> {
  const nothing = { contains: [], mayContain: [] };
  const [was, is] = [before ?? nothing, after ?? nothing];
  const lists = {
    containsAdded: without(is.contains, was.contains),
    containsRemoved: before && after ? without(was.contains, is.contains) : [],
    mayContainAdded: without(is.mayContain, was.mayContain),
    mayContainRemoved: before && after ? without(was.mayContain, is.mayContain) : [],
  };
  if (before === null || after === null) return { allergenChange: 'not-declared', ...lists };
  const risk =
    lists.containsAdded.length > 0 ||
    lists.mayContainAdded.some((code) => !was.contains.includes(code));
  const fewer = lists.containsRemoved.length > 0 || lists.mayContainRemoved.length > 0;
  return { allergenChange: risk ? 'more' : fewer ? 'fewer' : 'none', ...lists };
}
