import { syrupOf, type Syrup } from '../sugar/index.ts';
import { figureOf, known, notKnown, type BalanceFigure, type FigureShape } from './figures.ts';
import type { Makeup } from './makeup.ts';

const BRIX_METHOD =
  '100 × sugars / weight, all sugars counted as sucrose; what a heated syrup loses is water';
const TABLE_METHOD = 'published sucrose table at 20 °C by °Brix, all sugars counted as sucrose';
const SHAPES = {
  weighed: shape('brix-as-weighed', '°Brix as weighed', '°Bx', 1, BRIX_METHOD),
  brix: shape('brix', '°Brix as finished', '°Bx', 1, BRIX_METHOD),
  density: shape('density', 'Density at 20 °C', 'g/mL', 3, TABLE_METHOD),
  baume: shape('baume', 'Baumé', '°Bé', 1, '145 − 145 / specific gravity (modulus 145)'),
  volume: shape('volume', 'Volume at 20 °C', 'mL', 0, 'weight / density'),
} as const;

/** The figures of a syrup, of one making of it. @param finished null where its weight is not known */
export function syrupFigures(
  mix: Makeup,
  finished: Makeup | null,
): { readonly figures: readonly BalanceFigure[]; readonly notes: readonly string[] } {
  const missing = [...mix.unknown.sugars];
  const weighed = figureOf(SHAPES.weighed, missing, () => brixOfMix(mix));
  const rest = [SHAPES.brix, SHAPES.density, SHAPES.baume, SHAPES.volume];
  if (missing.length > 0) {
    return { figures: [weighed, ...rest.map((one) => notKnown(one, missing))], notes: [] };
  }
  if (finished === null) {
    const reason = 'The weight of what the recipe gives is not known.';
    return { figures: [weighed, ...rest.map((one) => notKnown(one, [], reason))], notes: [] };
  }
  const brix = brixOfMix(finished);
  const syrup = syrupOf(finished.partsG.sugars, finished.massG - finished.partsG.sugars);
  if (!syrup.ok) {
    const reason = syrup.error.message;
    return { figures: [weighed, ...rest.map((one) => notKnown(one, [], reason))], notes: [] };
  }
  return {
    figures: [weighed, known(SHAPES.brix, brix), ...liquidFigures(finished, syrup.value)],
    notes: syrup.value.supersaturated
      ? ['More sugar than water holds at 20 °C: it may crystallise as it stands.']
      : [],
  };
}

function liquidFigures({ partsG, unknown }: Makeup, { liquid }: Syrup): BalanceFigure[] {
  const shapes = [SHAPES.density, SHAPES.baume, SHAPES.volume];
  if (unknown.alcohol.length > 0) return shapes.map((one) => notKnown(one, unknown.alcohol));
  if (partsG.alcohol > 0) {
    const reason = 'It holds alcohol; the sucrose table does not hold for it.';
    return shapes.map((one) => notKnown(one, [], reason));
  }
  if (liquid === undefined) {
    return shapes.map((one) => notKnown(one, [], 'Above 70 °Brix the table has no figure.'));
  }
  return [
    known(SHAPES.density, liquid.densityGPerMl),
    known(SHAPES.baume, liquid.baume.degrees),
    known(SHAPES.volume, liquid.volumeMl),
  ];
}

function brixOfMix({ partsG, massG }: Makeup): number {
  return (100 * partsG.sugars) / massG;
}

function shape(
  id: string,
  label: string,
  unit: string,
  decimals: number,
  method: string,
): FigureShape {
  return { id, label, unit, decimals, method };
}
