import {
  LACTOSE_IN_MSNF,
  SERVING_FROZEN_FRACTIONS,
  SWEETENERS,
  balanceFrozenBase,
  type FrozenBase,
  type FrozenIngredient,
  type SweetenerKind,
} from '../frozen-base/index.ts';
import type { Result } from '../shared/result.ts';
import { figureOf, known, notKnown, type BalanceFigure, type FigureShape } from './figures.ts';
import type { Makeup } from './makeup.ts';

const BY_MASS = 'by mass of the mix as weighed, from the make-up of its ingredients';
const GOFF_HARTEL =
  'sucrose-equivalent method, Goff and Hartel, Ice Cream, 7th ed. 2013, pp. 181–184 (read second-hand)';
const [LEAST, MOST] = SERVING_FROZEN_FRACTIONS.map((fraction) => Math.round(fraction * 100));

const SHAPES = {
  solids: percent('total-solids', 'Total solids', BY_MASS),
  fat: percent('fat', 'Fat', BY_MASS),
  milkSolids: percent('milk-solids', 'Milk solids not fat', BY_MASS),
  sugars: percent(
    'sugars',
    'All sugars and glucose solids, the lactose of milk with them',
    BY_MASS,
  ),
  sweetness: percent(
    'sweetness',
    'Sweetness, as g sucrose in 100 g',
    'panel factors against sucrose (Biester and Wood, as printed in Experimental Cookery; some from memory)',
  ),
  freezing: celsius('freezing-point', 'Freezing point', GOFF_HARTEL),
  warmest: celsius('serving-warmest', 'Serve no warmer than', serving(LEAST ?? 0)),
  coldest: celsius('serving-coldest', 'Serve no colder than', serving(MOST ?? 0)),
} as const;

/** The balance of an ice cream or sorbet mix as weighed; what is not known is named, never zero. */
export function frozenFigures(mix: Makeup): readonly BalanceFigure[] {
  const { partsG, unknown, massG, kindsUnknown } = mix;
  const share = (partG: number): number => (100 * partG) / massG;
  const all = [...new Set([...Object.values(unknown).flat(), ...kindsUnknown])];
  const base = all.length > 0 ? null : balanceOf(mix);
  return [
    figureOf(SHAPES.solids, [...unknown.water, ...unknown.alcohol], () =>
      share(massG - partsG.water - partsG.alcohol),
    ),
    figureOf(SHAPES.fat, unknown.fat, () => share(partsG.fat)),
    figureOf(SHAPES.milkSolids, unknown.milkSolids, () => share(partsG.milkSolids)),
    figureOf(SHAPES.sugars, unknown.sugars, () => share(partsG.sugars)),
    ...kindFigures(mix),
    ...pointFigures(base, all),
  ];
}

/** Each sugar that is there, as far as the kinds are told. */
function kindFigures(mix: Makeup): BalanceFigure[] {
  const grams = new Map(mix.sugarsByKindG);
  const lactoseG = LACTOSE_IN_MSNF * mix.partsG.milkSolids;
  if (lactoseG > 0) grams.set('lactose', (grams.get('lactose') ?? 0) + lactoseG);
  const missing = [...mix.kindsUnknown, ...mix.unknown.milkSolids];
  const present = [...grams].filter(([, massG]) => massG > 0).sort((a, b) => b[1] - a[1]);
  if (missing.length > 0) {
    return [notKnown(percent('sugar-kinds', 'Sugars by kind', BY_MASS), [...new Set(missing)])];
  }
  return present.map(([kind, massG]) =>
    known(
      percent(`sugar:${kind}`, `of which ${SWEETENERS[kind].name}`, BY_MASS),
      (100 * massG) / mix.massG,
    ),
  );
}

function pointFigures(
  base: Result<FrozenBase> | null,
  missing: readonly string[],
): BalanceFigure[] {
  const shapes = [SHAPES.sweetness, SHAPES.freezing, SHAPES.warmest, SHAPES.coldest];
  if (base === null) return shapes.map((one) => notKnown(one, missing));
  if (!base.ok) return shapes.map((one) => notKnown(one, [], base.error.message));
  const { sweetnessPercent, freezingPointC, serving: served } = base.value;
  const tooStrong = 'Too strong for the freezing table.';
  return [
    known(SHAPES.sweetness, sweetnessPercent),
    known(SHAPES.freezing, freezingPointC),
    served ? known(SHAPES.warmest, served.warmestC) : notKnown(SHAPES.warmest, [], tooStrong),
    served ? known(SHAPES.coldest, served.coldestC) : notKnown(SHAPES.coldest, [], tooStrong),
  ];
}

/** The whole mix as one ingredient of the method. */
function balanceOf({ massG, partsG, sugarsByKindG }: Makeup): Result<FrozenBase> {
  const sugars = Object.fromEntries(
    [...sugarsByKindG].map(([kind, g]) => [kind, g / massG]),
  ) as Partial<Record<SweetenerKind, number>>;
  const told = [...sugarsByKindG.values()].reduce((sum, g) => sum + g, 0);
  const { water, fat, milkSolids, alcohol, salt } = partsG;
  // Published makeups are rounded one by one, so what is left may fall a hair below zero.
  const otherG = Math.max(0, massG - water - fat - milkSolids - alcohol - salt - told);
  const whole: FrozenIngredient = {
    name: 'the mix',
    massG,
    composition: {
      fat: fat / massG,
      msnf: milkSolids / massG,
      sugars,
      alcohol: alcohol / massG,
      salt: salt / massG,
      otherSolids: otherG / massG,
    },
  };
  return balanceFrozenBase([whole]);
}

function percent(id: string, label: string, method: string): FigureShape {
  return { id, label, unit: '%', decimals: 1, method };
}
function celsius(id: string, label: string, method: string): FigureShape {
  return { id, label, unit: 'Cel', decimals: 1, method };
}
function serving(frozenPercent: number): string {
  return `where ${frozenPercent} % of the water is ice (W. M. A. Mullan, freezing point curves); an estimate: air, fat and stabiliser soften too`;
}
