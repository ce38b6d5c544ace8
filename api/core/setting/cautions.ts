/** What a recipe holds or does that weakens or spoils a gelatine set. */
export interface SettingFacts {
  /** pH of the mix, when known. */
  readonly ph?: number;
  /** Sour fruit, juice or vinegar in the mix. */
  readonly acidic?: boolean;
  /** Alcohol by volume of the finished mix, in per cent, when known. */
  readonly alcoholPercent?: number;
  /** Names of fruit that goes in raw. */
  readonly rawFruit?: readonly string[];
  /** Gelatine is in the mix while it boils. */
  readonly boiled?: boolean;
}

/** A caution for the card, with where it comes from. */
export interface SettingCaution {
  readonly id: 'acid' | 'alcohol' | 'enzyme' | 'boiling';
  readonly text: string;
  readonly source: string;
}

/** Fruit whose protease dissolves a gelatine set while raw; cooking it through makes it safe to use. */
export interface EnzymeFruit {
  readonly name: string;
  readonly source: string;
}

const MAKERS = "gelatine makers' and sellers' notes, read second-hand";

/** Raw fruit that keeps gelatine from setting. */
export const ENZYME_FRUIT: readonly EnzymeFruit[] = [
  { name: 'pineapple', source: MAKERS },
  { name: 'kiwi', source: MAKERS },
  { name: 'papaya', source: MAKERS },
  { name: 'mango', source: MAKERS },
  { name: 'fig', source: 'from memory' },
  { name: 'guava', source: 'from memory' },
  { name: 'ginger', source: 'from memory' },
  { name: 'melon', source: 'from memory' },
];

/** Below this pH acid weakens a gelatine gel noticeably. From memory. */
export const ACID_PH = 4;

/** From this share of alcohol a gelatine gel softens and can turn cloudy. Common practice, no source. */
export const ALCOHOL_PERCENT = 20;

/** The enzyme fruit that a name speaks of, such as 'Golden kiwifruit'; undefined when it names none. */
export function findEnzymeFruit(name: string): EnzymeFruit | undefined {
  const words = name.toLowerCase().split(/[^\p{L}]+/u);
  return ENZYME_FRUIT.find((fruit) =>
    words.some((word) => {
      const plain = word.replace(/fruits?$/u, '');
      return [fruit.name, `${fruit.name}s`, `${fruit.name}es`].some(
        (spelling) => spelling === word || spelling === plain,
      );
    }),
  );
}

/** The cautions that apply to a gelatine mix, in the order acid, alcohol, enzyme, boiling. */
export function settingCautions(facts: SettingFacts): SettingCaution[] {
  const cautions: SettingCaution[] = [];
  if (facts.acidic === true || (facts.ph !== undefined && facts.ph < ACID_PH)) {
    cautions.push({
      id: 'acid',
      text: 'Acid weakens the set: add gelatine to the warm base, not to the juice, and test the firmness.',
      source: facts.ph === undefined ? 'common practice, no source' : 'pH limit from memory',
    });
  }
  if (facts.alcoholPercent !== undefined && facts.alcoholPercent >= ALCOHOL_PERCENT) {
    cautions.push({
      id: 'alcohol',
      text: `At ${facts.alcoholPercent} % alcohol the set is softer and may cloud: use more gelatine and test it.`,
      source: 'common practice, no source',
    });
  }
  for (const name of facts.rawFruit ?? []) {
    const fruit = findEnzymeFruit(name);
    if (fruit !== undefined) {
      cautions.push({
        id: 'enzyme',
        text: `Raw ${name} stops gelatine from setting: heat it through first, or set with something else.`,
        source: fruit.source,
      });
    }
  }
  if (facts.boiled === true) {
    cautions.push({
      id: 'boiling',
      text: 'Boiling weakens gelatine: dissolve it off the boil and do not boil the mix again.',
      source: 'common practice, no source',
    });
  }
  return cautions;
}
