import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  addWeights,
  askForTransfers,
  askingInput,
  decidePlace,
  explainPlace,
  outsideNeeds,
  promises,
  suppliedInput,
  weighPlan,
  wordsOfChoice,
  type AskedOfMaker,
  type CentralComponent,
  type OpenTrip,
  type Place,
  type PlaceProblem,
  type SupplyFrom,
} from '../../../api/core/central/index.ts';
import { chain, evaluate } from '../../../api/core/explanation/index.ts';
import { highsSolver } from '../../../api/core/milp/index.ts';
import { planSite, type SitePlanInput } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { ZONE } from '../planning/lake-scenario.ts';
import { component, dinners, tripsFrom } from './two-sites.ts';

const solver = highsSolver();
const plan = async (input: SitePlanInput) => planSite(input);
const hands = (input: SitePlanInput, people: number): SitePlanInput => ({
  ...input,
  shifts: input.open.map((open) => ({ ...open, people })),
});

interface Kitchens {
  readonly inputs: Readonly<Record<string, SitePlanInput>>;
  readonly makers: readonly string[];
  readonly trips?: readonly OpenTrip[];
  readonly made?: CentralComponent;
  readonly standing?: Place | null;
}

function supply(makerSiteId: string, { inputs, trips, made }: Kitchens): SupplyFrom {
  return {
    makerSiteId,
    makerName: makerSiteId,
    trips: trips ?? tripsFrom(),
    makerOpen: inputs[makerSiteId]?.open ?? [],
    components: [made ?? component('shell')],
  };
}

function problemOf(kitchens: Kitchens): PlaceProblem {
  const { inputs, makers, standing } = kitchens;
  return {
    sites: Object.entries(inputs).map(([siteId, input]) => ({ siteId, name: siteId, input })),
    makers: makers.map((makerSiteId) => ({
      makerSiteId,
      supplyTo: new Map(
        Object.keys(inputs)
          .filter((id) => id !== makerSiteId)
          .map((id) => [id, supply(makerSiteId, kitchens)]),
      ),
    })),
    standing: standing ?? null,
  };
}

/** One receiver's plan with a maker, worked out from nothing. */
async function receive(input: SitePlanInput, from: SupplyFrom) {
  const given = { nowMin: input.nowMin, from: [from] };
  const asking = unwrap(planSite(askingInput(input, given)));
  const asked = unwrap(await askForTransfers(asking, given, ZONE, solver));
  const with_ = suppliedInput(input, given, asked);
  return { asked, weight: weighPlan(unwrap(planSite(with_)), with_) };
}

/** What one place costs in all and leaves short, nothing remembered from another. */
async function costOf(kitchens: Kitchens, maker: string, receivers: readonly string[]) {
  const { inputs } = kitchens;
  const from = supply(maker, kitchens);
  const size = from.components[0]?.containerQuantity ?? 1;
  const wanted: (AskedOfMaker & {
    readonly by: string;
    readonly trip: string;
    readonly v: string;
  })[] = [];
  for (const id of receivers) {
    const input = inputs[id];
    if (!input) throw new Error(id);
    const { asked } = await receive(input, from);
    for (const one of asked.transfers) {
      wanted.push({
        ...one,
        id: `${id}-${one.versionId}-${one.tripId}`,
        receiverName: id,
        containerQuantity: size,
        by: id,
        trip: one.tripId,
        v: one.versionId,
      });
    }
  }
  const own = inputs[maker];
  if (!own) throw new Error(maker);
  const making = { ...own, outsideNeeds: outsideNeeds(wanted, ZONE) };
  const makers = unwrap(planSite(making));
  const given = promises(makers, wanted);
  const asOwn = makers.shortages.filter(({ node }) => !node.startsWith('outside:transfer:'));
  const weights = [weighPlan({ ...makers, shortages: asOwn }, making)];
  let carryingMin = 0;
  for (const [id, input] of Object.entries(inputs)) {
    if (id === maker) continue;
    if (!receivers.includes(id)) {
      weights.push(weighPlan(unwrap(planSite(input)), input));
      continue;
    }
    const promised: Record<string, Record<string, number>> = {};
    for (const { versionId } of from.components[0]?.versions ?? []) {
      promised[versionId] = Object.fromEntries(
        from.trips.map((trip) => {
          const mine = wanted.find((w) => w.by === id && w.trip === trip.id && w.v === versionId);
          return [trip.id, mine ? (given.get(mine.id) ?? 0) : 0];
        }),
      );
    }
    const limited = { ...from, components: from.components.map((c) => ({ ...c, promised })) };
    const all = wanted.filter((w) => w.by === id);
    const isFull = all.every((w) => (given.get(w.id) ?? 0) >= w.quantity);
    const { asked, weight } = await receive(input, isFull ? from : limited);
    weights.push(weight);
    carryingMin += asked.costMin;
  }
  const { workMin, planMin, shortBatches } = addWeights(weights);
  return { totalMin: workMin + planMin + carryingMin, shortBatches };
}

describe('where a component is made, planned through', () => {
  it('is the best of every place there is: maker by maker, with every set of receivers', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.record({
          a: fc.array(fc.integer({ min: 0, max: 60 }), { minLength: 2, maxLength: 3 }),
          b: fc.array(fc.integer({ min: 0, max: 60 }), { minLength: 2, maxLength: 3 }),
          c: fc.array(fc.integer({ min: 0, max: 30 }), { minLength: 2, maxLength: 3 }),
          people: fc.tuple(
            fc.integer({ min: 0, max: 2 }),
            fc.integer({ min: 0, max: 2 }),
            fc.integer({ min: 1, max: 2 }),
          ),
          limit: fc.constantFrom(undefined, 1, 3),
          keepsHours: fc.constantFrom(undefined, 8, 30),
          restMadeHere: fc.boolean(),
        }),
        async ({ a, b, c, people, limit, keepsHours, restMadeHere }) => {
          const kitchens: Kitchens = {
            inputs: {
              a: hands(dinners(a), people[0]),
              b: hands(dinners(b), people[1]),
              c: hands(dinners(c), people[2]),
            },
            makers: ['a', 'b'],
            trips: tripsFrom({}, limit === undefined ? {} : { containerLimit: limit }),
            made: component('shell', {
              restMadeHere,
              keeping:
                keepsHours === undefined ? null : { minutes: keepsHours * 60, after: 'making' },
            }),
          };
          const { chosen, places } = unwrap(await decidePlace(problemOf(kitchens), plan, solver));
          expect(places).toHaveLength(7);
          const alone = addWeights(
            Object.values(kitchens.inputs).map((input) =>
              weighPlan(unwrap(planSite(input)), input),
            ),
          );
          const all = [
            { totalMin: alone.workMin + alone.planMin, shortBatches: alone.shortBatches },
          ];
          for (const [maker, sets] of [
            ['a', [['b'], ['c'], ['b', 'c']]],
            ['b', [['a'], ['c'], ['a', 'c']]],
          ] as const) {
            for (const set of sets) all.push(await costOf(kitchens, maker, set));
          }
          const least = Math.min(...all.map((one) => one.shortBatches));
          const cheapest = Math.min(
            ...all.filter((one) => one.shortBatches <= least + 1e-6).map((one) => one.totalMin),
          );
          expect(chosen.shortBatches).toBeCloseTo(least, 6);
          expect(chosen.totalMin).toBeCloseTo(cheapest, 4);
        },
      ),
      { numRuns: 8 },
    );
  }, 240_000);

  it('moves to another site where one has no hands and nothing else would do', async () => {
    const kitchens: Kitchens = {
      inputs: { molo: hands(dinners([8, 8, 8]), 0), serafina: hands(dinners([20, 20, 20]), 3) },
      makers: ['molo', 'serafina'],
      made: component('shell'),
    };
    const choice = unwrap(await decidePlace(problemOf(kitchens), plan, solver));
    expect(choice.why).toBe('less-short');
    expect(choice.chosen).toMatchObject({ makerSiteId: 'serafina', receiverSiteIds: ['molo'] });
    expect(wordsOfChoice(choice, (id) => id)).toMatch(
      /^Made at serafina for molo: .* batches short; every site for itself, /,
    );
  });

  it('stays at every site where it would not keep once carried, or the maker has no hands', async () => {
    const receiver = hands(dinners([8, 8, 8]), 2);
    for (const [people, keeping] of [
      [2, { minutes: 30, after: 'transfer' as const }],
      [0, null],
    ] as const) {
      const choice = unwrap(
        await decidePlace(
          problemOf({
            inputs: { molo: receiver, serafina: hands(dinners([8, 8, 8]), people) },
            makers: ['serafina'],
            made: component('shell', { keeping }),
          }),
          plan,
          solver,
        ),
      );
      expect(choice.chosen.makerSiteId).toBeNull();
      const other = choice.places.find(({ makerSiteId }) => makerSiteId === 'serafina');
      expect(other?.shortBatches).toBeGreaterThan(choice.chosen.shortBatches);
    }
  });

  it('counts what a maker cannot send once, where it is eaten', async () => {
    const choice = unwrap(
      await decidePlace(
        problemOf({
          inputs: { molo: dinners([10, 10]), serafina: hands(dinners([0, 0]), 0) },
          makers: ['serafina'],
          made: component('shell', { restMadeHere: false }),
        }),
        plan,
        solver,
      ),
    );
    const central = choice.places.find(({ makerSiteId }) => makerSiteId === 'serafina');
    const at = (id: string) => central?.sites.find(({ siteId }) => siteId === id)?.shortBatches;
    expect(at('molo')).toBeGreaterThan(0);
    expect(at('serafina')).toBe(0);
  });

  it('can be explained: a place’s minutes add up from each site’s', async () => {
    const choice = unwrap(
      await decidePlace(
        problemOf({
          inputs: { molo: hands(dinners([8, 8]), 2), serafina: hands(dinners([20, 20]), 2) },
          makers: ['serafina'],
        }),
        plan,
        solver,
      ),
    );
    for (const place of choice.places) {
      const { node, graph } = explainPlace(place, (id) => id);
      expect(unwrap(evaluate(graph, node))).toBeCloseTo(place.totalMin, 6);
      expect(unwrap(chain(graph, node)).join('\n')).toContain('serafina, in all');
    }
  });
});
