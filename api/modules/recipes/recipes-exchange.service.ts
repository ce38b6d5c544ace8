import { Refusal, type Actor } from '../platform/index.ts';
import { refuseCycle } from './check-graph.ts';
import type {
  ExchangedRecipe,
  ExchangedVersion,
  ExchangeOutcome,
  ExchangeProblem,
  ExchangeReport,
} from './exchange.ports.ts';
import { exchanged, nameKey, standIn, standInOf, withIds } from './exchange-names.ts';
import { loadLarder, type Larder } from './larder.ts';
import { versionsInForce } from './recipes-on.ts';
import { fromSchemaOrg, type ReadableRecipe, type SchemaOrgSettings } from './schema-org.ts';
import { checkRecipe, type RecipesDependencies } from './recipes.service.ts';
import type {
  Recipe,
  RecipesWork,
  RecipeVersion,
  VersionInput,
  VersionToSave,
} from './recipes.ports.ts';
import { readVersion, toInput } from './write-version.ts';

/** A recipe of the file, placed among what is there. */
interface Placed {
  readonly at: string;
  readonly recipe: Recipe;
  readonly isNew: boolean;
  readonly input: VersionInput | null;
}
interface Reading {
  readonly placed: readonly (Placed & { readonly version: VersionToSave | null })[];
  readonly problems: readonly ExchangeProblem[];
  readonly newest: ReadonlyMap<string, RecipeVersion>;
}

/** Recipes out of and into files. What comes in is a draft; nothing is published by a file. */
export class RecipesExchangeService {
  readonly #deps: RecipesDependencies;

  constructor(deps: RecipesDependencies) {
    this.#deps = deps;
  }

  /** The recipes in force on a date, with names in place of ids. */
  async export(date: string): Promise<readonly ExchangedRecipe[]> {
    const { recipes, ingredients } = this.#deps.work.read;
    const published = await recipes.publishedGraphRows(date);
    const inForce = versionsInForce(published.versions, date);
    const names = new Map(
      [...published.recipes, ...(await ingredients.all())].map((item) => [item.id, item.name]),
    );
    const asByProduct = new Set(
      [...inForce.values()].flatMap((v) => v.byProducts.map((by) => by.componentId)),
    );
    return published.recipes.flatMap((recipe): ExchangedRecipe[] => {
      const version = inForce.get(recipe.id);
      if (recipe.archived || (!version && !asByProduct.has(recipe.id))) return [];
      const { kind, name, baseUnit, station } = recipe;
      return [
        { kind, name, baseUnit, station, version: version ? exchanged(version, names) : null },
      ];
    });
  }

  /**
   * Reads recipes by name: known ones get a new draft where something differs, others are made.
   * Components may come later in the same file. All of it lands, or nothing.
   * @throws Refusal `invalid-input` with an issue for every problem when it is not a dry run
   */
  async import(
    actor: Actor,
    file: readonly ExchangedRecipe[],
    dryRun: boolean,
  ): Promise<ExchangeReport> {
    const { work } = this.#deps;
    if (dryRun) return this.#report(await this.#read(work.read, file), true);
    return work.run(async (inside) => {
      const reading = await this.#read(inside, file);
      refuseProblems(reading.problems);
      return this.#write(inside, actor, reading);
    });
  }

  /**
   * Reads a schema.org recipe as a draft. Problems point into that document.
   * @throws Refusal `invalid-input` with an issue for every problem when it is not a dry run
   */
  async importSchemaOrg(
    actor: Actor,
    source: ReadableRecipe,
    settings: SchemaOrgSettings,
    dryRun: boolean,
  ): Promise<ExchangeReport> {
    const larder = await loadLarder(this.#deps.work.read);
    const { recipe, problems } = fromSchemaOrg(source, settings, larder);
    if (recipe) {
      const trial = await this.import(actor, [recipe], true);
      const own = trial.problems.map(({ pointer, message }) => ({
        pointer: inSchemaOrg(pointer),
        message,
      }));
      if (own.length === 0) return dryRun ? trial : this.import(actor, [recipe], false);
      if (dryRun) return { ...trial, problems: own };
      refuseProblems(own);
    }
    if (!dryRun) refuseProblems(problems);
    return { dryRun, recipes: [], problems };
  }

  async #read(
    work: Pick<RecipesWork, 'recipes' | 'ingredients'>,
    file: readonly ExchangedRecipe[],
  ): Promise<Reading> {
    const larder = await loadLarder(work);
    const problems: ExchangeProblem[] = [];
    const { placed, recipes } = this.#place(file, larder, problems);
    const newest = new Map(larder.newest);
    // What a piece of a component weighs may stand further down in the file.
    for (const { recipe, input } of placed) {
      if (input) newest.set(recipe.id, standIn(recipe, input));
    }
    const known: Larder = { ingredients: larder.ingredients, recipes, newest };
    const read = placed.map((one) => ({
      ...one,
      version: one.input ? attempt(one.at, problems, () => readOne(one, known)) : null,
    }));
    for (const { recipe, version } of read) {
      if (version) newest.set(recipe.id, standInOf(recipe, version));
    }
    for (const { at, recipe, version } of read) {
      if (version) attempt(at, problems, () => refuseCycle(recipe, version, known));
    }
    return { placed: read, problems, newest: larder.newest };
  }

  /** Finds each recipe by name or makes it, and turns names on its lines into ids. */
  #place(file: readonly ExchangedRecipe[], larder: Larder, problems: ExchangeProblem[]) {
    const byName = new Map([...larder.recipes.values()].map((r) => [nameKey(r.name), r]));
    const recipes = new Map(larder.recipes);
    const found: {
      at: string;
      recipe: Recipe;
      isNew: boolean;
      version: ExchangedVersion | null;
    }[] = [];
    const seen = new Set<string>();
    for (const [i, { version, ...input }] of file.entries()) {
      const at = `/recipes/${i}`;
      const key = nameKey(input.name);
      const known = byName.get(key);
      const message = seen.has(key)
        ? `${input.name} is in the file twice.`
        : known?.archived === true
          ? `${known.name} is archived; restore it first.`
          : null;
      seen.add(key);
      if (message !== null) {
        problems.push({ pointer: `${at}/name`, message });
        continue;
      }
      const differs = (['kind', 'baseUnit'] as const).find((f) => known && known[f] !== input[f]);
      if (differs !== undefined && known) {
        const is = `${known.name} is there already as ${known[differs]}.`;
        problems.push({ pointer: `${at}/${differs}`, message: is });
        continue;
      }
      if (attempt(at, problems, () => checkRecipe(input) ?? true) === null) continue;
      const recipe = known ?? { id: this.#deps.newId('rcp'), ...input, archived: false, rev: 1 };
      recipes.set(recipe.id, recipe);
      byName.set(key, recipe);
      found.push({ at, recipe, isNew: known === undefined, version });
    }
    const ingredientsByName = new Map(
      [...larder.ingredients.values()].map((row) => [nameKey(row.name), row.id]),
    );
    const componentsByName = new Map([...byName].map(([key, recipe]) => [key, recipe.id]));
    const placed = found.map(({ version, ...rest }): Placed => ({
      ...rest,
      input: version && withIds(version, rest.at, ingredientsByName, componentsByName, problems),
    }));
    return { placed, recipes };
  }

  async #write(work: RecipesWork, actor: Actor, reading: Reading): Promise<ExchangeReport> {
    const { newId, clock } = this.#deps;
    for (const { recipe, isNew } of reading.placed) {
      const { kind, name, baseUnit, station } = recipe;
      if (isNew) await work.recipes.insert(recipe.id, { kind, name, baseUnit, station });
    }
    const report = this.#report(reading, false);
    for (const [i, { recipe, version }] of reading.placed.entries()) {
      const id = report.recipes[i]?.versionId;
      if (!version || id === null || id === undefined) continue;
      const [last] = await work.recipes.versionsOf(recipe.id);
      await work.recipes.insertVersion(id, recipe.id, version, {
        number: (last?.number ?? 0) + 1,
        by: actor.id,
        at: clock.now(),
      });
    }
    await work.audit.append({
      actor,
      action: 'import',
      subjectKind: 'recipes',
      subjectId: newId('imp'),
      detail: { recipes: report.recipes.map(({ recipeId }) => recipeId) },
    });
    return report;
  }

  #report({ placed, problems, newest }: Reading, dryRun: boolean): ExchangeReport {
    return {
      dryRun,
      problems,
      recipes: placed.map(({ recipe, isNew, version }): ExchangeOutcome => {
        const current = newest.get(recipe.id);
        const same = current && version && sameContents(current, version);
        return {
          name: recipe.name,
          recipeId: recipe.id,
          versionId: version && !same ? this.#deps.newId('ver') : null,
          isNew,
        };
      }),
    };
  }
}

function refuseProblems(problems: readonly ExchangeProblem[]): void {
  if (problems.length === 0) return;
  throw new Refusal('invalid-input', 'The file is not right; nothing was imported.', {
    issues: problems,
  });
}

/** Where a field of the draft came from in a schema.org recipe. */
function inSchemaOrg(pointer: string): string {
  const line = /^\/recipes\/0\/version\/lines\/(\d+)/.exec(pointer);
  if (line) return `/recipeIngredient/${line[1]}`;
  if (/^\/recipes\/0\/version\/(output|batch)/.test(pointer)) return '/recipeYield';
  if (/^\/recipes\/0\/(kind|baseUnit)/.test(pointer)) return '/recipeYield';
  return pointer.startsWith('/recipes/0/name') ? '/name' : '';
}

/** Reads one version; a name that is not known has been said already. */
function readOne({ recipe, input }: Placed, larder: Larder): VersionToSave | null {
  if (!input) return null;
  const named = input.lines.every((l) => l.ingredientId !== '' && l.componentId !== '');
  if (!named || input.byProducts.some((by) => by.componentId === '')) return null;
  return readVersion(recipe, input, larder);
}

function attempt<T>(at: string, problems: ExchangeProblem[], run: () => T): T | null {
  try {
    return run();
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    const issues =
      error.issues.length > 0 ? error.issues : [{ pointer: '', message: error.message }];
    for (const { pointer, message } of issues) {
      const within = /^\/(kind|name|baseUnit|station)/.test(pointer) ? '' : '/version';
      problems.push({ pointer: `${at}${within}${byName(pointer)}`, message });
    }
    return null;
  }
}

/** Files say ingredient and component where versions have ids. */
function byName(pointer: string): string {
  return pointer.replace(/\/ingredientId$/, '/ingredient').replace(/\/componentId$/, '/component');
}

function sameContents(current: RecipeVersion, version: VersionToSave): boolean {
  return JSON.stringify(toInput(current)) === JSON.stringify(toInput(version));
}
