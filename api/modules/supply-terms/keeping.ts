import type { Ingredient } from '../ingredients/index.ts';
import type { Pack } from '../suppliers/index.ts';

/** Days that goods keep when neither the pack nor the ingredient says; common practice, no source. */
const KEEPS_DAYS: Readonly<Record<string, number>> = { chilled: 3, ambient: 30, frozen: 90 };
const SHORTEST_DAYS = 3;

/** Days the goods of a pack keep from their delivery: stated on the pack, else on the ingredient. */
export function keepsDays(
  pack: Pick<Pack, 'shelfLifeDays'> | undefined,
  ingredient: Pick<Ingredient, 'shelfLifeDays' | 'storage'> | undefined,
): number {
  return (
    pack?.shelfLifeDays ??
    ingredient?.shelfLifeDays ??
    KEEPS_DAYS[ingredient?.storage ?? 'chilled'] ??
    SHORTEST_DAYS
  );
}
