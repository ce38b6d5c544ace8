import { allergenStatement } from '../../core/allergens/index.ts';
import { wallClockOf } from '../../core/calendar/index.ts';
import { lotCode, writeLabelCode } from '../../core/codes/index.ts';
import { SAFETY_NOTICE } from '../../core/safety/index.ts';
import { kitchenOn } from '../dishes/index.ts';
import {
  maySeeSite,
  notFound,
  orRefuse,
  Refusal,
  type Actor,
  type Clock,
  type UnitOfWork,
} from '../platform/index.ts';
import type { Site } from '../sites/index.ts';
import { itemKey, type StockItem, type StockLot } from '../stock/index.ts';
import type { LabelsRead } from './labels.ports.ts';
import { qrSymbol } from './qr-symbol.ts';

/** `plain`: the lot's code, as it is typed. `gs1`: element strings with dates. */
export const CODE_KINDS = ['plain', 'gs1'] as const;
export type CodeKind = (typeof CODE_KINDS)[number];

/** What stands on a label. A held or expired lot says so in place of a use-by one may trust. */
export interface LotLabel {
  readonly lot: StockLot;
  readonly item: StockItem;
  readonly lotCode: string;
  readonly site: Site;
  readonly state: 'good' | 'held' | 'expired';
  readonly storage: string | null;
  readonly preparedBy: string | null;
  readonly contains: readonly string[];
  readonly mayContain: readonly string[];
  /** Ingredients nobody has declared: the lists above may lack something. */
  readonly notDeclared: readonly string[];
  readonly code: {
    readonly kind: CodeKind;
    readonly text: string;
    readonly rows: readonly string[];
  };
  readonly notice: string;
}

/** Labels of lots: what a pot in the fridge must say. */
export class LabelsService {
  readonly #work: Pick<UnitOfWork<LabelsRead>, 'read'>;
  readonly #clock: Clock;

  constructor(deps: {
    readonly work: Pick<UnitOfWork<LabelsRead>, 'read'>;
    readonly clock: Clock;
  }) {
    this.#work = deps.work;
    this.#clock = deps.clock;
  }

  /** @throws Refusal `wrong-state` when nothing is left to put a label on */
  async ofLot(actor: Actor, lotId: string, kind: CodeKind): Promise<LotLabel> {
    const { labels, stock, sites, recipes, ingredients } = this.#work.read;
    const lot = await stock.findLot(lotId);
    if (!lot || !maySeeSite(actor, lot.siteId)) throw notFound('stock lot', lotId);
    if (lot.archived || lot.quantity <= 0) {
      throw new Refusal('wrong-state', 'Nothing is left of this lot: there is nothing to label.');
    }
    const site = await sites.find(lot.siteId);
    const item = (await stock.items([lot])).find((one) => itemKey(one) === itemKey(lot));
    if (!site || !item) throw notFound('item of the lot', lot.itemId);
    const made = wall(lot.madeAt, site.zone);
    const useBy = wall(lot.useBy, site.zone);
    const code = lotCode(lot.id);
    const text =
      kind === 'plain'
        ? code
        : orRefuse(
            writeLabelCode({
              lotCode: code,
              madeOn: made.date,
              useByOn: useBy.date,
              useByAt: useBy.time,
            }),
          );
    const kitchen = kitchenOn(
      await recipes.publishedGraphRows(made.date),
      await ingredients.all(),
      made.date,
    );
    const allergens = orRefuse(
      allergenStatement(kitchen.graph, kitchen.declarations, lot.itemId, site.ruleSet, {
        massPerBaseUnit: kitchen.massPerBaseUnit,
      }),
    );
    const labelOf = (presence: (typeof allergens.contains)[number]): string =>
      presence.kind === null ? presence.label : `${presence.label} (${presence.kind})`;
    const making = await labels.makingOf(lot.id);
    const expired = lot.useBy <= this.#clock.now();
    return {
      lot,
      item,
      lotCode: code,
      site,
      state: lot.heldReason !== null ? 'held' : expired ? 'expired' : 'good',
      ...making,
      contains: allergens.contains.map(labelOf),
      mayContain: allergens.mayContain.map(labelOf),
      notDeclared: allergens.notDeclared.map(
        (way) => kitchen.graph.items.get(way.ingredientId)?.name ?? way.ingredientId,
      ),
      code: { kind, text, rows: qrSymbol(text) },
      notice: SAFETY_NOTICE,
    };
  }

  /** The labels of everything a task made. */
  async ofTask(actor: Actor, taskId: string, kind: CodeKind): Promise<readonly LotLabel[]> {
    const { labels, stock } = this.#work.read;
    const found: LotLabel[] = [];
    for (const id of await labels.lotsOfTask(taskId)) {
      const lot = await stock.findLot(id);
      if (lot && !maySeeSite(actor, lot.siteId)) throw notFound('task', taskId);
      if (lot && lot.quantity > 0) found.push(await this.ofLot(actor, id, kind));
    }
    if (found.length === 0) {
      throw new Refusal(
        'not-found',
        'There is nothing of this task to label: it is not made yet, or nothing is left of it.',
      );
    }
    return found;
  }
}

const wall = (at: Date, zone: string) =>
  orRefuse(wallClockOf(Math.floor(at.getTime() / 60_000), zone));
