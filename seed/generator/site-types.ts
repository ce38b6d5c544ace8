import type { DemoBuying } from './buying.ts';
import type { DemoMaking, DemoWay } from './between-sites.ts';
import type {
  ClockTime,
  CurrencyCode,
  DemoIngredient,
  DemoRecipe,
  IsoWeekday,
  RuleSet,
  Season,
} from './item-types.ts';

export interface DemoService {
  readonly key: string;
  readonly name: string;
  readonly startTime: ClockTime;
  readonly endTime: ClockTime;
  readonly weekdays: readonly IsoWeekday[];
  /** Covers the room can serve in this service (seats times turns). */
  readonly maxCovers: number;
  /** What the lead states before there is any history. */
  readonly statedCovers: number;
}

export interface DemoEquipment {
  readonly kind: string;
  readonly name: string;
  /** Oven decks, shelves, machines or mould cavities. */
  readonly count: number;
}

/** How guests come to a site's service; only the generator reads it. */
export interface DemandProfile {
  readonly service: string;
  /** Typical covers on an average day, before weekday and month. */
  readonly baseCovers: number;
  readonly weekdayFactors: readonly [number, number, number, number, number, number, number];
  /** January to December. */
  readonly monthFactors: readonly number[];
  /** Growth a year, 0.05 is five in a hundred. */
  readonly yearlyTrend: number;
  /** Share of guests who book at all; the rest walk in. */
  readonly bookedShare: number;
  /** Median days ahead that a party books. */
  readonly medianLeadDays: number;
  readonly cancelShare: number;
  readonly noShowShare: number;
  /** 0: weather does not matter; 1: a terrace. */
  readonly weatherWeight: number;
}

export interface DemoSite {
  readonly key: string;
  readonly name: string;
  readonly place: string;
  readonly lake: string;
  /** IANA zone. */
  readonly zone: string;
  readonly currency: CurrencyCode;
  readonly ruleSet: RuleSet;
  readonly seats: number;
  readonly services: readonly DemoService[];
  /** Pastry working hours by weekday; a weekday left out is not worked. */
  readonly hours: readonly {
    readonly weekday: IsoWeekday;
    readonly opens: ClockTime;
    readonly closes: ClockTime;
    readonly people: number;
  }[];
  readonly closedWeekdays: readonly IsoWeekday[];
  readonly equipment: readonly DemoEquipment[];
  readonly demand: readonly DemandProfile[];
}

/** Something out of the ordinary at a site. */
export interface DemoEvent {
  readonly site: string;
  readonly fromDays: number;
  readonly toDays: number;
  readonly kind: 'closed' | 'private-hire' | 'event';
  /** Left out: every service of the day. */
  readonly services?: readonly string[];
  /** Private hire: guests, fixed. */
  readonly guests?: number;
  /** Private hire: the one dish served, where it was agreed. */
  readonly dish?: string;
  /** Event: covers times this. */
  readonly coversFactor?: number;
  readonly name: string;
}

export interface DemoMenuLine {
  readonly dish: string;
  /** Part of covers that order it. */
  readonly share: number;
  /** Left out: all four. */
  readonly seasons?: readonly Season[];
}

/** A site's dessert card for some services; its lines change with the season. */
export interface DemoMenu {
  readonly key: string;
  readonly site: string;
  readonly name: string;
  readonly services: readonly string[];
  readonly lines: readonly DemoMenuLine[];
}

/** First day of each season's card, `MM-DD`. */
export type SeasonStarts = Readonly<Record<Season, string>>;

export interface DemoSupplier {
  readonly key: string;
  readonly name: string;
  readonly zone: string;
  readonly currency: CurrencyCode;
  /** What its order sheets are written in. */
  readonly language: 'en' | 'it';
  readonly sites: readonly string[];
  readonly deliveryWeekdays: readonly IsoWeekday[];
  /** Orders for a delivery close so many days before it, at a time in the supplier's zone. */
  readonly cutoff: { readonly daysBefore: number; readonly time: ClockTime };
  readonly leadDays: number;
  /** Net of tax, decimal string. */
  readonly minimumOrder: string;
  readonly deliveryCharge: string;
  readonly note?: string;
}

export interface PackPrice {
  /** 180: valid from 180 days before today. */
  readonly fromDaysAgo: number;
  /** Net of tax for one pack, in the supplier's currency, decimal string. */
  readonly amount: string;
  /** Cheaper from so many packs on. */
  readonly breaks?: readonly { readonly minPacks: number; readonly amount: string }[];
}

export interface DemoPack {
  readonly supplier: string;
  readonly sku: string;
  /** GTIN-13 in the GS1 restricted-circulation range (prefix 200 to 299): no real product. */
  readonly gtin: string;
  readonly ingredient: string;
  readonly name: string;
  /** What one pack holds, in the ingredient's base unit. */
  readonly quantityBase: number;
  /** Oldest first. */
  readonly prices: readonly PackPrice[];
}

/** How much of a dish (portions) or component (base units) a site keeps. */
export interface DemoPar {
  readonly site: string;
  readonly recipe: string;
  readonly rule: 'fixed' | 'service_level' | 'margin_against_waste';
  readonly quantity?: number | undefined;
  readonly level?: number | undefined;
  readonly reviewDays: number;
  readonly leadDays: number;
  readonly reason: string;
}

/** Covers that a person set in place of the forecast, days from the day of loading. */
export interface DemoOverride {
  readonly site: string;
  readonly service: string;
  readonly inDays: number;
  readonly covers: number;
  readonly enteredBy: string;
  readonly reason: string;
}

export interface DemoData {
  readonly group: {
    readonly name: string;
    readonly note: string;
    readonly seasonStarts: SeasonStarts;
  };
  readonly sites: readonly DemoSite[];
  readonly events: readonly DemoEvent[];
  readonly ingredients: readonly DemoIngredient[];
  readonly recipes: readonly DemoRecipe[];
  readonly menus: readonly DemoMenu[];
  readonly suppliers: readonly DemoSupplier[];
  readonly packs: readonly DemoPack[];
  readonly pars: readonly DemoPar[];
  readonly overrides: readonly DemoOverride[];
  readonly ways: readonly DemoWay[];
  readonly makings: readonly DemoMaking[];
  readonly buying: DemoBuying;
}
