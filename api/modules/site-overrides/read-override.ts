import type { Ingredient } from '../ingredients/index.ts';
import { invalid, Refusal } from '../platform/index.ts';
import {
  isOfLine,
  lineKeys,
  stepKeys,
  type OverrideKind,
  type RecipeLine,
  type RecipeStep,
  type RecipeVersion,
} from '../recipes/index.ts';
import type { OverrideInput } from './site-overrides.ports.ts';

/** The line or step an override is of. */
export interface OverridePlace {
  readonly targetKey: string;
  readonly label: string;
}

const NOT_ALLOWED: Readonly<Record<OverrideKind, string>> = {
  ingredient: 'The recipe does not let a site use a local ingredient here. Ask the lead.',
  yield: 'The recipe does not let a site state its own yield here. Ask the lead.',
  temperature: 'The recipe does not let a site set its own temperature here. Ask the lead.',
  time: 'The recipe does not let a site set its own times here. Ask the lead.',
};
const SHORT = 60;

/**
 * Finds what an override is of and checks that it says something sensible.
 * @param version in force on the override's first date
 * @throws Refusal pointing at the field: `forbidden` where the version gives no leave, `invalid-input`
 *         otherwise, `dimension-mismatch` for a local ingredient counted otherwise
 */
export function readOverride(
  input: OverrideInput,
  version: RecipeVersion,
  ingredients: ReadonlyMap<string, Ingredient>,
): OverridePlace {
  if (input.endsBefore !== null && input.endsBefore <= input.fromDate) {
    throw invalid('/endsBefore', 'It ends before it begins.');
  }
  refuseStray(input);
  return isOfLine(input.what) ? ofLine(input, version, ingredients) : ofStep(input, version);
}

const FIELDS: Readonly<Record<OverrideKind, readonly (keyof OverrideInput)[]>> = {
  ingredient: ['ingredientId'],
  yield: ['trimYield', 'cookingYield'],
  temperature: ['temperatureC'],
  time: ['workingMin', 'waitingMin'],
};

/** Figures of another kind of override, or none of its own. */
function refuseStray(input: OverrideInput): void {
  const own = FIELDS[input.what];
  for (const field of Object.values(FIELDS).flat()) {
    if (!own.includes(field) && input[field] !== null) {
      throw invalid(`/${field}`, `That does not belong to a change of ${input.what}.`);
    }
  }
  if (own.every((field) => input[field] === null)) {
    throw invalid(`/${own[0] ?? ''}`, 'Say what is done otherwise.');
  }
  const [wanted, stray] = isOfLine(input.what)
    ? (['lineId', 'stepId'] as const)
    : (['stepId', 'lineId'] as const);
  if (input[stray] !== null) throw invalid(`/${stray}`, 'That is not what is changed.');
  if (input[wanted] === null) throw invalid(`/${wanted}`, 'Say of what.');
}

function ofLine(
  input: OverrideInput,
  version: RecipeVersion,
  ingredients: ReadonlyMap<string, Ingredient>,
): OverridePlace {
  const at = version.lines.findIndex(({ id }) => id === input.lineId);
  const line = version.lines[at];
  if (!line) throw invalid('/lineId', 'The version in force then has no such line.');
  refuseWithoutLeave(input.what, line, '/lineId');
  const standard = ingredients.get(line.ingredientId ?? '');
  if (input.what === 'ingredient') {
    if (!standard) throw invalid('/lineId', 'Only an ingredient is replaced by a local one.');
    refuseLocal(input.ingredientId ?? '', standard, ingredients);
  }
  const targetKey = lineKeys(version.lines)[at] ?? '';
  return { targetKey, label: standard?.name ?? `Line ${at + 1}` };
}

function refuseWithoutLeave(
  what: OverrideKind,
  of: Pick<RecipeLine | RecipeStep, 'siteMay'>,
  pointer: string,
): void {
  if ((of.siteMay as readonly string[]).includes(what)) return;
  const message = NOT_ALLOWED[what];
  throw new Refusal('forbidden', message, { issues: [{ pointer, message }] });
}

/** A local ingredient is weighed as the recipe says: same base unit, same setting strength. */
function refuseLocal(
  id: string,
  standard: Ingredient,
  ingredients: ReadonlyMap<string, Ingredient>,
): void {
  const at = '/ingredientId';
  const local = ingredients.get(id);
  if (!local || local.archived) {
    throw invalid(at, local ? `${local.name} is archived.` : `There is no ingredient ${id}.`);
  }
  if (local.id === standard.id) throw invalid(at, `The recipe uses ${standard.name} already.`);
  if (local.baseUnit !== standard.baseUnit) {
    const message = `${local.name} is counted in ${local.baseUnit}, ${standard.name} in ${standard.baseUnit}.`;
    throw new Refusal('dimension-mismatch', message, { issues: [{ pointer: at, message }] });
  }
  if ((local.gelatine?.bloom ?? null) !== (standard.gelatine?.bloom ?? null)) {
    throw invalid(
      at,
      `${local.name} sets otherwise than ${standard.name}; that is a change of the recipe.`,
    );
  }
}

function ofStep(input: OverrideInput, version: RecipeVersion): OverridePlace {
  const at = version.steps.findIndex(({ id }) => id === input.stepId);
  const step = version.steps[at];
  if (!step) throw invalid('/stepId', 'The version in force then has no such step.');
  refuseWithoutLeave(input.what, step, '/stepId');
  const text = step.text.length > SHORT ? `${step.text.slice(0, SHORT - 1)}…` : step.text;
  return { targetKey: stepKeys(version.steps)[at] ?? '', label: `Step ${at + 1}: ${text}` };
}
