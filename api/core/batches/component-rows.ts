import type { MilpBuilder, MilpVariable } from '../milp/index.ts';
import type { DatedNeed } from '../netting/index.ts';
import type { ProductionSlot } from './batch-plan.ts';
import { ceilWhole, maxSteps, minSteps, stepQuantity } from './batch-rule.ts';
import {
  batchCostOf,
  idleCostPerUnit,
  lotAgesFrom,
  lotsOf,
  MIN_PER_DAY,
  previousBatches,
  setupCostOf,
  surplusCostPerUnit,
} from './evaluate-runs.ts';
import type { JointComponent } from './joint-problem.ts';
import { keptSteps } from './position-recursion.ts';
import type { SlotWindow } from './slot-windows.ts';

/** What the model minimises and what it may leave short. */
export interface ModelAim {
  /** Least unmet (in batches), or least cost with at most `mostShort` batches unmet. */
  readonly minimise: 'unmet' | 'cost';
  readonly mostShort: number;
  /** Also forbid serving a need from a later batch while an earlier-expiring one goes unused. */
  readonly firstExpiringFirst: boolean;
  /** How much runs may go short of a component, base units, by id; left out = nothing. */
  readonly runsShort?: ReadonlyMap<string, number>;
  /** What a component's own terms cost at least, by id, where that is known. */
  readonly leastCost?: ReadonlyMap<string, number>;
}

interface Supply {
  readonly id: string;
  readonly readyMin: number;
  readonly useByMin: number;
  /** From when its days in the fridge count. */
  readonly agesFromMin: number;
  readonly slot?: ProductionSlot;
  readonly quantity: number;
  /** What a unit of stock costs when nobody eats it. */
  readonly idle: number;
}

/** A need with the variable its size follows, when a run of another component causes it. */
export interface ModelNeed {
  readonly need: DatedNeed;
  readonly most: number;
  readonly causedBy?: { readonly key: string; readonly perStep: number };
}

/** Names the variables of a component's slot. */
export function keyOf(componentId: string, slotId: string): string {
  return `${componentId} ${slotId}`;
}

/** The variables of a run: its steps, and whether it is made at all. */
export interface RunVariables {
  readonly count: number;
  readonly made: number;
}

/** Writes the variables and rows of one component into a model; see jointModel for the rows. */
export class ComponentRows {
  private readonly supplies: readonly Supply[];
  /** Amount variables by supply id, then need id. */
  private readonly amounts = new Map<string, Map<string, number>>();
  private readonly surplus = new Map<string, number>();
  private readonly costs: [number, number][] = [];

  constructor(
    private readonly model: MilpBuilder,
    private readonly part: JointComponent,
    private readonly needs: readonly ModelNeed[],
    private readonly aim: ModelAim,
  ) {
    const stock = lotsOf(part).map((lot): Supply => ({
      id: lot.id,
      readyMin: lot.availableFromMin,
      useByMin: lot.useByMin,
      agesFromMin: lotAgesFrom(lot, part),
      quantity: lot.quantity,
      idle: idleCostPerUnit(lot, part),
    }));
    const slots = part.slots.map((slot): Supply => ({
      ...slot,
      slot,
      agesFromMin: slot.readyMin,
      quantity: 0,
      idle: 0,
    }));
    this.supplies = [...stock, ...slots].sort(
      (a, b) => a.useByMin - b.useByMin || a.readyMin - b.readyMin || (a.id < b.id ? -1 : 1),
    );
  }

  private priced(cost: number): number {
    return this.aim.minimise === 'cost' ? cost : 0;
  }

  private variable(name: string, cost: number, upper: number, integer: boolean): number {
    return this.added({
      name: `${this.part.component.id} ${name}`,
      cost: this.priced(cost),
      lower: 0,
      upper,
      integer,
    });
  }

  private added(variable: MilpVariable): number {
    const index = this.model.addVariable(variable);
    if (variable.cost !== 0) this.costs.push([index, variable.cost]);
    return index;
  }

  private servable(supply: Supply): readonly ModelNeed[] {
    return this.needs.filter(
      ({ need }) => supply.readyMin <= need.atMin && supply.useByMin >= need.untilMin,
    );
  }

  addSupplies(
    stepVariables: Map<string, RunVariables>,
    mostMade: Map<string, number>,
    loads: ReadonlyMap<string, [number, number][]>,
  ): void {
    for (const supply of this.supplies) {
      const served = this.servable(supply);
      const demand = served.reduce((sum, { most }) => sum + most, 0);
      if (!supply.slot) {
        const left = this.variable(`left ${supply.id}`, supply.idle, supply.quantity, false);
        this.surplus.set(supply.id, left);
        const terms = this.addAmounts(supply, served, 0);
        this.row(`lot ${supply.id}`, [...terms, [left, 1]], supply.quantity, supply.quantity);
        continue;
      }
      const most = this.mostSteps(supply.slot, demand);
      if (most === 0) {
        this.addUnmakeable(supply.slot);
        continue;
      }
      const variables = this.addRun(supply, served, most);
      const key = keyOf(this.part.component.id, supply.id);
      stepVariables.set(key, variables);
      mostMade.set(key, most);
      for (const use of supply.slot.uses ?? []) {
        const load = loads.get(use.capacityId);
        if (!load) continue;
        load.push([variables.made, use.perRun]);
        load.push([variables.count, use.perBatch * this.part.rule.multiple]);
      }
    }
  }

  private mostSteps(slot: ProductionSlot, demand: number): number {
    const { rule } = this.part;
    const least = minSteps(rule);
    const cap = maxSteps(rule, slot.capacityBatches);
    const useful = demand > 0 ? Math.max(least, ceilWhole(demand / stepQuantity(rule))) : 0;
    const most = Math.min(cap, Math.max(useful, keptSteps(this.part, slot.id)));
    return most >= least ? most : 0;
  }

  /** A slot nothing can be made in still costs its change when the replaced plan used it. */
  private addUnmakeable(slot: ProductionSlot): void {
    const before = previousBatches(slot.id, this.part) ?? 0;
    const penalty = this.part.changePenalty;
    if (before > 0 && penalty) this.addConstant(penalty.perRun + penalty.perBatch * before);
  }

  private addConstant(cost: number): void {
    if (cost !== 0) {
      this.added({
        name: 'constant',
        cost: this.priced(cost),
        lower: 1,
        upper: 1,
        integer: false,
      });
    }
  }

  private addRun(supply: Supply, served: readonly ModelNeed[], most: number): RunVariables {
    const { part } = this;
    const slot = supply.slot;
    if (!slot) throw new Error('Only a slot has runs');
    const { multiple } = part.rule;
    const before = previousBatches(slot.id, part);
    const penalty = before === undefined ? undefined : part.changePenalty;
    const appears = penalty && before === 0 ? penalty.perRun : 0;
    const stays = penalty && before !== undefined && before > 0 ? penalty.perRun : 0;
    this.addConstant(stays);
    const setup = setupCostOf(slot, part) + appears - stays;
    const made = this.variable(`made ${slot.id}`, setup, 1, true);
    const perStep = batchCostOf(slot, part) * multiple;
    const count = this.variable(`steps ${slot.id}`, perStep, most, true);
    const left = this.variable(
      `surplus ${slot.id}`,
      surplusCostPerUnit(slot, part),
      Infinity,
      false,
    );
    this.surplus.set(slot.id, left);
    const terms = this.addAmounts(supply, served, made);
    this.row(`run ${slot.id}`, [...terms, [left, 1], [count, -stepQuantity(part.rule)]], 0, 0);
    this.row(
      `least ${slot.id}`,
      [
        [count, 1],
        [made, -minSteps(part.rule)],
      ],
      0,
      Infinity,
    );
    this.row(
      `most ${slot.id}`,
      [
        [count, 1],
        [made, -most],
      ],
      -Infinity,
      0,
    );
    if (penalty && before !== undefined && penalty.perBatch > 0) {
      const moved = this.variable(`moved ${slot.id}`, penalty.perBatch, Infinity, false);
      this.row(
        `more ${slot.id}`,
        [
          [moved, 1],
          [count, -multiple],
        ],
        -before,
        Infinity,
      );
      this.row(
        `fewer ${slot.id}`,
        [
          [moved, 1],
          [count, multiple],
        ],
        before,
        Infinity,
      );
    }
    return { count, made };
  }

  private addAmounts(supply: Supply, served: readonly ModelNeed[], made: number) {
    const { holdingPerUnitPerDay, agePenalty } = this.part.costs;
    const byNeed = new Map<string, number>();
    for (const { need, most } of served) {
      const days = (need.atMin - supply.agesFromMin) / MIN_PER_DAY;
      const cost = (holdingPerUnitPerDay + agePenalty) * days;
      const amount = this.variable(`${supply.id} for ${need.id}`, cost, most, false);
      byNeed.set(need.id, amount);
      if (supply.slot)
        this.row(
          `only made ${supply.id} ${need.id}`,
          [
            [amount, 1],
            [made, -most],
          ],
          -Infinity,
          0,
        );
    }
    this.amounts.set(supply.id, byNeed);
    return [...byNeed.values()].map((amount): [number, number] => [amount, 1]);
  }

  /** @returns terms of the unmet total, in batches */
  addNeeds(stepVariables: ReadonlyMap<string, RunVariables>): [number, number][] {
    const shorts: [number, number][] = [];
    const ofRuns: [number, number][] = [];
    const runsShort = this.aim.runsShort?.get(this.part.component.id) ?? 0;
    for (const { need, most, causedBy } of this.needs) {
      const terms = this.supplies.flatMap(({ id }): [number, number][] => {
        const amount = this.amounts.get(id)?.get(need.id);
        return amount === undefined ? [] : [[amount, 1]];
      });
      if (causedBy) {
        const count = stepVariables.get(causedBy.key)?.count;
        if (count === undefined) throw new Error('Users come before what they use');
        if (runsShort > 0) {
          const short = this.variable(`short ${need.id}`, 0, Math.min(most, runsShort), false);
          ofRuns.push([short, 1]);
          terms.push([short, 1]);
        }
        this.row(`cover ${need.id}`, [...terms, [count, -causedBy.perStep]], 0, 0);
        continue;
      }
      const perBatch = 1 / this.part.rule.batchQuantity;
      const unmet = this.aim.minimise === 'unmet';
      if (!unmet && this.aim.mostShort === 0) {
        this.row(`cover ${need.id}`, terms, most, most);
        continue;
      }
      const short = this.model.addVariable({
        name: `${this.part.component.id} short ${need.id}`,
        cost: unmet ? perBatch : 0,
        lower: 0,
        upper: most,
        integer: false,
      });
      shorts.push([short, perBatch]);
      this.row(`cover ${need.id}`, [...terms, [short, 1]], most, most);
    }
    if (ofRuns.length > 0) this.row('short for runs', ofRuns, -Infinity, runsShort);
    return shorts;
  }

  /** What must be made in stretches of slots, and the least the component can cost. */
  addLeast(windows: readonly SlotWindow[], stepVariables: ReadonlyMap<string, RunVariables>): void {
    for (const [i, { slotIds, steps, shortest, addedUp }] of windows.entries()) {
      const runs = slotIds.flatMap(
        (id) => stepVariables.get(keyOf(this.part.component.id, id)) ?? [],
      );
      if (addedUp || runs.length === 0) continue;
      const counts = runs.map(({ count }): [number, number] => [count, 1]);
      this.row(`steps in stretch ${i}`, counts, steps, Infinity);
      if (!shortest) continue;
      const made = runs.map((run): [number, number] => [run.made, 1]);
      this.row(`made in stretch ${i}`, made, 1, Infinity);
    }
    const least = this.aim.leastCost?.get(this.part.component.id) ?? 0;
    if (least > 0) this.row('own cost', this.costs, least, Infinity);
  }

  /** A run that is made has a run of each input that can serve it, where no stock can. */
  addFirstRuns(stepVariables: ReadonlyMap<string, RunVariables>): void {
    if (this.aim.runsShort?.has(this.part.component.id)) return;
    for (const { need, causedBy } of this.needs) {
      const made = causedBy && stepVariables.get(causedBy.key)?.made;
      if (made === undefined) continue;
      const able = this.supplies.filter(
        ({ readyMin, useByMin }) => readyMin <= need.atMin && useByMin >= need.untilMin,
      );
      if (able.some(({ slot }) => slot === undefined)) continue;
      const runs = able.flatMap(
        ({ id }) => stepVariables.get(keyOf(this.part.component.id, id)) ?? [],
      );
      const terms = runs.map((run): [number, number] => [run.made, 1]);
      this.row(`run for ${need.id}`, [...terms, [made, -1]], 0, Infinity);
    }
  }

  addFirstExpiringFirst(): void {
    for (const [index, supply] of this.supplies.entries()) {
      const left = this.surplus.get(supply.id);
      const served = this.servable(supply);
      if (left === undefined || served.length === 0) continue;
      const later = this.supplies.slice(index + 1);
      const rows = served.flatMap(({ need, most }) => {
        const terms = later.flatMap(({ id }): [number, number][] => {
          const amount = this.amounts.get(id)?.get(need.id);
          return amount === undefined ? [] : [[amount, 1]];
        });
        return terms.length === 0 ? [] : [{ need, most, terms }];
      });
      if (rows.length === 0) continue;
      const over = this.variable(`over ${supply.id}`, 0, 1, true);
      this.row(
        `over ${supply.id}`,
        [
          [left, 1],
          [over, -this.mostLeft(supply)],
        ],
        -Infinity,
        0,
      );
      for (const { need, most, terms } of rows) {
        this.row(`first ${supply.id} ${need.id}`, [...terms, [over, most]], -Infinity, most);
      }
    }
  }

  private mostLeft(supply: Supply): number {
    if (!supply.slot) return supply.quantity;
    const demand = this.servable(supply).reduce((sum, { most }) => sum + most, 0);
    return this.mostSteps(supply.slot, demand) * stepQuantity(this.part.rule);
  }

  private row(
    name: string,
    terms: readonly (readonly [number, number])[],
    lower: number,
    upper: number,
  ): void {
    this.model.addRow({ name: `${this.part.component.id} ${name}`, terms, lower, upper });
  }
}
