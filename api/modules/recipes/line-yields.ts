import { chainYields, type YieldKind, type YieldStep } from '../../core/yields/index.ts';
import { fromCoreError, invalid, orRefuse } from '../platform/index.ts';
import type { LineFields } from './recipes.ports.ts';

/** Losses before the pan: together they are the line's trim yield. */
const BEFORE_THE_PAN: ReadonlySet<YieldKind> = new Set(['trim', 'peel', 'stone']);

/** Whether a loss counts towards the trim yield; the others count towards the cooking yield. */
export function isTrim(kind: YieldKind): boolean {
  return BEFORE_THE_PAN.has(kind);
}

type Fractions = Pick<LineFields, 'trimYield' | 'cookingYield'>;

/**
 * The two fractions of a line: as written, or the products of its chain of losses.
 * @throws Refusal `out-of-range` pointing at the loss, `invalid-input` where a fraction is written
 *         beside a chain
 */
export function lineYields(
  line: Pick<LineFields, 'trimYield' | 'cookingYield' | 'yields'>,
  at: string,
): Fractions {
  const { yields, trimYield, cookingYield } = line;
  if (yields.length === 0) return { trimYield, cookingYield };
  const chain = chainYields(yields);
  if (!chain.ok) throw fromCoreError(chain.error, `${at}/yields`);
  for (const [field, written] of Object.entries({ trimYield, cookingYield })) {
    if (written === null) continue;
    throw invalid(`${at}/${field}`, 'The losses are listed one by one; leave this out.');
  }
  return {
    trimYield: productOf(yields.filter(({ kind }) => isTrim(kind))),
    cookingYield: productOf(yields.filter(({ kind }) => !isTrim(kind))),
  };
}

/** Null for no losses: the ingredient's own yield stands then. */
function productOf(steps: readonly YieldStep[]): number | null {
  return steps.length === 0 ? null : orRefuse(chainYields(steps)).fraction;
}
