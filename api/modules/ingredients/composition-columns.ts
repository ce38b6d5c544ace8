import { numberCell } from '../platform/index.ts';
import { merge, part, put, type Column } from './body-column.ts';
import type { Composition } from './ingredients.ports.ts';

type Figure = {
  readonly [Name in keyof Composition]: number extends Composition[Name] ? Name : never;
}[keyof Composition];

const FIGURES: Readonly<Record<string, Figure>> = {
  mix_water: 'waterFraction',
  mix_fat: 'fatFraction',
  mix_sugars: 'sugarsFraction',
  mix_milk_solids: 'milkSolidsFraction',
  mix_alcohol: 'alcoholFraction',
  mix_salt: 'saltFraction',
  ph: 'ph',
};
/** Parts that are none where nothing is said, and so never unknown. */
const NEVER_UNKNOWN: ReadonlySet<Figure> = new Set(['milkSolidsFraction', 'alcoholFraction']);

const figure = (key: Figure): Column => ({
  pointer: `/composition/${key}`,
  set: (body, cell) =>
    put(numberCell(cell), (value) => {
      if (value === null && part(body, 'composition') === null) return;
      merge(body, 'composition', { [key]: value ?? (NEVER_UNKNOWN.has(key) ? 0 : null) });
    }),
});

const words = (key: 'inMix' | 'source'): Column => ({
  pointer: `/composition/${key}`,
  set: (body, cell) => {
    if (cell !== '' || part(body, 'composition') !== null) {
      merge(body, 'composition', { [key]: cell === '' ? null : cell });
    }
    return undefined;
  },
});

const sugarKinds: Column = {
  pointer: '/composition/sugars',
  set: (body, cell) => {
    if (cell === '') {
      if (part(body, 'composition') !== null) merge(body, 'composition', { sugars: null });
      return undefined;
    }
    const kinds: Record<string, number> = {};
    for (const item of cell.split(/[;|]/).filter((one) => one.trim() !== '')) {
      const [kind = '', share = ''] = item.split('=').map((side) => side.trim());
      const fraction = numberCell(share);
      if ('message' in fraction || fraction.value === null || kind === '') {
        return 'Write sugars as kind=fraction, separated by semicolons: sucrose=0.6; dextrose=0.1.';
      }
      kinds[kind] = fraction.value;
    }
    merge(body, 'composition', { sugars: kinds });
    return undefined;
  },
};

/** What an ingredient is made of, for balances: fractions of its mass. A file that has none changes none. */
export const COMPOSITION_COLUMNS: Readonly<Record<string, Column>> = {
  ...Object.fromEntries(Object.entries(FIGURES).map(([name, key]) => [name, figure(key)])),
  mix_sugar_kinds: sugarKinds,
  in_mix: words('inMix'),
  mix_source: words('source'),
};

/** The cells of a composition, by the columns above. */
export function compositionCells(
  composition: Composition | null,
): Readonly<Record<string, string | number | null>> {
  if (composition === null) return {};
  const kinds = Object.entries(composition.sugars ?? {});
  return {
    ...Object.fromEntries(Object.entries(FIGURES).map(([name, key]) => [name, composition[key]])),
    mix_sugar_kinds: kinds.map(([kind, fraction]) => `${kind}=${fraction}`).join('; '),
    in_mix: composition.inMix,
    mix_source: composition.source,
  };
}
