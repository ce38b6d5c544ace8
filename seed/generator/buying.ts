import { z } from 'zod';

// Contracts, what suppliers cannot give, what may stand in for what, and who buys together in the demo.

const key = z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'must be lower case words with hyphens');
const text = z.string().trim().min(1);
/** Days from the day of loading on; an end of null is open. */
const days = { fromDays: z.int(), toDays: z.int().nullable() };

export const buyingFile = z.strictObject({
  note: text,
  contracts: z.array(
    z.strictObject({ site: key, supplier: key, ingredient: key, ...days, note: text }),
  ),
  gaps: z.array(
    z.strictObject({
      supplier: key,
      ingredient: key,
      kind: z.enum(['out-of-stock', 'withdrawn']),
      ...days,
      note: text,
    }),
  ),
  substitutes: z.array(
    z.strictObject({ ingredient: key, substitute: key, ratio: z.number().positive(), note: text }),
  ),
  together: z.array(z.strictObject({ sites: z.array(key).min(2), days: z.int().min(1).max(14) })),
});

export type DemoBuying = Omit<z.infer<typeof buyingFile>, 'note'>;

/** One sentence for each contract, gap, substitute or joint purchase that names what is not there. */
export function buyingFaults(
  known: {
    readonly sites: readonly { readonly key: string; readonly currency: string }[];
    readonly suppliers: readonly { readonly key: string; readonly sites: readonly string[] }[];
    readonly ingredients: readonly { readonly key: string }[];
    readonly packs: readonly { readonly supplier: string; readonly ingredient: string }[];
    readonly ways: readonly { readonly from: string; readonly to: string }[];
  },
  { contracts, gaps, substitutes, together }: DemoBuying,
): string[] {
  const sells = (supplier: string, ingredient: string): boolean =>
    known.packs.some((pack) => pack.supplier === supplier && pack.ingredient === ingredient);
  const hasIngredient = (name: string): boolean =>
    known.ingredients.some((one) => one.key === name);
  return [
    ...[...contracts, ...gaps]
      .filter(({ supplier, ingredient }) => !sells(supplier, ingredient))
      .map(({ supplier, ingredient }) => `'${supplier}' sells no '${ingredient}'.`),
    ...contracts
      .filter(
        ({ site, supplier }) =>
          !known.suppliers.some((one) => one.key === supplier && one.sites.includes(site)),
      )
      .map(({ site, supplier }) => `'${supplier}' does not bring to '${site}'.`),
    ...substitutes
      .flatMap(({ ingredient, substitute }) => [ingredient, substitute])
      .filter((name) => !hasIngredient(name))
      .map((name) => `'${name}' stands in for something, or is stood in for, and is unknown.`),
    ...together
      .filter(
        ({ sites }) =>
          !known.ways.some((way) => sites.includes(way.from) && sites.includes(way.to)),
      )
      .map(({ sites }) => `There is no way between ${sites.join(' and ')}, who buy together.`),
  ];
}
