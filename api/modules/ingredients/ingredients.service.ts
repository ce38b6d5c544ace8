import {
  invalid,
  lostUpdate,
  notFound,
  Refusal,
  type Actor,
  type Clock,
  type NewId,
  type Page,
  type PageRequest,
  type UnitOfWork,
} from '../platform/index.ts';
import { checkIngredient, checkPart, checkPiece } from './check-ingredient.ts';
import type {
  Ingredient,
  IngredientFilter,
  IngredientInput,
  IngredientsRepository,
  IngredientsWork,
  IngredientUse,
} from './ingredients.ports.ts';

export interface IngredientsDependencies {
  readonly work: UnitOfWork<IngredientsWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** What is bought: measures, parts of a piece, allergens, nutrition and seasons. */
export class IngredientsService {
  readonly #deps: IngredientsDependencies;

  constructor(deps: IngredientsDependencies) {
    this.#deps = deps;
  }

  async list(request: PageRequest, filter: IngredientFilter): Promise<Page<Ingredient>> {
    return this.#deps.work.read.ingredients.page(request, filter);
  }

  async get(id: string): Promise<Ingredient> {
    const found = await this.#deps.work.read.ingredients.find(id);
    if (!found) throw notFound('ingredient', id);
    return found;
  }

  /** The parts that are taken from a piece, in the order of taking. */
  async parts(id: string): Promise<readonly Ingredient[]> {
    await this.get(id);
    return this.#deps.work.read.ingredients.partsOf(id);
  }

  /** The recipe versions with a line of this ingredient, newest first. */
  async usedIn(id: string): Promise<readonly IngredientUse[]> {
    await this.get(id);
    return this.#deps.work.read.ingredients.usesOf(id);
  }

  async create(actor: Actor, input: IngredientInput): Promise<Ingredient> {
    checkIngredient(input);
    return this.#deps.work.run(async (work) => {
      const id = this.#deps.newId('ing');
      await this.#checkPart(work.ingredients, id, input);
      const made = await work.ingredients.insert(id, input);
      await work.audit.append({
        actor,
        action: 'create',
        subjectKind: 'ingredient',
        subjectId: id,
      });
      return made;
    });
  }

  async update(actor: Actor, id: string, rev: number, input: IngredientInput): Promise<Ingredient> {
    checkIngredient(input);
    return this.#deps.work.run(async (work) => {
      const current = await work.ingredients.find(id);
      if (!current) throw notFound('ingredient', id);
      if (current.baseUnit !== input.baseUnit && (await work.ingredients.holdsQuantities(id))) {
        throw invalid(
          '/baseUnit',
          `Recipes, packs or stock hold ${current.name} in ${current.baseUnit}; make a new ingredient instead.`,
        );
      }
      await this.#checkPart(work.ingredients, id, input);
      const saved = await work.ingredients.update(id, input, rev);
      if (!saved) throw lostUpdate('ingredient', id, rev, await work.ingredients.find(id));
      await work.audit.append({
        actor,
        action: 'update',
        subjectKind: 'ingredient',
        subjectId: id,
        detail: {
          allergensBefore: current.allergens,
          allergensAfter: saved.allergens,
        },
      });
      return saved;
    });
  }

  /** Archiving is refused while a recipe in force names the ingredient. */
  async setArchived(actor: Actor, id: string, rev: number, archived: boolean): Promise<Ingredient> {
    return this.#deps.work.run(async (work) => {
      if (archived) await refuseWhileUsed(work.ingredients, id);
      const saved = await work.ingredients.setArchived(id, archived, rev, this.#deps.clock.now());
      if (!saved) throw lostUpdate('ingredient', id, rev, await work.ingredients.find(id));
      const action = archived ? 'archive' : 'restore';
      await work.audit.append({ actor, action, subjectKind: 'ingredient', subjectId: id });
      return saved;
    });
  }

  async #checkPart(
    ingredients: IngredientsRepository,
    id: string,
    input: IngredientInput,
  ): Promise<void> {
    const ownParts = await ingredients.partsOf(id);
    if (ownParts.length > 0) checkPiece({ ...input, id }, ownParts);
    if (input.partOf === null) return;
    const piece = await ingredients.find(input.partOf.pieceId);
    checkPart(id, input, piece, await ingredients.partsOf(input.partOf.pieceId));
  }
}

async function refuseWhileUsed(ingredients: IngredientsRepository, id: string): Promise<void> {
  const uses = (await ingredients.usesOf(id)).filter((use) => use.status !== 'withdrawn');
  const parts = (await ingredients.partsOf(id)).filter((part) => !part.archived);
  const names = [...new Set([...uses.map((use) => use.recipeName), ...parts.map((p) => p.name)])];
  if (names.length === 0) return;
  throw new Refusal('conflict', `Still used by ${names.slice(0, 5).join(', ')}.`, {
    issues: [{ pointer: '', message: 'Take it out of these recipes first, or mark it withdrawn.' }],
    detail: { usedBy: names },
  });
}
