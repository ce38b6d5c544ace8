import {
  fromCoreError,
  invalid,
  lostUpdate,
  notFound,
  Refusal,
  requireRevision,
  type Actor,
} from '../platform/index.ts';
import { addedWords, declarationsOf, dishAllergenChanges } from './allergen-confirmation.ts';
import { refuseGaps } from './check-graph.ts';
import { loadLarder } from './larder.ts';
import { changeDates, earliestToday, graphOn, versionsInForce } from './recipes-on.ts';
import type { PublishedRecipes, RecipesWork, RecipeVersion } from './recipes.ports.ts';
import { readVersion, toInput } from './write-version.ts';

interface Publication {
  readonly actor: Actor;
  readonly id: string;
  readonly rev: number;
  readonly firstServiceDate: string;
  readonly now: Date;
}

/**
 * Publishes a version in review from a first service date.
 *
 * Amounts are read once more with today's densities and weights. Refused, with nothing changed:
 * `wrong-state` unless in review; a date before today for a recipe that drove dates before (the
 * past stays as it was planned); a second version for the same date; no lines or no steps; a
 * component without a version in force on some date from then on, a cycle, an archived ingredient;
 * `forbidden` where it adds an allergen to a published dish and the publisher is who submitted it.
 */
export async function publishVersion(
  work: RecipesWork,
  { actor, id, rev, firstServiceDate, now }: Publication,
): Promise<RecipeVersion> {
  await work.recipes.lockPublishing();
  const current = await work.recipes.findVersion(id);
  if (!current) throw notFound('recipe version', id);
  requireRevision(rev, current);
  if (current.status !== 'in_review') {
    throw new Refusal('wrong-state', 'Only a version in review is published.', {
      detail: { status: current.status },
    });
  }
  const published = await work.recipes.publishedGraphRows();
  checkDate(published, current, { actor, firstServiceDate, now });
  const version = await rereadAmounts(work, current);
  if (version.lines.length === 0) throw invalid('/lines', 'The recipe has no lines.');
  if (version.steps.length === 0) throw invalid('/steps', 'The recipe has no steps.');

  const candidate: RecipeVersion = { ...version, status: 'published', firstServiceDate };
  const after = { ...published, versions: [...published.versions, candidate] };
  const ingredients = await work.ingredients.all();
  refuseGaps(published.recipes, ingredients, after.versions, firstServiceDate, candidate);
  if (current.submittedBy === actor.id) {
    await refuseAloneWithAllergens(work, published, after, candidate);
  }
  const saved = await work.recipes.moveVersion(
    id,
    { status: 'published', firstServiceDate, publishedBy: actor.id, publishedAt: now },
    version.rev,
  );
  if (!saved) throw lostUpdate('recipe version', id, rev, await work.recipes.findVersion(id));
  return saved;
}

function checkDate(
  published: PublishedRecipes,
  version: RecipeVersion,
  { actor, firstServiceDate, now }: Pick<Publication, 'actor' | 'firstServiceDate' | 'now'>,
): void {
  const earlier = published.versions.filter((other) => other.recipeId === version.recipeId);
  if (earlier.some((other) => other.firstServiceDate === firstServiceDate)) {
    const message = 'Another version begins on that date already.';
    throw new Refusal('conflict', message, {
      issues: [{ pointer: '/firstServiceDate', message }],
    });
  }
  // A history loaded by the system itself may reach back; people do not rewrite past dates.
  const backdated = firstServiceDate < earliestToday(now);
  if (backdated && earlier.length > 0 && actor.kind !== 'system') {
    throw invalid(
      '/firstServiceDate',
      'Past dates stay as they were planned; begin today or later.',
    );
  }
}

async function rereadAmounts(work: RecipesWork, version: RecipeVersion): Promise<RecipeVersion> {
  const larder = await loadLarder(work);
  const recipe = larder.recipes.get(version.recipeId);
  if (!recipe) throw notFound('recipe', version.recipeId);
  if (recipe.archived) {
    throw new Refusal('wrong-state', `${recipe.name} is archived; restore it first.`);
  }
  const read = readVersion(recipe, toInput(version), larder);
  const same =
    read.output.quantity === version.output.quantity &&
    read.lines.every((line, i) => line.quantity === version.lines[i]?.quantity) &&
    read.byProducts.every((by, i) => by.quantity === version.byProducts[i]?.quantity);
  if (same) return version;
  const saved = await work.recipes.updateVersion(version.id, read, version.rev);
  if (!saved) throw lostUpdate('recipe version', version.id, version.rev, null);
  return saved;
}

async function refuseAloneWithAllergens(
  work: RecipesWork,
  before: PublishedRecipes,
  after: PublishedRecipes,
  candidate: RecipeVersion,
): Promise<void> {
  const ingredients = await work.ingredients.all();
  const declarations = declarationsOf(ingredients);
  const from = candidate.firstServiceDate ?? '';
  for (const date of changeDates(after.versions, from)) {
    if (versionsInForce(after.versions, date).get(candidate.recipeId)?.id !== candidate.id)
      continue;
    const graphBefore = graphOn(before, ingredients, date);
    const graphAfter = graphOn(after, ingredients, date);
    if (!graphBefore.ok) throw fromCoreError(graphBefore.error);
    if (!graphAfter.ok) throw fromCoreError(graphAfter.error);
    const risky = dishAllergenChanges(
      graphBefore.value,
      graphAfter.value,
      candidate.recipeId,
      declarations,
    ).filter(({ change }) => change.addsRisk);
    if (risky.length === 0) continue;
    const words = risky.map((dish) => `${dish.dishName} (${addedWords(dish.change).join(', ')})`);
    throw new Refusal(
      'forbidden',
      `This adds allergens to ${words.join('; ')}. Somebody other than who submitted it must publish it.`,
      {
        issues: [{ pointer: '', message: 'A second person has to confirm added allergens.' }],
        detail: {
          dishes: risky.map(({ dishId, dishName, change }) => ({
            dishId,
            dishName,
            added: addedWords(change),
          })),
          date,
        },
      },
    );
  }
}

/**
 * Withdraws a published version from today on; the version before it takes over. Refused, with
 * nothing changed: `wrong-state` unless published; `missing-component` where a recipe would be left
 * without it; `conflict` where a menu would offer a dish nobody can make.
 */
export async function withdrawVersion(
  work: RecipesWork,
  { actor, id, rev, now }: Omit<Publication, 'firstServiceDate'>,
): Promise<RecipeVersion> {
  await work.recipes.lockPublishing();
  const current = await work.recipes.findVersion(id);
  if (!current) throw notFound('recipe version', id);
  requireRevision(rev, current);
  if (current.status !== 'published') {
    throw new Refusal('wrong-state', 'Only a published version is withdrawn.', {
      detail: { status: current.status },
    });
  }
  const from = now.toISOString().slice(0, 10);
  const published = await work.recipes.publishedGraphRows();
  const withdrawn: RecipeVersion = { ...current, status: 'withdrawn', withdrawnFrom: from };
  const after = published.versions.map((version) => (version.id === id ? withdrawn : version));
  const ingredients = await work.ingredients.all();
  refuseGaps(published.recipes, ingredients, after, from, withdrawn);
  await refuseUnmakeable(work, after, withdrawn, from);
  const saved = await work.recipes.moveVersion(
    id,
    { status: 'withdrawn', withdrawnBy: actor.id, withdrawnFrom: from },
    rev,
  );
  if (!saved) throw lostUpdate('recipe version', id, rev, await work.recipes.findVersion(id));
  return saved;
}

async function refuseUnmakeable(
  work: RecipesWork,
  after: readonly RecipeVersion[],
  withdrawn: RecipeVersion,
  from: string,
): Promise<void> {
  const { recipeId } = withdrawn;
  const own = after.filter((version) => version.recipeId === recipeId);
  for (const offer of await work.menus.offersOf([recipeId], from)) {
    const start = offer.activeFrom > from ? offer.activeFrom : from;
    if (versionsInForce(own, start).has(recipeId)) continue;
    const message = `${offer.menuName} offers this dish, and no other version stands.`;
    throw new Refusal('conflict', message, {
      issues: [{ pointer: '', message }],
      detail: { menuId: offer.menuId, siteId: offer.siteId, from: start },
    });
  }
}
