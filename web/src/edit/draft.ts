import type { RecipeVersion, VersionBody } from '../api/types.ts';
import { readNumber } from '../show/amount.ts';
import {
  lossesFrom,
  shareFrom,
  typedLosses,
  typedShare,
  type HasLosses,
  type TypedShare,
} from './losses.ts';

// A draft as it is typed.

type BodyLine = NonNullable<VersionBody['lines']>[number];
type BodyStep = NonNullable<VersionBody['steps']>[number];
type BodyByProduct = NonNullable<VersionBody['byProducts']>[number];
type Written = VersionBody['output'];

export type LineFreedom = NonNullable<BodyLine['siteMay']>[number];
export type StepFreedom = NonNullable<BodyStep['siteMay']>[number];

/** An amount as typed; where the text stays as it came, the exact amount goes back. */
export interface TypedAmount {
  text: string;
  readonly came: { readonly text: string; readonly amount: Written } | null;
}
export interface TypedItem {
  name: string;
  itemId: string;
  kind: 'ingredient' | 'component';
}
export interface TypedLine extends TypedItem, HasLosses {
  readonly key: number;
  amount: TypedAmount;
  perBatch: boolean;
  scaleStep: string;
  note: string;
  /** Where no losses are listed: what is left after trimming, and of that after cooking. */
  trim: TypedShare;
  cooking: TypedShare;
  siteMay: LineFreedom[];
}
export interface TypedStep extends HasLosses {
  readonly key: number;
  text: string;
  kind: string;
  workingMin: string;
  waitingMin: string;
  temperatureC: string;
  equipmentKind: string;
  equipmentAmount: string;
  holdMaxMin: string;
  cooling: boolean;
  siteMay: StepFreedom[];
}
export interface TypedByProduct extends TypedItem {
  readonly key: number;
  amount: TypedAmount;
  shelfLifeHours: string;
  storage: Storage;
  mayStartBatch: boolean;
}
type Storage = NonNullable<VersionBody['storage']>;
export interface TypedDraft {
  output: TypedAmount;
  pieceMassG: string;
  densityGPerMl: string;
  batchMin: string;
  batchMax: string;
  batchMultiple: string;
  shelfLifeHours: string;
  storage: Storage;
  cautions: string;
  note: string;
  lines: TypedLine[];
  steps: TypedStep[];
  byProducts: TypedByProduct[];
}

let lastKey = 0;
export const newKey = (): number => (lastKey += 1);
const MINUTES = 60;
const typed = (value: number | null): string => (value === null ? '' : String(value));
const freshAmount = (text = ''): TypedAmount => ({ text, came: null });
const cameAs = (text: string, amount: Written): TypedAmount => ({ text, came: { text, amount } });

export const emptyLine = (): TypedLine => ({
  key: newKey(),
  name: '',
  itemId: '',
  kind: 'ingredient',
  amount: freshAmount(),
  perBatch: false,
  scaleStep: '',
  note: '',
  trim: typedShare(null),
  cooking: typedShare(null),
  losses: [],
  siteMay: [],
});
export const emptyStep = (): TypedStep => ({
  key: newKey(),
  text: '',
  kind: 'work',
  workingMin: '',
  waitingMin: '',
  temperatureC: '',
  equipmentKind: '',
  equipmentAmount: '',
  holdMaxMin: '',
  cooling: false,
  losses: [],
  siteMay: [],
});
export const emptyByProduct = (): TypedByProduct => ({
  key: newKey(),
  name: '',
  itemId: '',
  kind: 'component',
  amount: freshAmount(),
  shelfLifeHours: '24',
  storage: 'chilled',
  mayStartBatch: false,
});

/** A recipe nobody has written yet. */
export function emptyDraft(dish: boolean): TypedDraft {
  return {
    output: freshAmount(dish ? '1' : ''),
    pieceMassG: '',
    densityGPerMl: '',
    batchMin: '1',
    batchMax: '',
    batchMultiple: '1',
    shelfLifeHours: dish ? '1' : '48',
    storage: 'chilled',
    cautions: '',
    note: '',
    lines: [emptyLine()],
    steps: [emptyStep()],
    byProducts: [],
  };
}

/** A saved version as it is typed again. */
export function typedFrom(version: RecipeVersion): TypedDraft {
  return {
    output: cameAs(version.output.amountText, version.output.amount),
    pieceMassG: typed(version.pieceMassG),
    densityGPerMl: typed(version.densityGPerMl),
    batchMin: typed(version.batch.min),
    batchMax: typed(version.batch.max),
    batchMultiple: typed(version.batch.multiple),
    shelfLifeHours: typed(version.shelfLifeMin / MINUTES),
    storage: version.storage,
    cautions: version.cautions.join('\n'),
    note: version.note ?? '',
    lines: version.lines.map((line) => ({
      key: newKey(),
      name: line.itemName,
      itemId: line.ingredientId ?? line.componentId ?? '',
      kind: line.ingredientId === null ? 'component' : 'ingredient',
      amount: cameAs(line.amountText, line.amount),
      perBatch: line.perBatch,
      scaleStep: typed(line.scaleStep),
      note: line.note ?? '',
      ...typedYields(line),
      siteMay: line.siteMay as LineFreedom[],
    })),
    steps: version.steps.map((step) => ({
      key: newKey(),
      text: step.text,
      kind: step.kind,
      workingMin: typed(step.workingMin),
      waitingMin: typed(step.waitingMin),
      temperatureC: typed(step.temperatureC),
      equipmentKind: step.equipment?.kind ?? '',
      equipmentAmount: typed(step.equipment?.amount ?? null),
      holdMaxMin: typed(step.holdMaxMin),
      cooling: step.cooling,
      losses: typedLosses(step.yields, newKey),
      siteMay: step.siteMay as StepFreedom[],
    })),
    byProducts: version.byProducts.map((by) => ({
      key: newKey(),
      name: by.itemName,
      itemId: by.componentId,
      kind: 'component',
      amount: cameAs(by.amountText, by.amount),
      shelfLifeHours: typed(by.shelfLifeMin / MINUTES),
      storage: by.storage,
      mayStartBatch: by.mayStartBatch,
    })),
  };
}

/** Shares that come from a list of losses are worked out from it again. */
function typedYields({
  yields,
  trimYield,
  cookingYield,
}: RecipeVersion['lines'][number]): Pick<TypedLine, 'trim' | 'cooking' | 'losses'> {
  const listed = yields.length > 0;
  return {
    trim: typedShare(listed ? null : trimYield),
    cooking: typedShare(listed ? null : cookingYield),
    losses: typedLosses(yields, newKey),
  };
}

const isEmptyLine = ({ name, amount }: TypedLine | TypedByProduct): boolean =>
  name.trim() === '' && amount.text.trim() === '';
const isEmptyStep = ({ text }: TypedStep): boolean => text.trim() === '';

/** Which typed rows the body has, by its own indexes: empty rows are not sent. */
export interface SentRows {
  readonly lines: readonly number[];
  readonly steps: readonly number[];
  readonly byProducts: readonly number[];
}
export function sentRows(draft: TypedDraft): SentRows {
  return {
    lines: draft.lines.filter((row) => !isEmptyLine(row)).map((row) => row.key),
    steps: draft.steps.filter((row) => !isEmptyStep(row)).map((row) => row.key),
    byProducts: draft.byProducts.filter((row) => !isEmptyLine(row)).map((row) => row.key),
  };
}

/** A number, or what was typed where it is none: the service then says what is wrong with it. */
const asNumber = (text: string, minus = false): number => {
  const sign = minus && /^[-−]/.test(text.trim()) ? -1 : 1;
  return sign * (readNumber(text.replace(/^\s*[-−]/, '')) ?? (text as unknown as number));
};
const orNull = (text: string, minus = false): number | null =>
  text.trim() === '' ? null : asNumber(text, minus);
const orZero = (text: string): number => (text.trim() === '' ? 0 : asNumber(text));
const hours = (text: string): number => {
  const count = asNumber(text);
  return typeof count === 'number' ? Math.round(count * MINUTES) : count;
};
const written = ({ text, came }: TypedAmount): Written =>
  came && came.text === text ? came.amount : text.trim();

const shareOrNull = (share: TypedShare): number | null =>
  share.text.trim() === '' ? null : shareFrom(share, asNumber);
function yieldsOf(
  line: TypedLine,
): Required<Pick<BodyLine, 'trimYield' | 'cookingYield' | 'yields'>> {
  const yields = lossesFrom(line.losses, asNumber);
  const listed = line.losses.length > 0;
  return {
    trimYield: listed ? null : shareOrNull(line.trim),
    cookingYield: listed ? null : shareOrNull(line.cooking),
    yields,
  };
}

/** The body to send. */
export function bodyOf(draft: TypedDraft): VersionBody {
  return {
    output: written(draft.output),
    pieceMassG: orNull(draft.pieceMassG),
    densityGPerMl: orNull(draft.densityGPerMl),
    batch: {
      min: asNumber(draft.batchMin),
      max: orNull(draft.batchMax),
      multiple: asNumber(draft.batchMultiple),
    },
    shelfLifeMin: hours(draft.shelfLifeHours),
    storage: draft.storage,
    cautions: draft.cautions
      .split('\n')
      .map((text) => text.trim())
      .filter(Boolean),
    note: draft.note.trim() || null,
    lines: draft.lines
      .filter((line) => !isEmptyLine(line))
      .map((line) => ({
        ...yieldsOf(line),
        siteMay: line.siteMay,
        ingredientId: line.kind === 'ingredient' ? line.itemId || null : null,
        componentId: line.kind === 'component' ? line.itemId || null : null,
        amount: written(line.amount),
        perBatch: line.perBatch,
        scaleStep: orNull(line.scaleStep),
        note: line.note.trim() || null,
      })),
    steps: draft.steps
      .filter((step) => !isEmptyStep(step))
      .map((step) => ({
        yields: lossesFrom(step.losses, asNumber),
        siteMay: step.siteMay,
        text: step.text.trim(),
        kind: step.kind.trim() || 'work',
        workingMin: orZero(step.workingMin),
        waitingMin: orZero(step.waitingMin),
        temperatureC: orNull(step.temperatureC, true),
        equipment:
          step.equipmentKind.trim() === ''
            ? null
            : { kind: step.equipmentKind.trim(), amount: orNull(step.equipmentAmount) ?? 1 },
        holdMaxMin: orNull(step.holdMaxMin),
        cooling: step.cooling,
      })),
    byProducts: draft.byProducts
      .filter((by) => !isEmptyLine(by))
      .map((by): BodyByProduct => ({
        componentId: by.itemId,
        amount: written(by.amount),
        shelfLifeMin: hours(by.shelfLifeHours),
        storage: by.storage,
        mayStartBatch: by.mayStartBatch,
      })),
  };
}
