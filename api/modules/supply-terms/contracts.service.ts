import {
  invalid,
  lostUpdate,
  maySeeSite,
  notFound,
  Refusal,
  type Actor,
} from '../platform/index.ts';
import type { SupplyTermsDependencies } from './gaps.service.ts';
import type { Contract, ContractInput, SupplyTermsWork } from './supply-terms.ports.ts';

/** Which suppliers the sites are bound to. */
export class ContractsService {
  readonly #deps: SupplyTermsDependencies;

  constructor(deps: SupplyTermsDependencies) {
    this.#deps = deps;
  }

  /** Contracts of the actor's sites. */
  async list(
    actor: Actor,
    filter: { readonly siteId?: string; readonly supplierId?: string },
  ): Promise<readonly Contract[]> {
    const { siteId, supplierId } = filter;
    if (siteId !== undefined && !maySeeSite(actor, siteId)) throw notFound('site', siteId);
    return this.#deps.work.read.supplyTerms.contracts({
      siteIds: siteId === undefined ? actor.siteIds : [siteId],
      ...(supplierId === undefined ? {} : { supplierId }),
    });
  }

  /**
   * @throws Refusal with the field: a supplier that does not deliver to the site or is paid in another
   *         currency, an ingredient and a category together, a category of nothing, an end before the
   *         beginning; `conflict` where the same contract stands for some of the dates
   */
  async add(actor: Actor, input: ContractInput): Promise<Contract> {
    return this.#deps.work.run(async (work) => {
      await judge(work, actor, input, null);
      const contract = {
        ...input,
        id: this.#deps.newId('con'),
        enteredBy: actor.name,
        rev: 1,
      };
      await work.supplyTerms.insertContract(contract);
      await note(work, actor, 'create', contract);
      return contract;
    });
  }

  async change(actor: Actor, id: string, rev: number, input: ContractInput): Promise<Contract> {
    return this.#deps.work.run(async (work) => {
      const standing = await this.#standing(work, actor, id);
      if (standing.siteId !== input.siteId) {
        throw invalid('/siteId', 'A contract stays with its site; enter another one.');
      }
      await judge(work, actor, input, id);
      if (!(await work.supplyTerms.updateContract(id, input, rev))) {
        throw lostUpdate('supply contract', id, rev, await work.supplyTerms.findContract(id));
      }
      const contract = { ...standing, ...input, rev: rev + 1 };
      await note(work, actor, 'update', contract);
      return contract;
    });
  }

  async remove(actor: Actor, id: string): Promise<void> {
    await this.#deps.work.run(async (work) => {
      const contract = await this.#standing(work, actor, id);
      if (!(await work.supplyTerms.removeContract(id))) throw notFound('supply contract', id);
      await note(work, actor, 'remove', contract);
    });
  }

  async #standing(work: SupplyTermsWork, actor: Actor, id: string): Promise<Contract> {
    const found = await work.supplyTerms.findContract(id);
    if (!found || !maySeeSite(actor, found.siteId)) throw notFound('supply contract', id);
    return found;
  }
}

async function judge(
  work: SupplyTermsWork,
  actor: Actor,
  input: ContractInput,
  ownId: string | null,
): Promise<void> {
  const site = await work.sites.find(input.siteId);
  if (!site || !maySeeSite(actor, input.siteId)) throw notFound('site', input.siteId);
  const supplier = await work.suppliers.find(input.supplierId);
  if (!supplier || supplier.archived || !supplier.siteIds.includes(site.id)) {
    throw invalid('/supplierId', `No supplier of that id delivers to ${site.name}.`);
  }
  if (supplier.currency !== site.currency) {
    throw invalid(
      '/supplierId',
      `${supplier.name} is paid in ${supplier.currency}, ${site.name} buys in ${site.currency}.`,
    );
  }
  if (input.ingredientId !== null && input.category !== null) {
    throw invalid('/category', 'Name an ingredient or a category, not both.');
  }
  const all = await work.ingredients.all();
  if (input.ingredientId !== null && !all.some((one) => one.id === input.ingredientId)) {
    throw invalid('/ingredientId', 'There is no such ingredient.');
  }
  if (input.category !== null && !all.some((one) => one.category === input.category)) {
    throw invalid('/category', `No ingredient is of the category ${input.category}.`);
  }
  if (input.toDate !== null && input.toDate < input.fromDate) {
    throw invalid('/toDate', 'The last day is before the first.');
  }
  const others = await work.supplyTerms.contracts({ siteIds: [site.id] });
  const twin = others.find((other) => other.id !== ownId && isSameFor(other, input));
  if (twin) {
    throw new Refusal('conflict', 'The same contract stands for some of these days already.', {
      issues: [{ pointer: '/fromDate', message: `It holds from ${twin.fromDate}.` }],
      detail: { contractId: twin.id },
    });
  }
}

const isSameFor = (a: ContractInput, b: ContractInput): boolean =>
  a.supplierId === b.supplierId &&
  a.ingredientId === b.ingredientId &&
  a.category === b.category &&
  (a.toDate === null || b.fromDate <= a.toDate) &&
  (b.toDate === null || a.fromDate <= b.toDate);

const note = (work: SupplyTermsWork, actor: Actor, action: string, contract: Contract) =>
  work.audit.append({
    actor,
    action,
    subjectKind: 'supply contract',
    subjectId: contract.id,
    detail: {
      siteId: contract.siteId,
      supplierId: contract.supplierId,
      fromDate: contract.fromDate,
      toDate: contract.toDate,
    },
  });
