import { whereUsed } from '../../core/recipe-graph/index.ts';
import {
  invalid,
  lostUpdate,
  notFound,
  orRefuse,
  Refusal,
  type Actor,
  type Clock,
  type NewId,
  type Page,
  type PageRequest,
  type UnitOfWork,
} from '../platform/index.ts';
import { earliestToday, graphOn, versionsInForce } from './recipes-on.ts';
import type {
  Recipe,
  RecipeFilter,
  RecipeInput,
  RecipesWork,
  RecipeVersion,
} from './recipes.ports.ts';

export interface RecipesDependencies {
  readonly work: UnitOfWork<RecipesWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** Where an item ends up on a date: the recipes that name it, and all that rest on those. */
export interface UsedIn {
  readonly direct: readonly Recipe[];
  /** Nearest first. */
  readonly all: readonly Recipe[];
}

/** Components and dishes; what is in them stands in their versions. */
export class RecipesService {
  readonly #deps: RecipesDependencies;

  constructor(deps: RecipesDependencies) {
    this.#deps = deps;
  }

  /** The date that stands for today when a request names none. */
  today(): string {
    return this.#deps.clock.now().toISOString().slice(0, 10);
  }

  async list(request: PageRequest, filter: RecipeFilter): Promise<Page<Recipe>> {
    return this.#deps.work.read.recipes.page(request, filter);
  }

  async get(id: string): Promise<Recipe> {
    const found = await this.#deps.work.read.recipes.find(id);
    if (!found) throw notFound('recipe', id);
    return found;
  }

  async create(actor: Actor, input: RecipeInput): Promise<Recipe> {
    checkRecipe(input);
    return this.#deps.work.run(async ({ recipes, audit }) => {
      const made = await recipes.insert(this.#deps.newId('rcp'), input);
      await audit.append({ actor, action: 'create', subjectKind: 'recipe', subjectId: made.id });
      return made;
    });
  }

  async update(actor: Actor, id: string, rev: number, input: RecipeInput): Promise<Recipe> {
    checkRecipe(input);
    return this.#deps.work.run(async ({ recipes, audit }) => {
      const current = await recipes.find(id);
      if (!current) throw notFound('recipe', id);
      for (const field of ['kind', 'baseUnit'] as const) {
        if (current[field] !== input[field] && (await isWritten(recipes, id))) {
          throw invalid(
            `/${field}`,
            `${current.name} is written and used as it is; begin a new recipe.`,
          );
        }
      }
      const saved = await recipes.update(id, input, rev);
      if (!saved) throw lostUpdate('recipe', id, rev, await recipes.find(id));
      await audit.append({ actor, action: 'update', subjectKind: 'recipe', subjectId: id });
      return saved;
    });
  }

  /** Archiving is refused while another recipe or a menu rests on this one. */
  async setArchived(actor: Actor, id: string, rev: number, archived: boolean): Promise<Recipe> {
    return this.#deps.work.run(async (work) => {
      if (archived) await refuseWhileUsed(work, id, earliestToday(this.#deps.clock.now()));
      const saved = await work.recipes.setArchived(id, archived, rev, this.#deps.clock.now());
      if (!saved) throw lostUpdate('recipe', id, rev, await work.recipes.find(id));
      const action = archived ? 'archive' : 'restore';
      await work.audit.append({ actor, action, subjectKind: 'recipe', subjectId: id });
      return saved;
    });
  }

  /**
   * The version in force on a service date.
   * @throws Refusal `not-found` when none is published by then
   */
  async versionOn(recipeId: string, date: string): Promise<RecipeVersion> {
    const recipe = await this.get(recipeId);
    const versions = await this.#deps.work.read.recipes.versionsOf(recipeId);
    const found = versionsInForce(versions, date).get(recipeId);
    if (!found) {
      throw new Refusal('not-found', `${recipe.name} has no published version for ${date}.`);
    }
    return found;
  }

  /** Every version, newest first. */
  async versions(recipeId: string): Promise<readonly RecipeVersion[]> {
    await this.get(recipeId);
    return this.#deps.work.read.recipes.versionsOf(recipeId);
  }

  /** What names the recipe on a date, directly or through other components. */
  async usedIn(recipeId: string, date: string): Promise<UsedIn> {
    await this.get(recipeId);
    const { recipes, ingredients } = this.#deps.work.read;
    const published = await recipes.publishedGraphRows(date);
    const graph = orRefuse(graphOn(published, await ingredients.all(), date));
    const used = orRefuse(whereUsed(graph, recipeId));
    const byId = new Map(published.recipes.map((recipe) => [recipe.id, recipe]));
    const named = (ids: readonly string[]): Recipe[] =>
      [...new Set(ids)].flatMap((id) => byId.get(id) ?? []);
    return { direct: named(used.direct.map((use) => use.itemId)), all: named(used.all) };
  }
}

/** @throws Refusal for a dish that is not counted in portions */
export function checkRecipe(input: RecipeInput): void {
  if (input.kind === 'dish' && input.baseUnit !== 'each') {
    throw invalid('/baseUnit', 'A dish is counted in portions: use each.');
  }
}

async function isWritten(recipes: RecipesWork['recipes'], id: string): Promise<boolean> {
  if ((await recipes.versionsOf(id)).length > 0) return true;
  return (await recipes.newestVersions()).some((version) => names(version, id));
}

function names(version: RecipeVersion, recipeId: string): boolean {
  return (
    version.lines.some((line) => line.componentId === recipeId) ||
    version.byProducts.some((byProduct) => byProduct.componentId === recipeId)
  );
}

async function refuseWhileUsed(work: RecipesWork, id: string, today: string): Promise<void> {
  const { recipes, versions } = await work.recipes.publishedGraphRows();
  const living = new Map(recipes.filter((r) => !r.archived).map((r) => [r.id, r.name]));
  const inForce = versionsInForce(versions, today);
  const toCome = versions.filter(
    (v) => v.status === 'published' && (v.firstServiceDate ?? '') > today,
  );
  const drafts = await work.recipes.newestVersions();
  const users = [...inForce.values(), ...toCome, ...drafts]
    .filter((version) => version.recipeId !== id && names(version, id))
    .flatMap((version) => living.get(version.recipeId) ?? []);
  const menus = (await work.menus.offersOf([id], today)).map((offer) => offer.menuName);
  const usedBy = [...new Set([...users, ...menus])];
  if (usedBy.length === 0) return;
  throw new Refusal('conflict', `Still used by ${usedBy.slice(0, 5).join(', ')}.`, {
    issues: [{ pointer: '', message: 'Take it out of these first.' }],
    detail: { usedBy },
  });
}
