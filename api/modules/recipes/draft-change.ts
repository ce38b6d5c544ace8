import { notFound, Refusal, type Actor, type NewId } from '../platform/index.ts';
import { refuseCycle } from './check-graph.ts';
import { loadLarder } from './larder.ts';
import type { RecipesWork, RecipeVersion, VersionInput } from './recipes.ports.ts';
import { readVersion, toInput } from './write-version.ts';

export interface DraftChange {
  readonly actor: Actor;
  readonly recipeId: string;
  readonly now: Date;
  readonly newId: NewId;
  /** The contents the draft shall have, from those it has. */
  change(input: VersionInput, from: RecipeVersion): VersionInput;
}

/** The version that is being worked towards: the open draft, else the newest not withdrawn. */
export async function workingVersion(
  work: Pick<RecipesWork, 'recipes'>,
  recipeId: string,
): Promise<RecipeVersion | null> {
  const versions = await work.recipes.versionsOf(recipeId);
  return (
    versions.find(({ status }) => status === 'draft') ??
    versions.find(({ status }) => status !== 'withdrawn') ??
    null
  );
}

/**
 * Changes the open draft of a recipe, or begins one from its newest version, in the caller's
 * transaction. It goes to service by review and publishing, like any draft.
 * @throws Refusal `not-found` without a recipe or version, `wrong-state` for an archived recipe,
 *         those of `readVersion` and `refuseCycle`
 */
export async function changeDraft(
  work: Pick<RecipesWork, 'recipes' | 'ingredients' | 'audit'>,
  { actor, recipeId, now, newId, change }: DraftChange,
): Promise<RecipeVersion> {
  const larder = await loadLarder(work);
  const recipe = larder.recipes.get(recipeId);
  if (!recipe) throw notFound('recipe', recipeId);
  if (recipe.archived) {
    throw new Refusal('wrong-state', `${recipe.name} is archived; restore it first.`);
  }
  const from = await workingVersion(work, recipeId);
  if (!from) throw new Refusal('not-found', `${recipe.name} has no version yet.`);
  const version = readVersion(recipe, change(toInput(from), from), larder);
  refuseCycle(recipe, version, larder);
  const newest = (await work.recipes.versionsOf(recipeId))[0];
  const saved =
    from.status === 'draft'
      ? await work.recipes.updateVersion(from.id, version, from.rev)
      : await work.recipes.insertVersion(newId('ver'), recipeId, version, {
          number: (newest?.number ?? 0) + 1,
          by: actor.id,
          at: now,
        });
  if (!saved) throw new Refusal('conflict', 'Somebody else saved the draft just now; try again.');
  if (from.status === 'draft') await work.recipes.keepRevision(from, actor.name, now);
  await work.audit.append({
    actor,
    action: from.status === 'draft' ? 'update' : 'create',
    subjectKind: 'recipe-version',
    subjectId: saved.id,
    detail: { recipeId, number: saved.number },
  });
  return saved;
}
