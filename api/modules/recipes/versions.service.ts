import {
  invalid,
  lostUpdate,
  notFound,
  Refusal,
  requireRevision,
  type Actor,
} from '../platform/index.ts';
import { refuseCycle } from './check-graph.ts';
import { describeDifference, type VersionDifference } from './difference.ts';
import { publishVersion, withdrawVersion } from './publish.ts';
import type { RecipesDependencies } from './recipes.service.ts';
import { refuseStaleDraft } from './stale-draft.ts';
import { readVersionAtSite, type VersionAtSite } from './version-at-site.ts';
import type {
  Recipe,
  RecipesWork,
  RecipeVersion,
  VersionInput,
  VersionMove,
  VersionToSave,
} from './recipes.ports.ts';
import { loadLarder } from './larder.ts';
import { readVersion, toInput } from './write-version.ts';

/** A version with the names of everything it names, for reading. */
export interface NamedVersion {
  readonly version: RecipeVersion;
  readonly recipe: Recipe;
  /** Names and base units by item id. */
  readonly items: ReadonlyMap<string, { readonly name: string; readonly baseUnit: string }>;
}

/** Versions of recipes on their way from draft through review to service. */
export class VersionsService {
  readonly #deps: RecipesDependencies;

  constructor(deps: RecipesDependencies) {
    this.#deps = deps;
  }

  async get(id: string): Promise<RecipeVersion> {
    const found = await this.#deps.work.read.recipes.findVersion(id);
    if (!found) throw notFound('recipe version', id);
    return found;
  }

  /** As a site makes it on a date; the group's own wording where no site is named. */
  async atSite(
    actor: Actor,
    version: RecipeVersion,
    siteId: string | undefined,
    date: string,
  ): Promise<VersionAtSite> {
    if (siteId === undefined) return { version, changes: [] };
    return readVersionAtSite(this.#deps.work.read, actor, version, siteId, date);
  }

  /** Adds the names of what the versions name. */
  async named(versions: readonly RecipeVersion[]): Promise<readonly NamedVersion[]> {
    const { recipes, ingredients } = this.#deps.work.read;
    const recipeRows = new Map((await recipes.all()).map((recipe) => [recipe.id, recipe]));
    const ids = versions.flatMap(({ lines }) => lines.flatMap((line) => line.ingredientId ?? []));
    const items = new Map<string, { name: string; baseUnit: string }>(recipeRows);
    for (const ingredient of await ingredients.findMany(ids)) items.set(ingredient.id, ingredient);
    return versions.flatMap((version) => {
      const recipe = recipeRows.get(version.recipeId);
      return recipe ? [{ version, recipe, items }] : [];
    });
  }

  /** Begins a draft. Refusals as `readVersion` and `refuseCycle`; nothing is kept then. */
  async createDraft(actor: Actor, recipeId: string, input: VersionInput): Promise<RecipeVersion> {
    return this.#deps.work.run(async (work) => {
      const { recipe, version } = await this.#read(work, recipeId, input);
      const [newest] = await work.recipes.versionsOf(recipeId);
      const made = await work.recipes.insertVersion(this.#deps.newId('ver'), recipe.id, version, {
        number: (newest?.number ?? 0) + 1,
        by: actor.id,
        at: this.#deps.clock.now(),
      });
      await this.#audit(work, actor, 'create', made);
      return made;
    });
  }

  /**
   * A draft as it would be kept, read and checked but not saved. Refusals as `createDraft`.
   * @returns a version with the id and number of none
   */
  async tryDraft(recipeId: string, input: VersionInput): Promise<RecipeVersion> {
    const { version } = await this.#read(this.#deps.work.read, recipeId, input);
    return unsaved(recipeId, version);
  }

  /** Begins a draft with the contents of an earlier version. */
  async copyDraft(actor: Actor, versionId: string): Promise<RecipeVersion> {
    const from = await this.get(versionId);
    return this.createDraft(actor, from.recipeId, toInput(from));
  }

  async updateDraft(
    actor: Actor,
    id: string,
    rev: number,
    input: VersionInput,
  ): Promise<RecipeVersion> {
    return this.#deps.work.run(async (work) => {
      const current = await requireVersion(work, id);
      await refuseStaleDraft(work, current, rev);
      requireStatus(current, 'draft', 'Only drafts are edited; begin a new one.');
      const { version } = await this.#read(work, current.recipeId, input);
      const saved = await work.recipes.updateVersion(id, version, rev);
      if (!saved) throw lostUpdate('recipe version', id, rev, await work.recipes.findVersion(id));
      await work.recipes.keepRevision(current, actor.name, this.#deps.clock.now());
      await this.#audit(work, actor, 'update', saved);
      return saved;
    });
  }

  async deleteDraft(actor: Actor, id: string, rev: number): Promise<void> {
    await this.#deps.work.run(async (work) => {
      const current = await requireVersion(work, id);
      requireRevision(rev, current);
      requireStatus(current, 'draft', 'Only drafts are thrown away; withdraw a published version.');
      if (!(await work.recipes.deleteVersion(id, rev))) {
        throw lostUpdate('recipe version', id, rev, await work.recipes.findVersion(id));
      }
      await this.#audit(work, actor, 'delete', current);
    });
  }

  async submit(actor: Actor, id: string, rev: number): Promise<RecipeVersion> {
    const message = 'Only a draft is sent for review.';
    return this.#move(actor, id, rev, 'submit', 'draft', message, (version) => {
      if (version.lines.length === 0) throw invalid('/lines', 'The recipe has no lines yet.');
      return {
        status: 'in_review',
        submittedBy: actor.id,
        submittedAt: this.#deps.clock.now(),
      };
    });
  }

  /** Back from review to the person writing. */
  async sendBack(actor: Actor, id: string, rev: number): Promise<RecipeVersion> {
    const message = 'Only a version in review is sent back.';
    return this.#move(actor, id, rev, 'send-back', 'in_review', message, () => ({
      status: 'draft',
      submittedBy: null,
      submittedAt: null,
    }));
  }

  /** Publishes from a first service date. Refusals as `publishVersion`. */
  async publish(
    actor: Actor,
    id: string,
    rev: number,
    firstServiceDate: string,
  ): Promise<RecipeVersion> {
    return this.#deps.work.run(async (work) => {
      const now = this.#deps.clock.now();
      const saved = await publishVersion(work, { actor, id, rev, firstServiceDate, now });
      await this.#audit(work, actor, 'publish', saved, { firstServiceDate });
      return saved;
    });
  }

  /** Takes a published version out of force from today on. Refusals as `withdrawVersion`. */
  async withdraw(actor: Actor, id: string, rev: number, reason: string): Promise<RecipeVersion> {
    return this.#deps.work.run(async (work) => {
      const saved = await withdrawVersion(work, { actor, id, rev, now: this.#deps.clock.now() });
      await this.#audit(work, actor, 'withdraw', saved, { reason });
      return saved;
    });
  }

  /** What changes from one version to another of the same recipe, in a cook's words. */
  async difference(id: string, fromId: string | undefined): Promise<VersionDifference> {
    const to = await this.get(id);
    const all = await this.#deps.work.read.recipes.versionsOf(to.recipeId);
    const from =
      fromId === undefined
        ? all.find((version) => version.number < to.number)
        : all.find((version) => version.id === fromId);
    if (!from) {
      throw fromId === undefined
        ? new Refusal('not-found', 'This is the first version; there is none before it.')
        : invalid('/querystring/from', 'That is not a version of the same recipe.');
    }
    const [named] = await this.named([to]);
    const [namedFrom] = await this.named([from]);
    if (!named || !namedFrom) throw notFound('recipe', to.recipeId);
    const items = new Map([...namedFrom.items, ...named.items]);
    return describeDifference(named.recipe, from, to, items);
  }

  async #read(
    work: Pick<RecipesWork, 'recipes' | 'ingredients'>,
    recipeId: string,
    input: VersionInput,
  ): Promise<{ recipe: Recipe; version: VersionToSave }> {
    const larder = await loadLarder(work);
    const recipe = larder.recipes.get(recipeId);
    if (!recipe) throw notFound('recipe', recipeId);
    if (recipe.archived) {
      throw new Refusal('wrong-state', `${recipe.name} is archived; restore it first.`);
    }
    const version = readVersion(recipe, input, larder);
    refuseCycle(recipe, version, larder);
    return { recipe, version };
  }

  async #move(
    actor: Actor,
    id: string,
    rev: number,
    action: string,
    from: RecipeVersion['status'],
    otherwise: string,
    moveOf: (version: RecipeVersion) => VersionMove,
  ): Promise<RecipeVersion> {
    return this.#deps.work.run(async (work) => {
      const current = await requireVersion(work, id);
      requireRevision(rev, current);
      requireStatus(current, from, otherwise);
      const saved = await work.recipes.moveVersion(id, moveOf(current), rev);
      if (!saved) throw lostUpdate('recipe version', id, rev, await work.recipes.findVersion(id));
      await this.#audit(work, actor, action, saved);
      return saved;
    });
  }

  #audit(
    work: RecipesWork,
    actor: Actor,
    action: string,
    version: RecipeVersion,
    detail: Readonly<Record<string, unknown>> = {},
  ): Promise<void> {
    const { recipeId, number } = version;
    return work.audit.append({
      actor,
      action,
      subjectKind: 'recipe-version',
      subjectId: version.id,
      detail: { recipeId, number, ...detail },
    });
  }
}

/** The id of what nobody has saved. */
export const UNSAVED = 'unsaved';

function unsaved(recipeId: string, version: VersionToSave): RecipeVersion {
  const numbered = <T>(rows: readonly T[], stem: string) =>
    rows.map((row, at) => ({ ...row, id: `${stem}_${at}` }));
  return {
    ...version,
    id: UNSAVED,
    recipeId,
    number: 0,
    status: 'draft',
    firstServiceDate: null,
    withdrawnFrom: null,
    lines: numbered(version.lines, 'line'),
    steps: numbered(version.steps, 'step'),
    byProducts: numbered(version.byProducts, 'byproduct'),
    createdBy: '',
    createdAt: new Date(0),
    submittedBy: null,
    submittedAt: null,
    publishedBy: null,
    publishedAt: null,
    rev: 0,
  };
}

async function requireVersion(work: RecipesWork, id: string): Promise<RecipeVersion> {
  const version = await work.recipes.findVersion(id);
  if (!version) throw notFound('recipe version', id);
  return version;
}

function requireStatus(
  version: RecipeVersion,
  status: RecipeVersion['status'],
  otherwise: string,
): void {
  if (version.status !== status) {
    throw new Refusal('wrong-state', otherwise, { detail: { status: version.status } });
  }
}
