import { ExplanationBuilder } from '../explanation/index.ts';
import type { ExplanationGraph } from '../explanation/index.ts';
import type { SiteWeight, WorkedPlace } from './decide-place.ts';
import { WORTH_MOVING_MIN, type PlaceChoice } from './where-to-make.ts';

/** A place's total as a graph: from each site's minutes up. `node` is the total's. */
export interface ExplainedPlace {
  readonly node: string;
  readonly graph: ExplanationGraph;
}

const PARTS = [
  ['workMin', 'hands on every making'],
  ['planMin', 'getting out, cleaning down, waste and days in the fridge'],
  ['carryingMin', 'trips, packing and age of what is carried'],
] as const satisfies readonly (readonly [keyof SiteWeight, string])[];

/** Explains what a place costs: minutes by site and kind, added up. Pure. */
export function explainPlace(
  place: WorkedPlace,
  nameOf: (siteId: string) => string,
): ExplainedPlace {
  const builder = new ExplanationBuilder({});
  const sites = place.sites.map((site) => {
    const inputs = PARTS.filter(([part]) => site[part] !== 0).map(([part, label]) => ({
      nodeId: builder.given({
        id: `place:${site.siteId}:${part}`,
        label: `${nameOf(site.siteId)}, ${label}`,
        value: site[part],
        unit: 'min',
        source: { kind: 'plan worked out with this place', id: site.siteId },
      }),
    }));
    return builder.add({
      id: `place:${site.siteId}`,
      label: `${nameOf(site.siteId)}, in all`,
      unit: 'min',
      formula: 'weighted-sum',
      inputs,
    });
  });
  const node = builder.add({
    id: 'place',
    label: placeLabel(place, nameOf),
    unit: 'min',
    formula: 'weighted-sum',
    inputs: sites.map((nodeId) => ({ nodeId })),
  });
  return { node, graph: builder.graph() };
}

/** 'made at Serafina for Molo, Isola' or 'every site for itself' */
function placeLabel(
  { makerSiteId, receiverSiteIds }: Pick<WorkedPlace, 'makerSiteId' | 'receiverSiteIds'>,
  nameOf: (siteId: string) => string,
): string {
  if (makerSiteId === null) return 'every site for itself';
  return `made at ${nameOf(makerSiteId)} for ${receiverSiteIds.map(nameOf).join(', ')}`;
}

/** Why a place was chosen, in one or two sentences with the figures that decided it. */
export function wordsOfChoice(
  choice: Pick<PlaceChoice<WorkedPlace>, 'why' | 'chosen' | 'places'>,
  nameOf: (siteId: string) => string,
): string {
  const { chosen, why } = choice;
  const other = choice.places.find((one) => one !== chosen);
  const label = placeLabel(chosen, nameOf);
  if (!other) return `Only this was possible: ${label}.`;
  const than = placeLabel(other, nameOf);
  const minutes = (place: WorkedPlace): string => `${Math.round(place.totalMin)} min`;
  const batches = (place: WorkedPlace): string =>
    (Math.round(place.shortBatches * 10) / 10).toString();
  switch (why) {
    case 'less-short':
      return `${begun(label)}: ${batches(chosen)} batches short; ${than}, ${batches(other)}.`;
    case 'less-work':
      return `${begun(label)} costs ${minutes(chosen)} over the days planned; ${than}, ${minutes(other)}.`;
    case 'stands':
      return `It stays as it was, ${label} (${minutes(chosen)}): ${than} would cost ${minutes(other)}, which is not ${WORTH_MOVING_MIN} min less.`;
    case 'only-one':
      return `Only this was possible: ${label}.`;
  }
}

const begun = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
