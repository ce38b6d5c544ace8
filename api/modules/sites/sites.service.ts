import { checkGln } from '../../core/codes/index.ts';
import {
  maySeeSite,
  notFound,
  invalid,
  orRefuse,
  requireRevision,
  requireSite,
  type Actor,
  type Clock,
  type NewId,
  type Page,
  type PageRequest,
  type UnitOfWork,
} from '../platform/index.ts';
import type {
  ClosedDay,
  ClosedDayInput,
  Equipment,
  EquipmentInput,
  MealService,
  ServiceInput,
  Site,
  SiteInput,
  SitesWork,
} from './sites.ports.ts';

export interface SitesDependencies {
  readonly work: UnitOfWork<SitesWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

function isZone(zone: string): boolean {
  try {
    new Intl.DateTimeFormat('en-GB', { timeZone: zone });
    return true;
  } catch {
    return false;
  }
}

function checkSite(input: SiteInput): void {
  if (input.gln) orRefuse(checkGln(input.gln), '/gln');
  if (!isZone(input.zone)) throw invalid('/zone', `There is no time zone called ${input.zone}.`);
  const seen = new Set<number>();
  for (const [i, day] of input.hours.entries()) {
    if (seen.has(day.weekday)) {
      throw invalid(`/hours/${i}/weekday`, 'This weekday has hours already; write it once.');
    }
    seen.add(day.weekday);
    if (day.opens === day.closes) {
      throw invalid(`/hours/${i}/closes`, 'Opening and closing time are the same.');
    }
  }
}

function checkService(input: ServiceInput): void {
  if (new Set(input.weekdays).size !== input.weekdays.length) {
    throw invalid('/weekdays', 'A weekday is listed twice.');
  }
  if (input.activeFrom && input.activeTo && input.activeTo < input.activeFrom) {
    throw invalid('/activeTo', 'The last day is before the first.');
  }
}

/** Sites with their services, closed days and equipment. */
export class SitesService {
  readonly #deps: SitesDependencies;

  constructor(deps: SitesDependencies) {
    this.#deps = deps;
  }

  /** The sites the actor may see, by id. */
  async list(actor: Actor, request: PageRequest, archived: boolean): Promise<Page<Site>> {
    return this.#deps.work.read.sites.page(request, { ids: actor.siteIds, archived });
  }

  async get(actor: Actor, id: string): Promise<Site> {
    const site = await this.#deps.work.read.sites.find(id);
    if (!site || !maySeeSite(actor, id)) throw notFound('site', id);
    return site;
  }

  async create(actor: Actor, input: SiteInput): Promise<Site> {
    checkSite(input);
    return this.#deps.work.run(async ({ sites, audit }) => {
      const site = await sites.insert(this.#deps.newId('site'), input);
      await audit.append({
        actor,
        action: 'create',
        subjectKind: 'site',
        subjectId: site.id,
        siteId: site.id,
      });
      return site;
    });
  }

  async update(actor: Actor, id: string, rev: number, input: SiteInput): Promise<Site> {
    checkSite(input);
    return this.#deps.work.run(async ({ sites, audit }) => {
      const saved = await sites.update(id, input, rev);
      if (!saved) throw await this.#lost(id, rev, await sites.find(id), 'site');
      await audit.append({
        actor,
        action: 'update',
        subjectKind: 'site',
        subjectId: id,
        siteId: id,
      });
      return saved;
    });
  }

  async setArchived(actor: Actor, id: string, rev: number, archived: boolean): Promise<Site> {
    return this.#deps.work.run(async ({ sites, audit }) => {
      const saved = await sites.setArchived(id, archived, rev, this.#deps.clock.now());
      if (!saved) throw await this.#lost(id, rev, await sites.find(id), 'site');
      const action = archived ? 'archive' : 'restore';
      await audit.append({ actor, action, subjectKind: 'site', subjectId: id, siteId: id });
      return saved;
    });
  }

  async services(siteId: string, archived: boolean): Promise<readonly MealService[]> {
    await this.#requireSite(siteId);
    return this.#deps.work.read.sites.servicesOf(siteId, archived);
  }

  async getService(actor: Actor, id: string): Promise<MealService> {
    const service = await this.#deps.work.read.sites.findService(id);
    if (!service || !maySeeSite(actor, service.siteId)) throw notFound('service', id);
    return service;
  }

  async createService(siteId: string, input: ServiceInput): Promise<MealService> {
    checkService(input);
    await this.#requireSite(siteId);
    return this.#deps.work.run(({ sites }) =>
      sites.insertService(this.#deps.newId('svc'), siteId, input),
    );
  }

  async updateService(
    actor: Actor,
    id: string,
    rev: number,
    input: ServiceInput,
  ): Promise<MealService> {
    checkService(input);
    requireSite(actor, (await this.getService(actor, id)).siteId);
    return this.#deps.work.run(async ({ sites }) => {
      const saved = await sites.updateService(id, input, rev);
      if (!saved) throw await this.#lost(id, rev, await sites.findService(id), 'service');
      return saved;
    });
  }

  async setServiceArchived(
    actor: Actor,
    id: string,
    rev: number,
    archived: boolean,
  ): Promise<MealService> {
    await this.getService(actor, id);
    return this.#deps.work.run(async ({ sites }) => {
      const saved = await sites.setServiceArchived(id, archived, rev, this.#deps.clock.now());
      if (!saved) throw await this.#lost(id, rev, await sites.findService(id), 'service');
      return saved;
    });
  }

  async closedDays(siteId: string): Promise<readonly ClosedDay[]> {
    await this.#requireSite(siteId);
    return this.#deps.work.read.sites.closedDaysOf(siteId);
  }

  async addClosedDay(siteId: string, input: ClosedDayInput): Promise<ClosedDay> {
    await this.#requireSite(siteId);
    return this.#deps.work.run(({ sites }) =>
      sites.insertClosedDay(this.#deps.newId('day'), siteId, input),
    );
  }

  async removeClosedDay(siteId: string, id: string): Promise<void> {
    const removed = await this.#deps.work.run(({ sites }) => sites.deleteClosedDay(siteId, id));
    if (!removed) throw notFound('closed day', id);
  }

  async equipment(siteId: string, archived: boolean): Promise<readonly Equipment[]> {
    await this.#requireSite(siteId);
    return this.#deps.work.read.sites.equipmentOf(siteId, archived);
  }

  async addEquipment(siteId: string, input: EquipmentInput): Promise<Equipment> {
    await this.#requireSite(siteId);
    return this.#deps.work.run(({ sites }) =>
      sites.insertEquipment(this.#deps.newId('eqp'), siteId, input),
    );
  }

  async updateEquipment(
    actor: Actor,
    id: string,
    rev: number,
    input: EquipmentInput,
  ): Promise<Equipment> {
    await this.#equipmentOf(actor, id);
    return this.#deps.work.run(async ({ sites }) => {
      const saved = await sites.updateEquipment(id, input, rev);
      if (!saved) throw await this.#lost(id, rev, await sites.findEquipment(id), 'equipment');
      return saved;
    });
  }

  async setEquipmentArchived(
    actor: Actor,
    id: string,
    rev: number,
    archived: boolean,
  ): Promise<Equipment> {
    await this.#equipmentOf(actor, id);
    return this.#deps.work.run(async ({ sites }) => {
      const saved = await sites.setEquipmentArchived(id, archived, rev, this.#deps.clock.now());
      if (!saved) throw await this.#lost(id, rev, await sites.findEquipment(id), 'equipment');
      return saved;
    });
  }

  async #equipmentOf(actor: Actor, id: string): Promise<Equipment> {
    const found = await this.#deps.work.read.sites.findEquipment(id);
    if (!found || !maySeeSite(actor, found.siteId)) throw notFound('equipment', id);
    return found;
  }

  async #requireSite(siteId: string): Promise<void> {
    if (!(await this.#deps.work.read.sites.find(siteId))) throw notFound('site', siteId);
  }

  async #lost(
    id: string,
    rev: number,
    current: { readonly rev: number } | null,
    noun: string,
  ): Promise<Error> {
    if (!current) return notFound(noun, id);
    requireRevision(rev, current);
    return new Error(`The ${noun} ${id} could not be saved.`);
  }
}
