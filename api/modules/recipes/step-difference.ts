import type { RecipeStep } from './recipes.ports.ts';
import { freedomWords, inDuration, lossWords } from './words.ts';

/**
 * What changes in the steps, in a cook's words. Steps with the same text are taken for the same
 * step (longest common sequence); between those, steps pair up in their order.
 */
export function stepChanges(from: readonly RecipeStep[], to: readonly RecipeStep[]): string[] {
  const texts: string[] = [];
  for (const [old, now] of pairs(from, to)) {
    const number = now === null ? null : to.indexOf(now) + 1;
    if (old === null && now !== null) texts.push(`New step ${number}: ${now.text}`);
    else if (old !== null && now === null) {
      texts.push(`Step ${from.indexOf(old) + 1} left out: ${old.text}`);
    } else if (old !== null && now !== null) {
      if (old.text !== now.text) texts.push(`Step ${number} now reads: ${now.text}`);
      texts.push(...fieldChanges(old, now).map((change) => `Step ${number}: ${change}`));
    }
  }
  return texts;
}

type Pair = readonly [RecipeStep | null, RecipeStep | null];

function pairs(from: readonly RecipeStep[], to: readonly RecipeStep[]): Pair[] {
  const found: Pair[] = [];
  let [i, j] = [0, 0];
  for (const [a, b] of [...commonSteps(from, to), [from.length, to.length] as const]) {
    const [gone, come] = [from.slice(i, a), to.slice(j, b)];
    for (let k = 0; k < Math.max(gone.length, come.length); k += 1) {
      found.push([gone[k] ?? null, come[k] ?? null]);
    }
    const [old, now] = [from[a], to[b]];
    if (old && now) found.push([old, now]);
    [i, j] = [a + 1, b + 1];
  }
  return found;
}

/** Positions of a longest common sequence of texts. */
function commonSteps(
  from: readonly RecipeStep[],
  to: readonly RecipeStep[],
): (readonly [number, number])[] {
  const longest: number[][] = Array.from({ length: from.length + 1 }, () =>
    new Array<number>(to.length + 1).fill(0),
  );
  const at = (i: number, j: number): number => longest[i]?.[j] ?? 0;
  for (let i = from.length - 1; i >= 0; i -= 1) {
    const row = longest[i];
    if (!row) continue;
    for (let j = to.length - 1; j >= 0; j -= 1) {
      row[j] =
        from[i]?.text === to[j]?.text ? at(i + 1, j + 1) + 1 : Math.max(at(i + 1, j), at(i, j + 1));
    }
  }
  const common: (readonly [number, number])[] = [];
  for (let i = 0, j = 0; i < from.length && j < to.length;) {
    if (from[i]?.text === to[j]?.text) {
      common.push([i, j]);
      i += 1;
      j += 1;
    } else if (at(i + 1, j) >= at(i, j + 1)) i += 1;
    else j += 1;
  }
  return common;
}

function fieldChanges(old: RecipeStep, now: RecipeStep): string[] {
  const texts: string[] = [];
  if (old.workingMin !== now.workingMin) {
    texts.push(`${inDuration(now.workingMin)} of work instead of ${inDuration(old.workingMin)}.`);
  }
  if (old.waitingMin !== now.waitingMin) {
    texts.push(`waits ${inDuration(now.waitingMin)} instead of ${inDuration(old.waitingMin)}.`);
  }
  if (old.temperatureC !== now.temperatureC) {
    texts.push(`at ${degrees(now.temperatureC)} instead of ${degrees(old.temperatureC)}.`);
  }
  const equipment = ({ equipment: use }: RecipeStep): string =>
    use === null ? 'nothing' : `${use.amount} × ${use.kind}`;
  if (equipment(old) !== equipment(now)) {
    texts.push(`takes up ${equipment(now)} instead of ${equipment(old)}.`);
  }
  const hold = ({ holdMaxMin }: RecipeStep): string =>
    holdMaxMin === null ? 'no stated wait' : `a wait of up to ${inDuration(holdMaxMin)}`;
  if (hold(old) !== hold(now)) texts.push(`then ${hold(now)} instead of ${hold(old)}.`);
  if (lossWords(old.yields) !== lossWords(now.yields)) {
    texts.push(`of the batch, ${lossWords(now.yields)} instead of ${lossWords(old.yields)}.`);
  }
  texts.push(...freedomWords(old.siteMay, now.siteMay));
  if (old.cooling !== now.cooling) {
    texts.push(now.cooling ? 'now counts as cooling.' : 'no longer counts as cooling.');
  }
  return texts;
}

function degrees(temperatureC: number | null): string {
  return temperatureC === null ? 'no stated temperature' : `${temperatureC} °C`;
}
