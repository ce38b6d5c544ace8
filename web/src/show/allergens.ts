import { said } from './said.ts';

/** 'Milk', or 'Nuts (almond)': a group of the law with the kind it has named. */
export const allergen = (label: string, kind?: string | null): string =>
  kind ? `${said(label)} (${said(kind)})` : said(label);

/** The same from one text, as labels have it. */
export function allergenText(text: string): string {
  const [, label, kind] = /^(.+?) \((.+)\)$/.exec(text) ?? [];
  return allergen(label ?? text, kind);
}

/** What the law calls the groups of the service's codes. */
const GROUPS: Readonly<Record<string, string>> = {
  gluten: 'Cereals containing gluten',
  crustaceans: 'Crustaceans',
  eggs: 'Eggs',
  fish: 'Fish',
  peanuts: 'Peanuts',
  soybeans: 'Soybeans',
  milk: 'Milk',
  nuts: 'Nuts',
  celery: 'Celery',
  mustard: 'Mustard',
  sesame: 'Sesame',
  sulphites: 'Sulphur dioxide and sulphites',
  lupin: 'Lupin',
  molluscs: 'Molluscs',
};

/** 'nuts:almond' in words: 'Nuts (almond)'; a code nobody here knows as it came. */
export function allergenCode(code: string): string {
  const [group = '', kind] = code.split(':');
  return allergen(GROUPS[group] ?? group, kind);
}
