import { Refusal } from '../platform/index.ts';
import { describeDifference, type DescribedVersion } from './difference.ts';
import type { RecipesWork, RecipeVersion, VersionToSave } from './recipes.ports.ts';

/**
 * Refuses to save over a draft that somebody else has saved since it was read.
 * @param expected the revision the editor saw
 * @throws Refusal `stale-version` with what was changed since in a cook's words, by whom and when, the
 *         draft as it stands now and where to read it
 */
export async function refuseStaleDraft(
  work: Pick<RecipesWork, 'recipes' | 'ingredients'>,
  current: RecipeVersion,
  expected: number,
): Promise<void> {
  if (expected === current.rev) return;
  const kept = await work.recipes.revisionsFrom(current.id, expected);
  const [seen] = kept;
  const recipe = await work.recipes.find(current.recipeId);
  const changes =
    seen && recipe
      ? describeDifference(recipe, seenVersion(seen.content, current), current, await namesOf(work))
          .changes
      : [];
  const last = kept.at(-1);
  const by = last ? ` (${last.savedBy})` : '';
  throw new Refusal(
    'stale-version',
    `Somebody else saved this while you were editing${by}. Nothing of yours was saved; look at what changed and try again.`,
    {
      detail: {
        expectedRevision: expected,
        currentRevision: current.rev,
        changes,
        changedBy: [...new Set(kept.map(({ savedBy }) => savedBy))],
        changedAt: last?.savedAt.toISOString() ?? null,
        currentAt: `/v1/recipe-versions/${current.id}`,
        current,
      },
    },
  );
}

/** The draft as the editor read it; kept revisions carry their lines' ids. */
function seenVersion(content: VersionToSave, { id, number }: RecipeVersion): DescribedVersion {
  const withIds = <T extends object>(rows: readonly T[]) =>
    rows.map((row, i) => ({ id: String(i), ...row }));
  return {
    ...content,
    id,
    number,
    lines: withIds(content.lines),
    steps: withIds(content.steps),
    byProducts: withIds(content.byProducts),
  };
}

async function namesOf(
  work: Pick<RecipesWork, 'recipes' | 'ingredients'>,
): Promise<ReadonlyMap<string, { readonly name: string }>> {
  const items = [...(await work.recipes.all()), ...(await work.ingredients.all())];
  return new Map(items.map((item) => [item.id, item]));
}
