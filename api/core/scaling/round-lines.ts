import type { BaseUnit } from '../quantity/index.ts';

/** An amount to be weighed: exact, in its base unit, with the step of the scale it is weighed on. */
export interface ExactLine {
  readonly id: string;
  readonly exact: number;
  readonly baseUnit: BaseUnit;
  /** Smallest difference the scale or spoon shows, in the base unit; absent: not rounded. */
  readonly scaleStep?: number;
}

/** A rounded amount and how it came about. */
export interface RoundedLine {
  readonly id: string;
  readonly exact: number;
  readonly amount: number;
  readonly baseUnit: BaseUnit;
  /** The step it was rounded to, absent when it was not. */
  readonly stepUsed?: number;
  /** The line is too small for its scale: weigh it on one that shows `stepUsed`. */
  readonly finerScale: boolean;
  /** amount / exact − 1; 0 for an exact amount of 0. */
  readonly deviation: number;
  /** Whether |deviation| is inside the tolerance. */
  readonly insideTolerance: boolean;
}

/** How much finer than its scale a line may be weighed: a thousandth of the step. */
const FINEST = 1000;

/**
 * Rounds the lines of one batch to the steps of their scales by largest remainder: within each base
 * unit and step every line is rounded down or up so that the group's total is its exact total to
 * the nearest step, and the lines that lose most by rounding down are the ones rounded up. So a
 * line moves by less than its step, and the batch total by at most half a step per line.
 * A weight so small that a whole step could break `tolerance` (the allowed change of its share, 0.02
 * for 2 %) is rounded to a tenth, hundredth or thousandth of the step and marked `finerScale`; pieces are
 * not, but marked outside the tolerance.
 */
export function roundLines(lines: readonly ExactLine[], tolerance: number): RoundedLine[] {
  const groups = new Map<string, { step: number; members: number[] }>();
  for (const [index, line] of lines.entries()) {
    const step = stepFor(line, tolerance);
    if (step === undefined) continue;
    const key = `${line.baseUnit} ${step}`;
    const group = groups.get(key) ?? { step, members: [] };
    group.members.push(index);
    groups.set(key, group);
  }
  const amounts = lines.map((line) => line.exact);
  const steps = new Map<number, number>();
  for (const { step, members } of groups.values()) {
    const counts = apportion(members.map((index) => (lines[index]?.exact ?? 0) / step));
    for (const [position, index] of members.entries()) {
      // A multiple of a decimal step carries binary noise in its sixteenth digit; drop it.
      amounts[index] = Number(((counts[position] ?? 0) * step).toPrecision(14));
      steps.set(index, step);
    }
  }
  return lines.map((line, index) => {
    const amount = amounts[index] ?? line.exact;
    const stepUsed = steps.get(index);
    const deviation = line.exact === 0 ? 0 : amount / line.exact - 1;
    return {
      id: line.id,
      exact: line.exact,
      amount,
      baseUnit: line.baseUnit,
      ...(stepUsed === undefined ? {} : { stepUsed }),
      finerScale: stepUsed !== undefined && stepUsed !== line.scaleStep,
      deviation,
      insideTolerance: Math.abs(deviation) <= tolerance,
    };
  });
}

/** The coarsest of step, step/10, step/100, step/1000 of which one whole step stays inside the tolerance. */
function stepFor(line: ExactLine, tolerance: number): number | undefined {
  const { scaleStep } = line;
  if (scaleStep === undefined || line.exact === 0) return scaleStep;
  if (line.baseUnit === 'each') return scaleStep;
  for (let divisor = 1; divisor < FINEST; divisor *= 10) {
    const step = scaleStep / divisor;
    if (step <= line.exact * tolerance) return step;
  }
  return scaleStep / FINEST;
}

/** Whole numbers, each the value rounded down or up, whose sum is the sum of the values to the nearest whole. */
function apportion(values: readonly number[]): number[] {
  const floors = values.map((value) => Math.floor(value + 1e-9));
  const total = Math.round(values.reduce((sum, value) => sum + value, 0));
  let missing = total - floors.reduce((sum, value) => sum + value, 0);
  const byRemainder = values
    .map((value, index) => ({ index, remainder: value - (floors[index] ?? 0) }))
    .sort((a, b) => b.remainder - a.remainder || a.index - b.index);
  for (const { index } of byRemainder) {
    if (missing <= 0) break;
    floors[index] = (floors[index] ?? 0) + 1;
    missing -= 1;
  }
  return floors;
}
