import { invalid, notFound, type Actor } from '../platform/index.ts';
import type { SupplyTermsDependencies } from './gaps.service.ts';
import type { Substitute } from './supply-terms.ports.ts';

/** What may stand in for what: the lead's word, because it changes a recipe. */
export class SubstitutesService {
  readonly #deps: SupplyTermsDependencies;

  constructor(deps: SupplyTermsDependencies) {
    this.#deps = deps;
  }

  async of(ingredientId: string): Promise<readonly Substitute[]> {
    const { ingredients, supplyTerms } = this.#deps.work.read;
    if (!(await ingredients.find(ingredientId))) throw notFound('ingredient', ingredientId);
    return supplyTerms.substitutesOf([ingredientId]);
  }

  /** @throws Refusal where an ingredient stands in for itself, is taken from a piece or is not bought */
  async put(
    actor: Actor,
    ingredientId: string,
    substituteId: string,
    input: { readonly ratio: number; readonly note: string | null },
  ): Promise<readonly Substitute[]> {
    return this.#deps.work.run(async (work) => {
      const original = await work.ingredients.find(ingredientId);
      if (!original) throw notFound('ingredient', ingredientId);
      const other = await work.ingredients.find(substituteId);
      if (!other || other.archived) throw notFound('ingredient', substituteId);
      if (substituteId === ingredientId) {
        throw invalid('', `${original.name} cannot stand in for itself.`);
      }
      if (other.partOf !== null || other.notBought) {
        throw invalid('', `${other.name} is not bought itself: name what is bought.`);
      }
      const entry = { ...input, ingredientId, substituteId, enteredBy: actor.name };
      await work.supplyTerms.putSubstitute(this.#deps.newId('sst'), entry);
      await work.audit.append({
        actor,
        action: 'substitute',
        subjectKind: 'ingredient',
        subjectId: ingredientId,
        detail: { substituteId, ratio: input.ratio },
      });
      return work.supplyTerms.substitutesOf([ingredientId]);
    });
  }

  async remove(actor: Actor, ingredientId: string, substituteId: string): Promise<void> {
    await this.#deps.work.run(async (work) => {
      if (!(await work.supplyTerms.removeSubstitute(ingredientId, substituteId))) {
        throw notFound('substitute', substituteId);
      }
      await work.audit.append({
        actor,
        action: 'no substitute',
        subjectKind: 'ingredient',
        subjectId: ingredientId,
        detail: { substituteId },
      });
    });
  }
}
