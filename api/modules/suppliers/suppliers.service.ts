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
import { checkSupplier, packToSave } from './check-supplier.ts';
import { refuseSecondDefault } from './default-pack.ts';
import type {
  Pack,
  PackFilter,
  PackInput,
  PackPriceInput,
  Supplier,
  SupplierInput,
  SuppliersWork,
} from './suppliers.ports.ts';

export interface SuppliersDependencies {
  readonly work: UnitOfWork<SuppliersWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** Suppliers, what they sell in which packs, and what each pack has cost over time. */
export class SuppliersService {
  readonly #deps: SuppliersDependencies;

  constructor(deps: SuppliersDependencies) {
    this.#deps = deps;
  }

  async list(request: PageRequest, archived: boolean): Promise<Page<Supplier>> {
    return this.#deps.work.read.suppliers.page(request, archived);
  }

  async get(id: string): Promise<Supplier> {
    const found = await this.#deps.work.read.suppliers.find(id);
    if (!found) throw notFound('supplier', id);
    return found;
  }

  async create(actor: Actor, input: SupplierInput): Promise<Supplier> {
    checkSupplier(input);
    return this.#deps.work.run(async (work) => {
      await requireSites(work, input.siteIds);
      const made = await work.suppliers.insert(this.#deps.newId('sup'), input);
      await audit(work, actor, 'create', 'supplier', made.id);
      return made;
    });
  }

  async update(actor: Actor, id: string, rev: number, input: SupplierInput): Promise<Supplier> {
    checkSupplier(input);
    return this.#deps.work.run(async (work) => {
      await requireSites(work, input.siteIds);
      const current = await work.suppliers.find(id);
      if (!current) throw notFound('supplier', id);
      if (current.currency !== input.currency && (await hasPrices(work, id))) {
        throw invalid('/currency', `${current.name} has prices in ${current.currency} already.`);
      }
      const saved = await work.suppliers.update(id, input, rev);
      if (!saved) throw lostUpdate('supplier', id, rev, await work.suppliers.find(id));
      await audit(work, actor, 'update', 'supplier', id);
      return saved;
    });
  }

  async setArchived(actor: Actor, id: string, rev: number, archived: boolean): Promise<Supplier> {
    return this.#deps.work.run(async (work) => {
      const saved = await work.suppliers.setArchived(id, archived, rev, this.#deps.clock.now());
      if (!saved) throw lostUpdate('supplier', id, rev, await work.suppliers.find(id));
      await audit(work, actor, archived ? 'archive' : 'restore', 'supplier', id);
      return saved;
    });
  }

  async packs(request: PageRequest, filter: PackFilter): Promise<Page<Pack>> {
    return this.#deps.work.read.suppliers.packPage(request, filter);
  }

  async getPack(id: string): Promise<Pack> {
    const found = await this.#deps.work.read.suppliers.findPack(id);
    if (!found) throw notFound('pack', id);
    return found;
  }

  async createPack(actor: Actor, supplierId: string, input: PackInput): Promise<Pack> {
    return this.#deps.work.run(async (work) => {
      const supplier = await work.suppliers.find(supplierId);
      if (!supplier) throw notFound('supplier', supplierId);
      if (supplier.archived) {
        throw new Refusal('wrong-state', `${supplier.name} is archived; restore it first.`);
      }
      const pack = packToSave(input, await work.ingredients.find(input.ingredientId));
      const id = this.#deps.newId('pack');
      await refuseSecondDefault(work, id, supplier, input);
      const made = await work.suppliers.insertPack(id, supplierId, pack);
      await audit(work, actor, 'create', 'pack', id);
      return made;
    });
  }

  async updatePack(actor: Actor, id: string, rev: number, input: PackInput): Promise<Pack> {
    return this.#deps.work.run(async (work) => {
      const current = await work.suppliers.findPack(id);
      if (!current) throw notFound('pack', id);
      if (current.ingredientId !== input.ingredientId) {
        throw invalid('/ingredientId', 'A pack stays with its ingredient; add a new pack instead.');
      }
      const pack = packToSave(input, await work.ingredients.find(input.ingredientId));
      const supplier = await work.suppliers.find(current.supplierId);
      if (!supplier) throw notFound('supplier', current.supplierId);
      await refuseSecondDefault(work, id, supplier, input);
      const saved = await work.suppliers.updatePack(id, pack, rev);
      if (!saved) throw lostUpdate('pack', id, rev, await work.suppliers.findPack(id));
      await audit(work, actor, 'update', 'pack', id);
      return saved;
    });
  }

  async setPackArchived(actor: Actor, id: string, rev: number, archived: boolean): Promise<Pack> {
    return this.#deps.work.run(async (work) => {
      const saved = await work.suppliers.setPackArchived(id, archived, rev, this.#deps.clock.now());
      if (!saved) throw lostUpdate('pack', id, rev, await work.suppliers.findPack(id));
      await audit(work, actor, archived ? 'archive' : 'restore', 'pack', id);
      return saved;
    });
  }

  /** Adds a price to the pack's history; earlier dates keep the price they had. */
  async addPrice(actor: Actor, packId: string, price: PackPriceInput): Promise<Pack> {
    return this.#deps.work.run(async (work) => {
      if (!(await work.suppliers.findPack(packId))) throw notFound('pack', packId);
      await work.suppliers.insertPrice(this.#deps.newId('price'), packId, price);
      await audit(work, actor, 'price', 'pack', packId, { ...price });
      return requirePack(work, packId);
    });
  }

  /** Takes a price entered by mistake out of the history. */
  async removePrice(actor: Actor, packId: string, priceId: string): Promise<void> {
    await this.#deps.work.run(async (work) => {
      if (!(await work.suppliers.deletePrice(packId, priceId))) throw notFound('price', priceId);
      await audit(work, actor, 'remove-price', 'pack', packId, { priceId });
    });
  }
}

function audit(
  work: SuppliersWork,
  actor: Actor,
  action: string,
  subjectKind: 'supplier' | 'pack',
  subjectId: string,
  detail?: Readonly<Record<string, unknown>>,
): Promise<void> {
  return work.audit.append({
    actor,
    action,
    subjectKind,
    subjectId,
    ...(detail === undefined ? {} : { detail }),
  });
}

async function requirePack(work: SuppliersWork, id: string): Promise<Pack> {
  const pack = await work.suppliers.findPack(id);
  if (!pack) throw notFound('pack', id);
  return pack;
}

async function requireSites(work: SuppliersWork, siteIds: readonly string[]): Promise<void> {
  for (const [i, siteId] of siteIds.entries()) {
    if (!(await work.sites.find(siteId))) {
      throw invalid(`/siteIds/${i}`, `There is no site with the id ${siteId}.`);
    }
  }
}

async function hasPrices(work: SuppliersWork, supplierId: string): Promise<boolean> {
  const { items } = await work.suppliers.packPage(
    { limit: 10_000 },
    { archived: true, supplierId },
  );
  return items.some((pack) => pack.prices.length > 0);
}
