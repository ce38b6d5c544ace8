import type { OpenInterval } from '../calendar/index.ts';
import { Occupation } from './occupation.ts';
import type { Fits, Taken, Want } from './occupation.ts';

/** A stretch of work with the people on shift in it. */
export interface Shift extends OpenInterval {
  readonly people: number;
}

/** Equipment of one kind at a site. */
export interface SiteEquipment {
  readonly kind: string;
  readonly name: string;
  /** How many there are: decks, shelves, bowls, mould sets. */
  readonly units: number;
  /**
   * Places in each unit (trays in a deck). What stands in one unit at a time must want the same
   * temperature. Left out: a unit is one place and stands alone.
   */
  readonly placesPerUnit?: number;
}

/** Settings this close share a deck. Common practice, no source. */
const SAME_DECK_C = 5;
const DUST = 1e-9;

/** Places a kind of equipment has in all. */
export function placesOf(equipment: SiteEquipment): number {
  return equipment.units * (equipment.placesPerUnit ?? 1);
}

/**
 * Units in use: places of agreeing temperature share units. Temperatures are grouped from the lowest
 * up, each group within 5 °C of its first.
 */
export function unitsInUse(taken: Taken, placesPerUnit: number): number {
  const sorted = [...taken].sort((a, b) => (a.temperatureC ?? 0) - (b.temperatureC ?? 0));
  let units = 0;
  let from = Number.NEGATIVE_INFINITY;
  let places = 0;
  for (const { temperatureC, amount } of sorted) {
    if ((temperatureC ?? 0) - from > SAME_DECK_C) {
      units += Math.ceil(places / placesPerUnit - DUST);
      from = temperatureC ?? 0;
      places = 0;
    }
    places += amount;
  }
  return units + Math.ceil(places / placesPerUnit - DUST);
}

function equipmentFits({ units, placesPerUnit }: SiteEquipment): Fits {
  const whole = (taken: Taken): number => taken.reduce((sum, { amount }) => sum + amount, 0);
  if (placesPerUnit === undefined || placesPerUnit === 1) {
    return (taken, want) => whole(taken) + want.amount <= units + DUST;
  }
  return (taken, want) => unitsInUse([...taken, want], placesPerUnit) <= units;
}

function handsFit(shifts: readonly Shift[]): Fits {
  const sorted = [...shifts].sort((a, b) => a.fromMin - b.fromMin);
  const peopleAt = (minute: number): number => {
    let people = 0;
    for (const shift of sorted) {
      if (shift.fromMin > minute) break;
      if (minute < shift.toMin) people = Math.max(people, shift.people);
    }
    return people;
  };
  return (taken: Taken, want: Want, atMin) =>
    (taken[0]?.amount ?? 0) + want.amount <= peopleAt(atMin) + DUST;
}

/** Occupations of a site: hands, and each kind of equipment that is on record. */
export interface SiteOccupation {
  readonly hands: Occupation;
  /** Undefined where the site has no such kind on record: it does not bind then. */
  readonly equipment: ReadonlyMap<string, Occupation>;
}

/** Empty occupations of a site's people and equipment; several entries of one kind add up. */
export function siteOccupation(
  shifts: readonly Shift[],
  equipment: readonly SiteEquipment[],
): SiteOccupation {
  const changes = shifts.flatMap(({ fromMin, toMin }) => [fromMin, toMin]);
  return {
    hands: new Occupation(handsFit(shifts), changes),
    equipment: new Map(
      [...byKind(equipment)].map(([kind, item]) => [kind, new Occupation(equipmentFits(item))]),
    ),
  };
}

/** One entry for each kind: units of several rows together, where they hold alike. */
export function byKind(equipment: readonly SiteEquipment[]): ReadonlyMap<string, SiteEquipment> {
  const kinds = new Map<string, SiteEquipment>();
  for (const item of equipment) {
    const known = kinds.get(item.kind);
    if (!known) kinds.set(item.kind, item);
    else if (known.placesPerUnit === item.placesPerUnit) {
      kinds.set(item.kind, { ...known, units: known.units + item.units });
    } else {
      // Units that hold differently are counted at the smaller size: never more than there is.
      const placesPerUnit = Math.min(known.placesPerUnit ?? 1, item.placesPerUnit ?? 1);
      kinds.set(item.kind, { ...known, placesPerUnit, units: known.units + item.units });
    }
  }
  return kinds;
}
