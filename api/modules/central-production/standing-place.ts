import { isSamePlace, wordsOfChoice, type Place } from '../../core/central/index.ts';
import type { CentralProduction, PlaceDecision } from './central-production.ports.ts';

/** Where a component is made by a rule: as fixed, or as decided; every site for itself before that. */
export function standingPlace({
  mode,
  siteIds,
  makerSiteIds,
  decision,
}: Pick<CentralProduction, 'mode' | 'siteIds' | 'makerSiteIds' | 'decision'>): Place {
  if (mode === 'decide') {
    const makerSiteId = decision?.makerSiteId ?? null;
    const receiverSiteIds = decision?.receiverSiteIds ?? [];
    return { makerSiteId, receiverSiteIds: makerSiteId === null ? [] : receiverSiteIds };
  }
  const makerSiteId = makerSiteIds[0] ?? null;
  return { makerSiteId, receiverSiteIds: siteIds.filter((id) => id !== makerSiteId) };
}

/** Why a component is made where it is, in words. */
export function wordsOfDecision(
  decision: PlaceDecision,
  nameOf: (siteId: string) => string,
): string {
  const chosen = decision.places.find((one) => isSamePlace(one, decision));
  if (!chosen) return '';
  return wordsOfChoice({ why: decision.why, chosen, places: decision.places }, nameOf);
}

/** @returns whether the rule still holds for some service date from this one on */
export function isAlive(
  { endsBefore }: Pick<CentralProduction, 'endsBefore'>,
  today: string,
): boolean {
  return endsBefore === null || endsBefore > today;
}

/** @returns whether two rules hold for a service date in common */
export function datesMeet(
  a: Pick<CentralProduction, 'fromDate' | 'endsBefore'>,
  b: Pick<CentralProduction, 'fromDate' | 'endsBefore'>,
): boolean {
  return (
    (a.endsBefore === null || b.fromDate < a.endsBefore) &&
    (b.endsBefore === null || a.fromDate < b.endsBefore)
  );
}
