import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';

/** Groups of Annex II to Regulation (EU) 1169/2011, in its order. */
export const ALLERGEN_GROUPS = [
  'gluten',
  'crustaceans',
  'eggs',
  'fish',
  'peanuts',
  'soybeans',
  'milk',
  'nuts',
  'celery',
  'mustard',
  'sesame',
  'sulphites',
  'lupin',
  'molluscs',
] as const;
export type AllergenGroup = (typeof ALLERGEN_GROUPS)[number];

/** A group, with the kind after a colon where the law has it named: 'milk', 'gluten:rye', 'nuts:almond'. */
export type AllergenCode = AllergenGroup | `${AllergenGroup}:${string}`;

/** Whose law: EU and UK name fourteen groups, the United States nine. */
export type AllergenRegime = 'eu' | 'uk' | 'us';

/** A column of the regime's list. */
export interface RegimeGroup {
  readonly id: string;
  readonly label: string;
}

/** Where a code stands under a regime. */
export interface RegimeAllergen extends RegimeGroup {
  /** The cereal or nut by name; null where the group has no kinds or the kind is not known. */
  readonly kind: string | null;
  /** The law has the kind named, and the declaration does not say it. */
  readonly kindNotNamed: boolean;
}

const EU_LABELS: Readonly<Record<AllergenGroup, string>> = {
  gluten: 'Cereals containing gluten',
  crustaceans: 'Crustaceans',
  eggs: 'Eggs',
  fish: 'Fish',
  peanuts: 'Peanuts',
  soybeans: 'Soybeans',
  milk: 'Milk',
  nuts: 'Nuts',
  celery: 'Celery',
  mustard: 'Mustard',
  sesame: 'Sesame',
  sulphites: 'Sulphur dioxide and sulphites',
  lupin: 'Lupin',
  molluscs: 'Molluscs',
};

/** Wheat in the law's sense takes in spelt and khorasan. */
const WHEATS: readonly string[] = ['wheat', 'spelt', 'khorasan'];
const CEREALS: readonly string[] = [...WHEATS, 'rye', 'barley', 'oats'];
const EU_NUTS: readonly string[] = [
  'almond',
  'hazelnut',
  'walnut',
  'cashew',
  'pecan',
  'brazil',
  'pistachio',
  'macadamia',
];
/**
 * Nuts the FDA counts that Annex II does not. Source: FDA, Questions and Answers Regarding Food
 * Allergens, Edition 5, January 2025, Table 1 (twelve nuts; coconut and chestnut are not among them).
 */
const US_ONLY_NUTS: readonly string[] = [
  'pine-nut',
  'black-walnut',
  'california-walnut',
  'heartnut',
];
/** Species may follow: 'fish:cod'. */
const SPECIES_GROUPS: readonly AllergenGroup[] = ['fish', 'crustaceans', 'molluscs'];
const SPECIES = /^[a-z][a-z-]{0,39}$/;

/** Source: FALCPA 2004 (eight), FASTER Act 2021 (sesame, from 1 January 2023). */
const US_GROUPS: ReadonlyMap<AllergenGroup, RegimeGroup> = new Map([
  ['milk', { id: 'milk', label: 'Milk' }],
  ['eggs', { id: 'eggs', label: 'Eggs' }],
  ['fish', { id: 'fish', label: 'Fish' }],
  ['crustaceans', { id: 'crustaceans', label: 'Crustacean shellfish' }],
  ['nuts', { id: 'nuts', label: 'Tree nuts' }],
  ['peanuts', { id: 'peanuts', label: 'Peanuts' }],
  ['gluten', { id: 'wheat', label: 'Wheat' }],
  ['soybeans', { id: 'soybeans', label: 'Soybeans' }],
  ['sesame', { id: 'sesame', label: 'Sesame' }],
]);

/**
 * Reads an allergen code. Error `invalid-code` for a group that is none of the fourteen, or a
 * kind the group does not have.
 */
export function parseAllergenCode(text: string): Result<AllergenCode> {
  const [group, kind, ...more] = text.split(':');
  const known = ALLERGEN_GROUPS.find((name) => name === group);
  if (known === undefined || more.length > 0 || !kindFits(known, kind)) {
    return err(
      coreError('invalid-code', `"${text}" is not an allergen such as milk or nuts:almond.`, {
        detail: { text },
      }),
    );
  }
  const code: AllergenCode = kind === undefined ? known : `${known}:${kind}`;
  return ok(code);
}

/** The regime's groups in the law's order: fourteen, or nine. */
export function regimeGroups(regime: AllergenRegime): readonly RegimeGroup[] {
  if (regime === 'us') return [...US_GROUPS.values()];
  return ALLERGEN_GROUPS.map((id) => ({ id, label: EU_LABELS[id] }));
}

/**
 * Where a code stands under a regime; null where the regime does not list it (rye in the US, pine
 * nuts in the EU). A cereal or nut that is not named counts everywhere it might belong.
 */
export function underRegime(code: AllergenCode, regime: AllergenRegime): RegimeAllergen | null {
  const [group, kind = null] = code.split(':') as [AllergenGroup, string?];
  const kindNotNamed = kind === null && (group === 'gluten' || group === 'nuts');
  if (regime !== 'us') {
    if (group === 'nuts' && kind !== null && !EU_NUTS.includes(kind)) return null;
    return { id: group, label: EU_LABELS[group], kind, kindNotNamed };
  }
  const column = US_GROUPS.get(group);
  if (column === undefined) return null;
  if (group === 'gluten' && kind !== null && !WHEATS.includes(kind)) return null;
  const kindMissing =
    kindNotNamed || (kind === null && (group === 'fish' || group === 'crustaceans'));
  return { ...column, kind, kindNotNamed: kindMissing };
}

/** A code in the words of a law: 'Nuts' with 'almond'. */
export interface AllergenName {
  readonly code: string;
  readonly label: string;
  readonly kind: string | null;
}

/**
 * What a code is called under a regime. Where that regime does not list it, it keeps the name that EU
 * law has for its group, so that nothing a person must hear of is left out.
 *
 * @param code as `parseAllergenCode` reads it; any other text stands for itself
 */
export function allergenName(code: string, regime: AllergenRegime): AllergenName {
  const read = parseAllergenCode(code);
  if (!read.ok) return { code, label: code, kind: null };
  const [group, kind = null] = read.value.split(':') as [AllergenGroup, string?];
  const { label } = underRegime(read.value, regime) ?? { label: EU_LABELS[group] };
  // The US list names wheat itself: 'Wheat', not 'Wheat (wheat)'.
  return { code, label, kind: kind === label.toLowerCase() ? null : kind };
}

function kindFits(group: AllergenGroup, kind: string | undefined): boolean {
  if (kind === undefined) return true;
  if (group === 'gluten') return CEREALS.includes(kind);
  if (group === 'nuts') return EU_NUTS.includes(kind) || US_ONLY_NUTS.includes(kind);
  return SPECIES_GROUPS.includes(group) && SPECIES.test(kind);
}
