import { formatAmount } from '../../core/quantity/index.ts';
import { stepChanges } from './step-difference.ts';
import type { Recipe, RecipeLine, RecipeVersion } from './recipes.ports.ts';
import { freedomWords, inDuration, inPercent, lossWords } from './words.ts';

export type ChangeArea = 'yield' | 'lines' | 'steps' | 'keeping' | 'batches' | 'outputs' | 'notes';

/** One change, as one cook would tell another. */
export interface VersionChange {
  readonly area: ChangeArea;
  readonly text: string;
}

export interface VersionDifference {
  readonly recipeId: string;
  readonly recipeName: string;
  readonly from: { readonly id: string; readonly number: number };
  readonly to: { readonly id: string; readonly number: number };
  readonly changes: readonly VersionChange[];
}

/** A line that stays while the yield changes by less is not worth a cook's word. */
const WORTH_TELLING = 0.02;

/** A version with enough to be told apart from another: a kept revision of a draft is one too. */
export type DescribedVersion = Pick<
  RecipeVersion,
  | 'id'
  | 'number'
  | 'output'
  | 'pieceMassG'
  | 'batch'
  | 'shelfLifeMin'
  | 'storage'
  | 'cautions'
  | 'note'
  | 'lines'
  | 'steps'
  | 'byProducts'
>;

type Names = ReadonlyMap<string, { readonly name: string }>;
interface Written {
  readonly amount: { readonly value: number; readonly unit: string };
}

/** What changes between two versions, in a cook's words. Nothing changed: an empty list. */
export function describeDifference(
  recipe: Recipe,
  from: DescribedVersion,
  to: DescribedVersion,
  names: Names,
): VersionDifference {
  const changes: VersionChange[] = [];
  const add = (area: ChangeArea, texts: readonly string[]): void => {
    for (const text of texts) changes.push({ area, text });
  };
  if (from.output.quantity !== to.output.quantity) {
    add('yield', [`One batch gives ${written(to.output)} instead of ${written(from.output)}.`]);
  }
  if (from.pieceMassG !== to.pieceMassG) {
    add('yield', [`A piece weighs ${grams(to.pieceMassG)} instead of ${grams(from.pieceMassG)}.`]);
  }
  add('lines', lineChanges(from, to, names));
  add('steps', stepChanges(from.steps, to.steps));
  add('keeping', keepingChanges(from, to));
  add('batches', batchChanges(from, to));
  add('outputs', byProductChanges(from, to, names));
  add('notes', cautionChanges(from, to));
  return {
    recipeId: recipe.id,
    recipeName: recipe.name,
    from: { id: from.id, number: from.number },
    to: { id: to.id, number: to.number },
    changes,
  };
}

function written({ amount }: Written): string {
  return formatAmount(amount);
}

function grams(massG: number | null): string {
  return massG === null ? 'not stated' : `${massG} g`;
}

function nameOf(item: { ingredientId?: string | null; componentId: string | null }, names: Names) {
  const id = item.ingredientId ?? item.componentId ?? '';
  return names.get(id)?.name ?? id;
}

/** Lines are paired by what they name; several of one ingredient pair in their order. */
function lineChanges(from: DescribedVersion, to: DescribedVersion, names: Names): string[] {
  const waiting = new Map<string, RecipeLine[]>();
  for (const line of from.lines) {
    const id = line.ingredientId ?? line.componentId ?? '';
    waiting.set(id, [...(waiting.get(id) ?? []), line]);
  }
  const texts: string[] = [];
  const madeFactor = to.output.quantity / from.output.quantity;
  const kept: string[] = [];
  for (const line of to.lines) {
    const old = waiting.get(line.ingredientId ?? line.componentId ?? '')?.shift();
    if (old) {
      kept.push(old.id);
      texts.push(...oneLineChanges(old, line, nameOf(line, names), madeFactor));
    } else {
      texts.push(`New: ${written(line)} ${nameOf(line, names)}.`);
    }
  }
  for (const line of [...waiting.values()].flat()) {
    texts.push(`Left out: ${written(line)} ${nameOf(line, names)}.`);
  }
  const place = new Map(from.lines.map((line, index) => [line.id, index]));
  const places = kept.map((id) => place.get(id) ?? 0);
  if (places.some((p, i) => i > 0 && p < (places[i - 1] ?? 0))) {
    texts.push('The lines stand in another order.');
  }
  return texts;
}

function oneLineChanges(
  old: RecipeLine,
  now: RecipeLine,
  name: string,
  madeFactor: number,
): string[] {
  const texts: string[] = [];
  if (old.quantity !== now.quantity) {
    const inProportion = now.quantity / old.quantity / (now.perBatch ? 1 : madeFactor) - 1;
    texts.push(`${name}: ${written(old)} becomes ${written(now)} (${moreOrLess(inProportion)}).`);
  } else if (!now.perBatch && Math.abs(1 / madeFactor - 1) >= WORTH_TELLING) {
    texts.push(`${name}: still ${written(now)} (${moreOrLess(1 / madeFactor - 1)}).`);
  }
  for (const [field, word] of [
    ['trimYield', 'trimmed'],
    ['cookingYield', 'cooked'],
  ] as const) {
    if (old[field] !== now[field]) {
      texts.push(
        `${name}: ${share(now[field])} is left when ${word}, instead of ${share(old[field])}.`,
      );
    }
  }
  if (old.trimYield === now.trimYield && old.cookingYield === now.cookingYield) {
    const losses = lossWords(now.yields);
    if (losses !== lossWords(old.yields)) texts.push(`${name}: losses are now ${losses}.`);
  }
  texts.push(...freedomWords(old.siteMay, now.siteMay).map((words) => `${name}: ${words}`));
  if (old.perBatch !== now.perBatch) {
    texts.push(
      now.perBatch ? `${name}: now once a batch, whatever its size.` : `${name}: now scales.`,
    );
  }
  if (old.note !== now.note) texts.push(`${name}: the note is ${quoted(now.note)}.`);
  return texts;
}

/** A change of a line against what the batch gives. */
function moreOrLess(fraction: number): string {
  if (Math.abs(fraction) < 0.0005) return 'the same in proportion';
  return `${inPercent(Math.abs(fraction))} ${fraction > 0 ? 'more' : 'less'} in proportion`;
}

function share(fraction: number | null): string {
  return fraction === null ? 'the usual share' : inPercent(fraction);
}

function quoted(text: string | null): string {
  return text === null ? 'gone' : `“${text}”`;
}

function keepingChanges(from: DescribedVersion, to: DescribedVersion): string[] {
  const texts: string[] = [];
  if (from.shelfLifeMin !== to.shelfLifeMin) {
    texts.push(`Keeps ${inDuration(to.shelfLifeMin)} instead of ${inDuration(from.shelfLifeMin)}.`);
  }
  if (from.storage !== to.storage) texts.push(`Kept ${to.storage} instead of ${from.storage}.`);
  return texts;
}

function batchChanges(from: DescribedVersion, to: DescribedVersion): string[] {
  const size = ({ batch }: DescribedVersion): string =>
    `${batch.min} to ${batch.max ?? 'any number of'} batches in steps of ${batch.multiple}`;
  return size(from) === size(to) ? [] : [`Made as ${size(to)} instead of ${size(from)}.`];
}

function byProductChanges(from: DescribedVersion, to: DescribedVersion, names: Names): string[] {
  const texts: string[] = [];
  const before = new Map(from.byProducts.map((byProduct) => [byProduct.componentId, byProduct]));
  for (const byProduct of to.byProducts) {
    const old = before.get(byProduct.componentId);
    before.delete(byProduct.componentId);
    const name = nameOf(byProduct, names);
    if (!old) texts.push(`Gives ${written(byProduct)} ${name} as well.`);
    else if (old.quantity !== byProduct.quantity) {
      texts.push(`Gives ${written(byProduct)} ${name} instead of ${written(old)}.`);
    }
    if (old && old.shelfLifeMin !== byProduct.shelfLifeMin) {
      texts.push(
        `${name} keeps ${inDuration(byProduct.shelfLifeMin)} instead of ${inDuration(old.shelfLifeMin)}.`,
      );
    }
  }
  for (const gone of before.values()) texts.push(`No longer gives ${nameOf(gone, names)}.`);
  return texts;
}

function cautionChanges(from: DescribedVersion, to: DescribedVersion): string[] {
  const texts = [
    ...to.cautions.filter((c) => !from.cautions.includes(c)).map((c) => `New caution: ${c}`),
    ...from.cautions.filter((c) => !to.cautions.includes(c)).map((c) => `Caution gone: ${c}`),
  ];
  if (from.note !== to.note) texts.push(`The note is ${quoted(to.note)}.`);
  return texts;
}
