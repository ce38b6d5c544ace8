import type { IngredientNeed } from './ingredient-need.ts';

/** Nearer to a whole piece than this, a figure is that piece with crumbs of binary arithmetic. */
const CRUMB = 1e-6;

/** The whole pieces that hold an amount of pieces: 15.7 as 16, and 16 with crumbs as 16. */
export const wholePieces = (pieces: number): number =>
  Math.ceil(pieces - CRUMB * Math.max(1, Math.abs(pieces)));

/**
 * Needs that go from site to site as they can be carried: what is counted in pieces becomes whole,
 * for nobody carries part of an egg. Rounded up over the days of a site and ingredient taken together,
 * so that by each date there is enough and never a whole piece too much; the rest stays exact. A need
 * that a piece of an earlier day covers goes; of the booked part at most a piece is lost in it.
 *
 * @param counted whether an ingredient's base unit is the piece
 */
export function needsInWholePieces(
  needs: readonly IngredientNeed[],
  counted: (ingredientId: string) => boolean,
): IngredientNeed[] {
  const soFar = new Map<string, { exact: number; whole: number; booked: number }>();
  return [...needs]
    .sort((a, b) => a.needDate.localeCompare(b.needDate))
    .flatMap((need): IngredientNeed[] => {
      if (!counted(need.ingredientId)) return [need];
      const key = JSON.stringify([need.siteId, need.ingredientId]);
      const before = soFar.get(key) ?? { exact: 0, whole: 0, booked: 0 };
      const exact = before.exact + need.quantityBase;
      const whole = Math.max(before.whole, wholePieces(exact));
      const quantityBase = whole - before.whole;
      const booked = before.booked + need.certainBase;
      const certainBase = Math.min(quantityBase, booked);
      soFar.set(key, { exact, whole, booked: booked - certainBase });
      return quantityBase > 0 ? [{ ...need, quantityBase, certainBase }] : [];
    });
}
