import type { BatchProblem } from '../../../api/core/batches/index.ts';

/** Least unmet quantity, and the least cost among plans that leave no more than that. */
export interface BestOfAll {
  readonly short: number;
  readonly cost: number;
}

/**
 * Tries every count in every slot and eats each plan day by day, first-expiring first. Written apart
 * from the product's own evaluation, so that the two check one another.
 */
export function bestOfEveryChoice(problem: BatchProblem): BestOfAll {
  const { rule, slots } = problem;
  const needed = problem.needs.reduce((sum, need) => sum + need.quantity, 0);
  let best: BestOfAll = { short: Infinity, cost: Infinity };
  const counts: number[] = [];
  const visit = (index: number): void => {
    const slot = slots[index];
    if (!slot) {
      const found = play(problem, counts);
      if (
        found.short < best.short - 1e-9 ||
        (found.short < best.short + 1e-9 && found.cost < best.cost)
      )
        best = found;
      return;
    }
    const most = Math.min(
      rule.maxBatches ?? Infinity,
      slot.capacityBatches ?? Infinity,
      Math.max(rule.minBatches, needed / rule.batchQuantity + rule.multiple, 3),
    );
    counts[index] = 0;
    visit(index + 1);
    for (let batches = rule.multiple; batches <= most + 1e-9; batches += rule.multiple) {
      if (batches < rule.minBatches) continue;
      counts[index] = batches;
      visit(index + 1);
    }
    counts[index] = 0;
  };
  visit(0);
  return best;
}

function play(problem: BatchProblem, batches: readonly number[]): BestOfAll {
  const { rule, costs, slots } = problem;
  const stock = [
    ...(problem.lots ?? []).map((lot) => ({ ...lot, readyMin: lot.availableFromMin })),
    ...(problem.frozenRuns ?? []),
  ];
  const first = Math.min(...problem.needs.map((n) => n.atMin), ...slots.map((s) => s.startMin));
  const fridge = [
    ...stock.map((slot) => ({
      slot,
      left: slot.quantity,
      paid: true,
      agesFrom: Math.max(first, slot.readyMin),
    })),
    ...slots.map((slot, i) => ({
      slot,
      left: (batches[i] ?? 0) * rule.batchQuantity,
      paid: false,
      agesFrom: slot.readyMin,
    })),
  ];
  let cost = 0;
  let short = 0;
  for (const [i, slot] of slots.entries()) {
    const made = batches[i] ?? 0;
    if (made > 0) cost += (slot.setupCost ?? costs.setup) + (costs.perBatch ?? 0) * made;
    if (problem.previousRuns && problem.changePenalty) {
      const was = problem.previousRuns.find((run) => run.slotId === slot.id)?.batches ?? 0;
      cost += Math.abs(made - was) * problem.changePenalty.perBatch;
      if (made > 0 !== was > 0) cost += problem.changePenalty.perRun;
    }
  }
  for (const need of [...problem.needs].sort((a, b) => a.atMin - b.atMin)) {
    let open = need.quantity;
    const inDate = fridge
      .filter(({ slot }) => slot.readyMin <= need.atMin && slot.useByMin >= need.untilMin)
      .sort((a, b) => a.slot.useByMin - b.slot.useByMin || a.slot.readyMin - b.slot.readyMin);
    for (const entry of inDate) {
      const taken = Math.min(open, entry.left);
      entry.left -= taken;
      open -= taken;
      cost +=
        ((costs.holdingPerUnitPerDay + costs.agePenalty) * taken * (need.atMin - entry.agesFrom)) /
        1440;
    }
    short += open;
  }
  const last = problem.stockWaitsToMin ?? Math.max(...problem.needs.map((n) => n.atMin));
  for (const { slot, left, paid, agesFrom } of fridge) {
    if (paid) {
      // Stock that nobody eats waits to the end.
      cost +=
        (left * (costs.holdingPerUnitPerDay + costs.agePenalty) * Math.max(0, last - agesFrom)) /
        1440;
      continue;
    }
    const kept = problem.horizonEndMin !== undefined && slot.useByMin > problem.horizonEndMin;
    cost += left * (kept ? (costs.endSurplusPerUnit ?? 0) : costs.perUnitWaste);
  }
  return { short, cost };
}
