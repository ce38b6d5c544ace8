import { wallClockOf } from '../calendar/index.ts';
import { ExplanationBuilder, subgraph } from '../explanation/index.ts';
import type { ExplanationGraph } from '../explanation/index.ts';
import type { MilpSolver } from '../milp/index.ts';
import { planQuantile } from '../planning/index.ts';
import type { NeedFromElsewhere, SitePlan } from '../planning/index.ts';
import { ok, type Result } from '../shared/result.ts';
import { goodsOfNeeds, type GoodsOf } from './goods-of-needs.ts';
import { planTransfers } from './plan-transfers.ts';
import type { AskedTransfer, CentralSupply, SupplyFrom } from './supply.ts';
import type { NotSentReason, OpenTrip, PlannedTransfer } from './transfer-problem.ts';

/** What a site asks others for, and why the rest is not sent. */
export interface TransfersAsked {
  readonly transfers: readonly AskedTransfer[];
  /** One sentence by need, for those that are not served in full. */
  readonly whyShort: Readonly<Record<string, string>>;
  /** Trips that carry something, over all makers, and the work and age of it in minutes. */
  readonly trips: number;
  readonly costMin: number;
  /** From the plan's needs to what is asked for. */
  readonly explanation: ExplanationGraph;
}

/**
 * Asks the making sites for what a plan of the receiving site is short of (`neededFromElsewhere`):
 * for each maker `planTransfers`, each figure explained on top of the plan's own.
 *
 * What another recipe version is made for goes apart, so that nobody is served by one version what
 * the menu declares by another. A trip counts for a component only where the maker can have it ready
 * by then inside its hours, as fresh as that allows; whether hands and equipment have room is for the
 * maker's own plan to say.
 */
export async function askForTransfers(
  plan: SitePlan,
  supply: CentralSupply,
  zone: string,
  solver: MilpSolver,
): Promise<Result<TransfersAsked>> {
  const builder = new ExplanationBuilder({ quantile: planQuantile });
  const transfers: AskedTransfer[] = [];
  const whyShort: Record<string, string> = {};
  let trips = 0;
  let costMin = 0;
  for (const from of supply.from) {
    const { goods, withoutRecipe } = goodsOfNeeds(from, plan.neededFromElsewhere, supply.nowMin);
    for (const need of withoutRecipe) {
      whyShort[need.needId] =
        `${from.makerName} has no published recipe for it on ${need.serviceDate}.`;
    }
    const planned = await planTransfers({ trips: from.trips, goods: goods.map(bare) }, solver);
    if (!planned.ok) return planned;
    const byId = new Map(goods.map((one) => [one.id, one]));
    for (const transfer of planned.value.transfers) {
      const of = byId.get(transfer.goodsId);
      const trip = from.trips.find(({ id }) => id === transfer.tripId);
      if (!of || !trip) continue;
      const node = explained(builder, plan, of, transfer, trip, from);
      if (!node.ok) return node;
      transfers.push(asked(of, transfer, trip, from, node.value));
    }
    for (const { goodsId, needId, reason } of planned.value.notSent) {
      const of = byId.get(goodsId);
      const need = of?.needsInPlan.find((one) => one.needId === needId);
      if (of && need) whyShort[needId] = words(of, need, from, reason, zone);
    }
    trips += planned.value.tripIds.length;
    costMin += planned.value.costMin;
  }
  transfers.sort((a, b) => a.leaveMin - b.leaveMin || compare(a.itemId, b.itemId));
  return ok({ transfers, whyShort, trips, costMin, explanation: builder.graph() });
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** The goods as the problem takes them: plain data. */
function bare({ component: _c, version: _v, needsInPlan: _n, ...goods }: GoodsOf) {
  return goods;
}

function asked(
  goods: GoodsOf,
  transfer: PlannedTransfer,
  trip: OpenTrip,
  from: SupplyFrom,
  node: string,
): AskedTransfer {
  const { component, version } = goods;
  const served = transfer.serves.flatMap(({ needId, quantity }) => {
    const need = goods.needsInPlan.find((one) => one.needId === needId);
    return need ? [{ need, quantity }] : [];
  });
  const neededUntilMin = Math.max(trip.arriveMin, ...served.map(({ need }) => need.untilMin));
  // Counted from making, carrying may cost the lot some of its life: its own date must lie further on.
  const costs =
    component.keeping?.after === 'making'
      ? Math.max(0, version.shelfLifeMin - component.keeping.minutes)
      : 0;
  const certain = served.reduce(
    (sum, { need, quantity }) => sum + quantity * need.certainFraction,
    0,
  );
  return {
    ruleId: component.ruleId,
    makerSiteId: from.makerSiteId,
    itemId: component.itemId,
    versionId: version.versionId,
    tripId: trip.id,
    leaveMin: trip.leaveMin,
    arriveMin: trip.arriveMin,
    containers: transfer.containers,
    quantity: transfer.quantity,
    surplus: transfer.surplus,
    serviceDate: served.map(({ need }) => need.serviceDate).sort()[0] ?? trip.arriveDate,
    neededUntilMin,
    lotUntilMin: neededUntilMin + costs,
    useByMin: goods.keepsUntilMin[trip.id] ?? trip.arriveMin,
    certainFraction: transfer.quantity > 0 ? Math.min(1, certain / transfer.quantity) : 0,
    node,
    serves: served.map(({ need, quantity }) => ({
      label: need.neededBy.label,
      serviceDate: need.serviceDate,
      atMin: need.atMin,
      quantity,
    })),
  };
}

/** What is to be sent: the needs it serves, whole containers, what those hold. */
function explained(
  builder: ExplanationBuilder,
  plan: SitePlan,
  goods: GoodsOf,
  transfer: PlannedTransfer,
  trip: OpenTrip,
  from: SupplyFrom,
): Result<string> {
  const { component } = goods;
  const stem = `transfer:${from.makerSiteId}:${goods.id}:${trip.id}`;
  const inputs: { nodeId: string; factor?: number }[] = [];
  for (const { needId, quantity } of transfer.serves) {
    const need = goods.needsInPlan.find((one) => one.needId === needId);
    if (!need) continue;
    const part = subgraph(plan.explanation, need.node);
    if (!part.ok) return part;
    builder.adopt(part.value);
    const whole = builder.value(need.node);
    const factor = whole > 0 ? quantity / whole : 0;
    inputs.push(
      Math.abs(factor - 1) < 1e-9 ? { nodeId: need.node } : { nodeId: need.node, factor },
    );
  }
  const toSend = builder.add({
    id: `${stem}:to-send`,
    label: `${component.name} that ${from.makerName} sends on ${trip.leaveDate}`,
    unit: component.baseUnit,
    formula: 'weighted-sum',
    inputs,
  });
  let containers = builder.add({
    id: `${stem}:containers`,
    label: `${component.name}, full containers (${component.containerName})`,
    unit: 'containers',
    formula: 'round-up-to-multiple',
    inputs: [{ nodeId: toSend, factor: 1 / goods.containerQuantity }],
    parameters: { multiple: 1 },
    source: {
      kind: 'central production',
      id: component.ruleId,
      note: `one ${component.containerName} holds ${goods.containerQuantity} ${component.baseUnit}`,
    },
  });
  if (builder.value(containers) !== transfer.containers) {
    // Eaten in the order of their dates, others may serve what these were counted for.
    const chosen = builder.given({
      id: `${stem}:chosen`,
      label: `${component.name}, containers chosen over all transfers`,
      value: transfer.containers,
      unit: 'containers',
      source: { kind: 'transfer plan', id: trip.id },
    });
    containers = builder.add({
      id: `${stem}:containers-chosen`,
      label: `${component.name}, containers that leave`,
      unit: 'containers',
      formula: 'maximum',
      inputs: [{ nodeId: containers }, { nodeId: chosen }],
    });
  }
  return ok(
    builder.add({
      id: stem,
      label: `${component.name} from ${from.makerName}, leaves ${trip.leaveDate}`,
      unit: component.baseUnit,
      formula: 'weighted-sum',
      inputs: [{ nodeId: containers, factor: goods.containerQuantity }],
    }),
  );
}

function words(
  { name }: GoodsOf,
  need: NeedFromElsewhere,
  { makerName }: SupplyFrom,
  reason: NotSentReason,
  zone: string,
): string {
  const clock = wallClockOf(need.atMin, zone);
  const when = clock.ok ? `, ${clock.value.date} ${clock.value.time}` : '';
  const forWhom = `${need.neededBy.label}${when}`;
  switch (reason) {
    case 'no-trip':
      return `No transfer that can still be asked for brings ${name} from ${makerName} in time for ${forWhom}.`;
    case 'not-made-in-time':
      return `${makerName} cannot have ${name} ready for a transfer in time for ${forWhom}.`;
    case 'does-not-keep':
      return `${name} from ${makerName} would not keep until the end of ${forWhom}.`;
    case 'load-full':
      return `The transfers from ${makerName} are full: ${name} for ${forWhom} does not fit on them.`;
    case 'minimum-load':
      return `Too little is wanted for a transfer from ${makerName}: ${name} for ${forWhom} is below the least load.`;
    case 'maker-short':
      return `${makerName} has no room to make more ${name} for ${forWhom}.`;
  }
}
