import { isYieldKind } from '../../core/yields/index.ts';
import { invalid } from '../platform/index.ts';
import { lineKeys, stepKeys, type Recipe, type RecipeVersion } from '../recipes/index.ts';
import type { WeighingInput } from './measured-yields.ports.ts';
import { batchKey } from './yield-summary.ts';
import type { YieldPlace } from './yield-in-version.ts';

/** Where a weighing belongs, how it is called, and what went in. */
export interface WeighedPlace extends YieldPlace {
  readonly label: string;
  readonly before: { readonly value: number; readonly unit: string };
}

const SHORT = 60;
const UCUM_OF = { g: 'g', ml: 'mL', each: '{each}' } as const;

/** @throws Refusal `invalid-input` pointing at what does not fit together */
export function placeOf(
  input: WeighingInput,
  version: RecipeVersion,
  recipe: Recipe,
  names: ReadonlyMap<string, string>,
): WeighedPlace {
  if (input.target === 'batch') return batchPlace(input, version, recipe);
  if (!isYieldKind(input.kind)) {
    throw invalid('/kind', 'Say what took the weight away: trim, peel, cooking, sieve and so on.');
  }
  if (input.before === null) throw invalid('/before', 'Weigh it before as well.');
  if (input.batches !== null)
    throw invalid('/batches', 'Batches are counted for a whole batch only.');
  const { kind, before } = input;
  if (input.target === 'line') {
    if (input.stepId !== null) throw invalid('/stepId', 'This weighing is of a line.');
    const at = version.lines.findIndex(({ id }) => id === input.lineId);
    const line = version.lines[at];
    if (!line) throw invalid('/lineId', 'That version has no such line.');
    const itemId = line.ingredientId ?? line.componentId ?? '';
    const targetKey = lineKeys(version.lines)[at] ?? '';
    return { target: 'line', targetKey, kind, label: names.get(itemId) ?? itemId, before };
  }
  if (input.lineId !== null) throw invalid('/lineId', 'This weighing is of a step.');
  const at = version.steps.findIndex(({ id }) => id === input.stepId);
  const step = version.steps[at];
  if (!step) throw invalid('/stepId', 'That version has no such step.');
  const text = step.text.length > SHORT ? `${step.text.slice(0, SHORT - 1)}…` : step.text;
  const label = `Step ${at + 1}: ${text}`;
  return { target: 'step', targetKey: stepKeys(version.steps)[at] ?? '', kind, label, before };
}

/** A batch went in as the version says: what the batches as written should have given. */
function batchPlace(input: WeighingInput, version: RecipeVersion, recipe: Recipe): WeighedPlace {
  if (input.kind !== 'batch') throw invalid('/kind', 'A whole batch is weighed as batch.');
  if (input.before !== null) {
    throw invalid(
      '/before',
      'Say how many batches were made; the recipe says what they should give.',
    );
  }
  if (input.lineId !== null) throw invalid('/lineId', 'This weighing is of a batch.');
  if (input.stepId !== null) throw invalid('/stepId', 'This weighing is of a batch.');
  if (input.batches === null) throw invalid('/batches', 'Say how many batches were made.');
  return {
    target: 'batch',
    targetKey: batchKey(version),
    kind: 'batch',
    label: 'The batch',
    before: { value: version.output.quantity * input.batches, unit: UCUM_OF[recipe.baseUnit] },
  };
}
