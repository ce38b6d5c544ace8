import {
  invalid,
  lostUpdate,
  notFound,
  type Actor,
  type NewId,
  type UnitOfWork,
} from '../platform/index.ts';
import type { SupplyGap, SupplyGapInput, SupplyTermsWork } from './supply-terms.ports.ts';

export interface SupplyTermsDependencies {
  readonly work: UnitOfWork<SupplyTermsWork>;
  readonly newId: NewId;
}

/** What suppliers cannot give, and when. */
export class GapsService {
  readonly #deps: SupplyTermsDependencies;

  constructor(deps: SupplyTermsDependencies) {
    this.#deps = deps;
  }

  list(filter: {
    readonly from?: string;
    readonly supplierId?: string;
  }): Promise<readonly SupplyGap[]> {
    return this.#deps.work.read.supplyTerms.gaps(filter);
  }

  /** @throws Refusal with the field: a pack of another supplier, an end before the beginning */
  async add(actor: Actor, supplierId: string, input: SupplyGapInput): Promise<SupplyGap> {
    return this.#deps.work.run(async (work) => {
      await judge(work, supplierId, input);
      const id = this.#deps.newId('gap');
      const gap = { ...input, id, supplierId, enteredBy: actor.name, rev: 1 };
      await work.supplyTerms.insertGap(gap);
      await note(work, actor, 'create', gap);
      return gap;
    });
  }

  async change(actor: Actor, id: string, rev: number, input: SupplyGapInput): Promise<SupplyGap> {
    return this.#deps.work.run(async (work) => {
      const standing = await work.supplyTerms.findGap(id);
      if (!standing) throw notFound('supply gap', id);
      await judge(work, standing.supplierId, input);
      if (!(await work.supplyTerms.updateGap(id, input, rev))) {
        throw lostUpdate('supply gap', id, rev, await work.supplyTerms.findGap(id));
      }
      const gap = { ...standing, ...input, rev: rev + 1 };
      await note(work, actor, 'update', gap);
      return gap;
    });
  }

  /** Takes a gap off that was entered by mistake or is over sooner than was thought. */
  async remove(actor: Actor, id: string): Promise<void> {
    await this.#deps.work.run(async (work) => {
      const gap = await work.supplyTerms.findGap(id);
      if (!gap || !(await work.supplyTerms.removeGap(id))) throw notFound('supply gap', id);
      await note(work, actor, 'remove', gap);
    });
  }
}

async function judge(
  work: SupplyTermsWork,
  supplierId: string,
  input: SupplyGapInput,
): Promise<void> {
  const supplier = await work.suppliers.find(supplierId);
  if (!supplier) throw notFound('supplier', supplierId);
  const { packId, ingredientId, kind, fromDate, toDate } = input;
  if (packId !== null && ingredientId !== null) {
    throw invalid('/ingredientId', 'Name a pack or an ingredient, not both.');
  }
  if (packId !== null && (await work.suppliers.findPack(packId))?.supplierId !== supplierId) {
    throw invalid('/packId', `${supplier.name} sells no such pack.`);
  }
  if (ingredientId !== null && !(await work.ingredients.find(ingredientId))) {
    throw invalid('/ingredientId', 'There is no such ingredient.');
  }
  if (toDate !== null && toDate < fromDate) {
    throw invalid('/toDate', 'The last day is before the first.');
  }
  if (kind === 'withdrawn' && toDate !== null) {
    throw invalid('/toDate', 'What is withdrawn does not come back: call it out of stock instead.');
  }
}

const note = (work: SupplyTermsWork, actor: Actor, action: string, gap: SupplyGap) =>
  work.audit.append({
    actor,
    action,
    subjectKind: 'supply gap',
    subjectId: gap.id,
    detail: { supplierId: gap.supplierId, fromDate: gap.fromDate, toDate: gap.toDate },
  });
