import type { EpochMin } from '../calendar/index.ts';
import type { ExplanationBuilder } from '../explanation/index.ts';
import type { Item } from '../recipe-graph/index.ts';
import type { VersionsByDate } from './item-order.ts';
import type { OpenNeeds } from './open-needs.ts';
import { byKind, SitePlacer } from '../schedule/index.ts';
import type { SiteEquipment } from '../schedule/index.ts';
import type { BarredChances } from './bar-chances.ts';
import { mainOutput } from './component-runs.ts';
import type { MadeChoices, WishedRun } from './component-runs.ts';
import { occupyUnderWay } from './work-under-way.ts';
import type { ItemLot, PlanVersion, SitePlanInput } from './plan-input.ts';
import type {
  ComponentMethod,
  LeftUnused,
  NeedFromElsewhere,
  PlannedTask,
  Shortage,
  StockUse,
  TightRun,
} from './plan-output.ts';

/** A by-product that a planned run will give: supply for other components. */
export interface DueLot extends ItemLot {
  /** The explained quantity of the whole lot. */
  readonly node: string;
}

/** Something that draws a recipe's lines: a run of a component, or the plates of a service. */
export interface LineUser {
  readonly version: PlanVersion;
  /** Explained amount made, base units of the recipe's own item. */
  readonly madeNode: string;
  readonly made: number;
  /** Explained batches, for lines that are drawn once a batch. */
  readonly batchesNode: string;
  readonly batches: number;
  readonly atMin: number;
  readonly untilMin: number;
  /** When the makings of a run begin, where they are far apart: each draws its part then. */
  readonly parts?: readonly {
    readonly atMin: number;
    readonly untilMin: number;
    readonly fraction: number;
  }[];
  readonly serviceDate: string;
  readonly certainFraction: number;
  readonly user: {
    readonly kind: 'service' | 'batch';
    readonly id: string;
    readonly label: string;
  };
}

/** A plan while it is being worked out: what stays fixed, and what has been found so far. */
export class PlanDraft {
  readonly input: SitePlanInput;
  readonly builder: ExplanationBuilder;
  readonly versions: VersionsByDate;
  readonly needs: OpenNeeds;
  readonly items: ReadonlyMap<string, Item>;
  readonly nameOf: (itemId: string) => string;
  /** Earliest start of a component whose own components cannot be there sooner. */
  readonly notBefore: ReadonlyMap<string, EpochMin>;
  /** The site's equipment by kind. */
  readonly kinds: ReadonlyMap<string, SiteEquipment>;
  /** Runs that a search over all components would have, by component. */
  readonly wishes: ReadonlyMap<string, readonly WishedRun[]>;
  /** Chances not to be taken, by component. */
  readonly barred: BarredChances;
  /** Choices of batches made in this pass and those before it. */
  readonly made: MadeChoices;
  readonly methods: ComponentMethod[] = [];
  /** Components whose own best choice found no room on people and equipment. */
  readonly cut = new Set<string>();
  /** What runs as chosen leave short of a need, base units, by need. */
  readonly unmet = new Map<string, number>();
  readonly tight: TightRun[] = [];
  /** What people and equipment have left. */
  readonly placer: SitePlacer;
  readonly tasks: PlannedTask[] = [];
  readonly shortages: Shortage[] = [];
  readonly stockUses: StockUse[] = [];
  readonly leftUnused: LeftUnused[] = [];
  readonly neededFromElsewhere: NeedFromElsewhere[] = [];
  readonly dueLots: DueLot[] = [];

  constructor(parts: {
    input: SitePlanInput;
    builder: ExplanationBuilder;
    versions: VersionsByDate;
    needs: OpenNeeds;
    items: ReadonlyMap<string, Item>;
    nameOf: (itemId: string) => string;
    notBefore: ReadonlyMap<string, EpochMin>;
    made: MadeChoices;
    wishes?: ReadonlyMap<string, readonly WishedRun[]>;
    barred?: BarredChances;
  }) {
    this.kinds = byKind(parts.input.equipment ?? []);
    const { nowMin, open, underWay = [] } = parts.input;
    // Where nobody says who is on shift, hands do not bind.
    const shifts = parts.input.shifts ?? open.map((one) => ({ ...one, people: Infinity }));
    this.placer = new SitePlacer({ shifts, equipment: [...this.kinds.values()] });
    occupyUnderWay(this.placer, underWay, { nowMin, shifts, kinds: this.kinds });
    this.notBefore = parts.notBefore;
    this.made = parts.made;
    this.wishes = parts.wishes ?? new Map();
    this.barred = parts.barred ?? new Map();
    this.input = parts.input;
    this.builder = parts.builder;
    this.versions = parts.versions;
    this.needs = parts.needs;
    this.items = parts.items;
    this.nameOf = parts.nameOf;
  }

  /**
   * Adds what each line of a recipe draws. A line counted per batch is drawn once for each batch
   * started, whole or part; the others in proportion. The line's losses are put back.
   */
  addLineNeeds(use: LineUser): void {
    const { builder } = this;
    const output = mainOutput(use.version).quantity;
    for (const line of use.version.recipe.lines) {
      const drawn = line.quantity / line.yieldFraction;
      const id = `need:${use.user.id}:${use.version.itemId}:${line.id}`;
      const child = this.nameOf(line.itemId);
      const unit = this.items.get(line.itemId)?.baseUnit ?? 'each';
      const source = {
        kind: 'recipe line',
        id: line.id,
        note: `version ${use.version.versionNumber}: ${line.quantity} ${unit} a batch, yield ${line.yieldFraction}${line.note === undefined ? '' : `; ${line.note}`}`,
      };
      if (line.perBatch === true) {
        const node = builder.add({
          id,
          label: `${child} for ${use.user.label}`,
          unit,
          formula: 'weighted-sum',
          inputs: [{ nodeId: this.#startedBatches(use), factor: drawn }],
          source,
        });
        this.#addNeed(use, line.itemId, id, node, use);
        continue;
      }
      const whole = { atMin: use.atMin, untilMin: use.untilMin, fraction: 1 };
      for (const [i, part] of (use.parts ?? [whole]).entries()) {
        const partId = i === 0 ? id : `${id}:${i + 1}`;
        const node = builder.add({
          id: partId,
          label: `${child} for ${use.user.label}`,
          unit,
          formula: 'weighted-sum',
          inputs: [{ nodeId: use.madeNode, factor: (drawn / output) * part.fraction }],
          source,
        });
        this.#addNeed(use, line.itemId, partId, node, part);
      }
    }
  }

  #addNeed(
    use: LineUser,
    itemId: string,
    id: string,
    node: string,
    { atMin, untilMin }: Pick<LineUser, 'atMin' | 'untilMin'>,
  ): void {
    const quantity = this.builder.value(node);
    if (quantity <= 0) return;
    this.needs.add({
      id,
      itemId,
      atMin,
      untilMin,
      serviceDate: use.serviceDate,
      quantity,
      certainFraction: use.certainFraction,
      node,
      neededBy: {
        kind: use.user.kind,
        id: use.user.id,
        label: use.user.label,
        serviceDate: use.serviceDate,
        atMin,
        quantity,
      },
    });
  }

  #startedBatches(use: LineUser): string {
    return this.builder.add({
      id: `started:${use.user.id}:${use.version.itemId}`,
      label: `Batches started, ${use.user.label}`,
      unit: 'batches',
      formula: 'round-up-to-multiple',
      inputs: [{ nodeId: use.batchesNode }],
      parameters: { multiple: 1 },
    });
  }
}
