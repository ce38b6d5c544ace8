import type { YieldKind, YieldStep } from '../../core/yields/index.ts';
import {
  isTrim,
  lineKeys,
  stepKeys,
  type LineFields,
  type VersionInput,
} from '../recipes/index.ts';
import type { MeasuredKind, YieldTarget } from './measured-yields.ports.ts';

/** What a yield is of, apart from the version it stands in. */
export interface YieldPlace {
  readonly target: YieldTarget;
  readonly targetKey: string;
  readonly kind: MeasuredKind;
}

/** Standard trim yields of ingredients, by id. */
export type TrimYields = ReadonlyMap<string, number>;

/** Losses in the order a cook meets them. */
const ORDER: readonly YieldKind[] = [
  'trim',
  'peel',
  'stone',
  'cooking',
  'evaporation',
  'sieve',
  'pan-loss',
];

type Line = Omit<LineFields, 'note'>;

/** The chain a line has, its two fractions and the ingredient's own trim yield written as losses. */
export function chainOf(line: Line, trimOf: TrimYields): readonly YieldStep[] {
  if (line.yields.length > 0) return line.yields;
  const own = trimOf.get(line.ingredientId ?? '') ?? 1;
  const trim: YieldStep[] =
    line.trimYield !== null
      ? [{ kind: 'trim', fraction: line.trimYield, source: 'as the recipe had it' }]
      : own === 1
        ? []
        : [{ kind: 'trim', fraction: own, source: 'the ingredient’s own yield' }];
  return line.cookingYield === null
    ? trim
    : [...trim, { kind: 'cooking', fraction: line.cookingYield, source: 'as the recipe had it' }];
}

/** Whether the version still has the line or step. A batch is of one version: its key names it. */
export function holds(version: Contents, place: YieldPlace): boolean {
  if (place.target === 'batch') return true;
  const keys = place.target === 'line' ? lineKeys(version.lines) : stepKeys(version.steps);
  return keys.includes(place.targetKey);
}

type Contents = Pick<VersionInput, 'lines' | 'steps'>;

/** The standard as the version has it; undefined where it states none. A batch: 1, what it says it gives. */
export function currentFraction(
  version: Contents,
  place: YieldPlace,
  trimOf: TrimYields,
): number | undefined {
  if (place.target === 'batch') return 1;
  return chainAt(version, place, trimOf).find(({ kind }) => kind === place.kind)?.fraction;
}

function chainAt(version: Contents, place: YieldPlace, trimOf: TrimYields): readonly YieldStep[] {
  if (place.target === 'line') {
    const line = version.lines[lineKeys(version.lines).indexOf(place.targetKey)];
    return line ? chainOf(line, trimOf) : [];
  }
  return version.steps[stepKeys(version.steps).indexOf(place.targetKey)]?.yields ?? [];
}

/**
 * A version with a new standard yield. A line's chain gets the loss in its place. A step's loss
 * changes what a batch gives in proportion, where one was stated before; the first statement changes
 * nothing else. A batch's yield changes what the batch gives.
 */
export function withYield(
  input: VersionInput,
  place: YieldPlace,
  standard: { readonly fraction: number; readonly source: string },
  trimOf: TrimYields,
): VersionInput {
  if (place.kind === 'batch') return scaledOutput(input, standard.fraction);
  const loss: YieldStep = { kind: place.kind, ...standard };
  if (place.target === 'line') {
    const at = lineKeys(input.lines).indexOf(place.targetKey);
    return {
      ...input,
      lines: input.lines.map((line, i) => (i === at ? withLoss(line, loss, trimOf) : line)),
    };
  }
  const at = stepKeys(input.steps).indexOf(place.targetKey);
  const before = currentFraction(input, place, trimOf);
  const steps = input.steps.map((step, i) =>
    i === at ? { ...step, yields: placed(step.yields, loss) } : step,
  );
  return scaledOutput({ ...input, steps }, before === undefined ? 1 : loss.fraction / before);
}

function withLoss<T extends Line>(line: T, loss: YieldStep, trimOf: TrimYields): T {
  const known = chainOf(line, trimOf);
  // The ingredient's own trim yield goes on standing where only a later loss is new.
  const kept =
    line.yields.length === 0 && line.trimYield === null && !isTrim(loss.kind)
      ? known.filter(({ kind }) => !isTrim(kind))
      : known;
  return { ...line, trimYield: null, cookingYield: null, yields: placed(kept, loss) };
}

function placed(chain: readonly YieldStep[], loss: YieldStep): readonly YieldStep[] {
  if (chain.some(({ kind }) => kind === loss.kind)) {
    return chain.map((step) => (step.kind === loss.kind ? loss : step));
  }
  const after = chain.findIndex(({ kind }) => ORDER.indexOf(kind) > ORDER.indexOf(loss.kind));
  return after < 0 ? [...chain, loss] : [...chain.slice(0, after), loss, ...chain.slice(after)];
}

const OUTPUT_DIGITS = 4;

/** What a batch gives, times a factor, to four digits: finer than any scale it is weighed on. */
function scaledOutput(input: VersionInput, factor: number): VersionInput {
  if (factor === 1 || typeof input.output === 'string') return input;
  const value = Number((input.output.value * factor).toPrecision(OUTPUT_DIGITS));
  return { ...input, output: { value, unit: input.output.unit } };
}
