import type { AuditTrail, Page, PageRequest } from '../platform/index.ts';

export type RuleSet = 'uk' | 'eu' | 'us';

/** Working hours of a weekday (ISO 1 Monday to 7 Sunday) in the site's zone, and people on shift. */
export interface WorkingHours {
  readonly weekday: number;
  readonly opens: string;
  readonly closes: string;
  readonly people: number;
}

/** What a person sets of a site. */
export interface SiteInput {
  readonly name: string;
  readonly zone: string;
  readonly currency: string;
  readonly ruleSet: RuleSet;
  readonly hours: readonly WorkingHours[];
  /** Where goods are delivered, as orders say it; none when left out. */
  readonly addressLines?: readonly string[];
  /** GS1 global location number; none when left out. */
  readonly gln?: string | null;
}

export interface Site extends SiteInput {
  readonly id: string;
  readonly archived: boolean;
  readonly rev: number;
}

/** What a person sets of a service. Times are local; a service that ends past midnight ends next day. */
export interface ServiceInput {
  readonly name: string;
  readonly startsAt: string;
  readonly endsAt: string;
  readonly weekdays: readonly number[];
  readonly seats: number;
  readonly activeFrom: string | null;
  readonly activeTo: string | null;
}

export interface MealService extends ServiceInput {
  readonly id: string;
  readonly siteId: string;
  readonly archived: boolean;
  readonly rev: number;
}

export interface ClosedDayInput {
  readonly date: string;
  readonly reason: string;
}

export interface ClosedDay extends ClosedDayInput {
  readonly id: string;
  readonly siteId: string;
}

/** What a person sets of a piece of equipment: how many, and what each holds where that matters. */
export interface EquipmentInput {
  readonly kind: string;
  readonly name: string;
  readonly units: number;
  readonly holdsQuantity: number | null;
  readonly holdsUnit: string | null;
}

export interface Equipment extends EquipmentInput {
  readonly id: string;
  readonly siteId: string;
  readonly archived: boolean;
  readonly rev: number;
}

export interface SitesRepository {
  page(
    request: PageRequest,
    filter: { ids: 'all' | readonly string[]; archived: boolean },
  ): Promise<Page<Site>>;
  all(): Promise<readonly Site[]>;
  find(id: string): Promise<Site | null>;
  insert(id: string, input: SiteInput): Promise<Site>;
  update(id: string, input: SiteInput, rev: number): Promise<Site | null>;
  setArchived(id: string, archived: boolean, rev: number, at: Date): Promise<Site | null>;

  servicesOf(siteId: string, archived: boolean): Promise<readonly MealService[]>;
  findService(id: string): Promise<MealService | null>;
  insertService(id: string, siteId: string, input: ServiceInput): Promise<MealService>;
  updateService(id: string, input: ServiceInput, rev: number): Promise<MealService | null>;
  setServiceArchived(
    id: string,
    archived: boolean,
    rev: number,
    at: Date,
  ): Promise<MealService | null>;

  closedDaysOf(siteId: string): Promise<readonly ClosedDay[]>;
  insertClosedDay(id: string, siteId: string, input: ClosedDayInput): Promise<ClosedDay>;
  deleteClosedDay(siteId: string, id: string): Promise<boolean>;

  equipmentOf(siteId: string, archived: boolean): Promise<readonly Equipment[]>;
  findEquipment(id: string): Promise<Equipment | null>;
  insertEquipment(id: string, siteId: string, input: EquipmentInput): Promise<Equipment>;
  updateEquipment(id: string, input: EquipmentInput, rev: number): Promise<Equipment | null>;
  setEquipmentArchived(
    id: string,
    archived: boolean,
    rev: number,
    at: Date,
  ): Promise<Equipment | null>;
}

/** The repositories the sites service works with, inside one transaction. */
export interface SitesWork {
  readonly sites: SitesRepository;
  readonly audit: AuditTrail;
}
