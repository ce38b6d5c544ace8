/** Gelatine: grades, sheets and powder of equal firmness, and what spoils a set. */
export {
  BLOOM_RANGE,
  SHEET_EXCHANGE,
  checkBloom,
  equivalentMassG,
  exchangeSheets,
  settingLevelGPerL,
} from './bloom.ts';
export type { BloomRule } from './bloom.ts';
export {
  SHEET_GRADES,
  SHEET_STEP,
  convertGelatine,
  gelatineAmount,
  settingCard,
} from './gelatine-form.ts';
export type {
  ConvertedGelatine,
  GelatineAmount,
  GelatineForm,
  SheetGrade,
} from './gelatine-form.ts';
export {
  ACID_PH,
  ALCOHOL_PERCENT,
  ENZYME_FRUIT,
  findEnzymeFruit,
  settingCautions,
} from './cautions.ts';
export type { EnzymeFruit, SettingCaution, SettingFacts } from './cautions.ts';
