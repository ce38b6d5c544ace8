import { LACTOSE_IN_MSNF, type SweetenerKind } from '../frozen-base/index.ts';
import { ACID_PH } from '../setting/index.ts';

/** What a balance is drawn up in, each as a fraction of mass. `sugars` takes in the lactose of milk. */
export const PARTS = ['water', 'fat', 'milkSolids', 'sugars', 'alcohol', 'salt'] as const;
export type Part = (typeof PARTS)[number];

/**
 * How an ingredient counts in a mix: baker's percentages are of flour; a liquid, or what dissolves in
 * one, makes syrups; fruit and nuts stay whole; a pod or leaf is taken out again and counts nothing.
 */
export type InMix = 'flour' | 'dissolves' | 'stays-whole' | 'taken-out';

/**
 * What is known of an ingredient, as fractions of its mass (0 to 1); null is unknown, never zero.
 * `sugarsByKind` leaves out the lactose inside milk solids.
 */
export interface IngredientMakeup {
  readonly name: string;
  readonly water: number | null;
  readonly fat: number | null;
  /** Milk solids not fat. */
  readonly milkSolids: number | null;
  readonly sugars: number | null;
  readonly sugarsByKind: Readonly<Partial<Record<SweetenerKind, number>>> | null;
  readonly alcohol: number | null;
  /** Salt added as such: the salts of milk are counted with its solids. */
  readonly salt: number | null;
  readonly ph: number | null;
  readonly inMix: InMix | null;
}

/** What a mix, or one gram of something, is made of. Sums are of what is known. */
export interface Makeup {
  readonly massG: number;
  /** Grams of each part. */
  readonly partsG: Readonly<Record<Part, number>>;
  /** Names of the ingredients of which a part is not known. */
  readonly unknown: Readonly<Record<Part, readonly string[]>>;
  readonly sugarsByKindG: ReadonlyMap<SweetenerKind, number>;
  readonly kindsUnknown: readonly string[];
  /** Grams of ingredients sourer than ACID_PH. */
  readonly sourG: number;
  /** Names of what is not said to dissolve, and of what nobody has described at all. */
  readonly whole: readonly string[];
  readonly unsaid: readonly string[];
}

const none = <T>(value: T): Record<Part, T> =>
  Object.fromEntries(PARTS.map((part) => [part, value])) as Record<Part, T>;

export const NOTHING: Makeup = {
  massG: 0,
  partsG: none(0),
  unknown: none<readonly string[]>([]),
  sugarsByKindG: new Map(),
  kindsUnknown: [],
  sourG: 0,
  whole: [],
  unsaid: [],
};

/** Something nobody knows anything of. */
export function unknownMakeup(name: string, massG: number): Makeup {
  return { ...NOTHING, massG, unknown: none([name]), kindsUnknown: [name], unsaid: [name] };
}

/** What `massG` of an ingredient brings. What is taken out again brings nothing. */
export function makeupOf(ingredient: IngredientMakeup, massG: number): Makeup {
  const { name, sugarsByKind, ph, inMix } = ingredient;
  if (inMix === 'taken-out') return NOTHING;
  const fractions = { ...ingredient, sugars: allSugars(ingredient) };
  const kinds = Object.entries(sugarsByKind ?? {}) as [SweetenerKind, number][];
  return {
    massG,
    partsG: mapParts((part) => massG * (fractions[part] ?? 0)),
    unknown: mapParts((part) => (fractions[part] === null ? [name] : [])),
    sugarsByKindG: new Map(kinds.map(([kind, fraction]) => [kind, fraction * massG])),
    kindsUnknown: sugarsByKind === null && fractions.sugars !== 0 ? [name] : [],
    sourG: ph !== null && ph < ACID_PH ? massG : 0,
    whole: inMix !== 'dissolves' && (inMix !== null || ingredient.water !== null) ? [name] : [],
    unsaid: inMix === null && ingredient.water === null ? [name] : [],
  };
}

/** Kinds decide where they are told; lactose comes with the milk solids. */
function allSugars({ sugars, sugarsByKind, milkSolids }: IngredientMakeup): number | null {
  if (sugarsByKind === null) return sugars;
  if (milkSolids === null) return sugars;
  const told = Object.values(sugarsByKind).reduce((sum, fraction) => sum + fraction, 0);
  return told + LACTOSE_IN_MSNF * milkSolids;
}

/** Several things in one bowl. */
export function together(all: readonly Makeup[]): Makeup {
  const kinds = new Map<SweetenerKind, number>();
  for (const { sugarsByKindG } of all) {
    for (const [kind, massG] of sugarsByKindG) kinds.set(kind, (kinds.get(kind) ?? 0) + massG);
  }
  const names = (pick: (one: Makeup) => readonly string[]): string[] => [
    ...new Set(all.flatMap(pick)),
  ];
  const sum = (pick: (one: Makeup) => number): number =>
    all.reduce((total, one) => total + pick(one), 0);
  return {
    massG: sum((one) => one.massG),
    partsG: mapParts((part) => sum((one) => one.partsG[part])),
    unknown: mapParts((part) => names((one) => one.unknown[part])),
    sugarsByKindG: kinds,
    kindsUnknown: names((one) => one.kindsUnknown),
    sourG: sum((one) => one.sourG),
    whole: names((one) => one.whole),
    unsaid: names((one) => one.unsaid),
  };
}

/** A share of a mix, all parts alike. */
export function shareOf(mix: Makeup, massG: number): Makeup {
  const factor = mix.massG > 0 ? massG / mix.massG : 0;
  return {
    ...mix,
    massG: mix.massG * factor,
    partsG: mapParts((part) => mix.partsG[part] * factor),
    sugarsByKindG: new Map([...mix.sugarsByKindG].map(([kind, g]) => [kind, g * factor])),
    sourG: mix.sourG * factor,
  };
}

/** The mix after `massG` of water has boiled off; more than its water cannot. */
export function withoutWater(mix: Makeup, massG: number): Makeup {
  const lostG = Math.min(Math.max(0, massG), mix.partsG.water);
  return {
    ...mix,
    massG: mix.massG - lostG,
    partsG: { ...mix.partsG, water: mix.partsG.water - lostG },
  };
}

function mapParts<T>(of: (part: Part) => T): Record<Part, T> {
  return Object.fromEntries(PARTS.map((part) => [part, of(part)])) as Record<Part, T>;
}
