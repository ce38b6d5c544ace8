import { said } from './said.ts';

/** 'Milk', or 'Nuts (almond)': a group of the law with the kind it has named. */
export const allergen = (label: string, kind?: string | null): string =>
  kind ? `${said(label)} (${said(kind)})` : said(label);

/** The same from one text, as labels have it. */
export function allergenText(text: string): string {
  const [, label, kind] = /^(.+?) \((.+)\)$/.exec(text) ?? [];
  return allergen(label ?? text, kind);
}
