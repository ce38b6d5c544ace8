/** What a limit or an advice rests on. */
export interface Grounds {
  /** Law in force, guidance of an authority or standards body, or what kitchens do. */
  readonly kind: 'law' | 'guidance' | 'common practice';
  /** Where it is written; says so when it is from memory or has no source. */
  readonly source: string;
}

/** Stands beside every limit, judgement and use-by. */
export const SAFETY_NOTICE =
  'These limits help and never replace your food-safety plan: local codes and licensed practice decide. When in doubt, throw it out.';

export const law = (source: string): Grounds => ({ kind: 'law', source });
export const guidance = (source: string): Grounds => ({ kind: 'guidance', source });
export const practice = (source = 'common practice, no source'): Grounds => ({
  kind: 'common practice',
  source,
});
