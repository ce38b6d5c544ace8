import { serviceInstant } from '../../core/calendar/index.ts';
import { chain, evaluate, subgraph, type ExplanationGraph } from '../../core/explanation/index.ts';
import { planQuantile } from '../../core/planning/index.ts';
import { ruleSetOf, type RuleSet, type Storage } from '../../core/safety/index.ts';
import {
  invalid,
  maySeeSite,
  notFound,
  orRefuse,
  requireSite,
  type Actor,
  type UnitOfWork,
} from '../platform/index.ts';
import type { StockItem, StockLot } from '../stock/index.ts';
import { NOTHING } from './carried-lots.ts';
import { countedOn } from './transfers.ports.ts';
import type { TransfersWork } from './central-production.ports.ts';
import type { Transfer } from './transfers.ports.ts';

/** A transfer with the names of what it is about, and what holds for it. */
export interface NamedTransfer {
  readonly transfer: Transfer;
  readonly item: StockItem;
  readonly fromName: string;
  readonly toName: string;
  readonly storage: Storage;
  readonly fromRules: RuleSet;
  readonly toRules: RuleSet;
}

/** A lot that could leave, and how much of it would, first-expiring first. */
export interface LotToSend {
  readonly lot: StockLot;
  readonly take: number;
}

/** A figure with the nodes it rests on, and the same as lines of text. */
export interface ExplainedTransfer {
  readonly nodeId: string;
  readonly value: number;
  readonly graph: ExplanationGraph;
  readonly lines: readonly string[];
}

/** What goes from site to site: read by both ends. */
export class TransfersService {
  readonly #work: Pick<UnitOfWork<TransfersWork>, 'read'>;

  constructor(deps: { readonly work: Pick<UnitOfWork<TransfersWork>, 'read'> }) {
    this.#work = deps.work;
  }

  /**
   * What leaves a site or comes to it on some service dates of its own, in order of leaving.
   * @throws Refusal `invalid-input` for dates the wrong way round
   */
  async ofSite(
    actor: Actor,
    siteId: string,
    from: string,
    to: string,
  ): Promise<readonly NamedTransfer[]> {
    requireSite(actor, siteId);
    const { sites, centralProduction } = this.#work.read;
    const site = await sites.find(siteId);
    if (!site) throw notFound('site', siteId);
    if (to < from) throw invalid('/to', 'The dates run backwards.');
    const at = (date: string, time: string): Date =>
      new Date(orRefuse(serviceInstant(date, time, site.zone)) * 60_000);
    const found = await centralProduction.ofSite(siteId, at(from, '00:00'), at(to, '24:00'));
    return named(this.#work.read, found);
  }

  async get(actor: Actor, id: string): Promise<NamedTransfer> {
    return one(this.#work.read, await seenTransfer(this.#work.read, actor, id));
  }

  /**
   * Lots of the making site that can leave with it, those first that keep until it is eaten there;
   * with how much of each would, of what is promised. None for who is not of the making site.
   */
  async lotsToSend(actor: Actor, { transfer }: NamedTransfer): Promise<readonly LotToSend[]> {
    if (transfer.status !== 'planned' || !maySeeSite(actor, transfer.fromSiteId)) return [];
    const lots = await this.#work.read.stock.lotsOf(transfer.fromSiteId, {
      itemKind: 'component',
      itemId: transfer.componentId,
    });
    const good = lots.filter(
      (lot) => lot.heldReason === null && lot.useBy > transfer.arrivesAt && lot.quantity > NOTHING,
    );
    const keeps = (lot: StockLot): boolean => lot.useBy >= transfer.lotUntil;
    let left = countedOn(transfer);
    return [...good.filter(keeps), ...good.filter((lot) => !keeps(lot))].map((lot) => {
      const take = keeps(lot) ? Math.min(left, lot.quantity) : 0;
      left -= take;
      return { lot, take };
    });
  }

  /** Why that much is asked for: from the covers of the receiving site down to full containers. */
  async explain(actor: Actor, id: string): Promise<ExplainedTransfer> {
    const { centralProduction } = this.#work.read;
    const { node, explainedIn } = await seenTransfer(this.#work.read, actor, id);
    const graph = await centralProduction.explanation(explainedIn);
    if (!graph?.nodes.some((one_) => one_.id === node)) throw notFound('figure', node);
    return {
      nodeId: node,
      value: orRefuse(evaluate(graph, node, { quantile: planQuantile })),
      graph: orRefuse(subgraph(graph, node)),
      lines: orRefuse(chain(graph, node)),
    };
  }
}

/** @throws Refusal `not-found` for one that neither leaves nor reaches a site of the asker's */
export async function seenTransfer(
  { centralProduction }: Pick<TransfersWork, 'centralProduction'>,
  actor: Actor,
  id: string,
): Promise<Transfer> {
  const transfer = await centralProduction.findTransfer(id);
  const seen =
    transfer && (maySeeSite(actor, transfer.fromSiteId) || maySeeSite(actor, transfer.toSiteId));
  if (!transfer || !seen) throw notFound('transfer', id);
  return transfer;
}

export async function one(work: TransfersWork, transfer: Transfer): Promise<NamedTransfer> {
  const [found] = await named(work, [transfer]);
  if (!found) throw notFound('transfer', transfer.id);
  return found;
}

async function named(
  { stock, sites, centralProduction }: TransfersWork,
  transfers: readonly Transfer[],
): Promise<readonly NamedTransfer[]> {
  if (transfers.length === 0) return [];
  const items = await stock.items(
    transfers.map(({ componentId }) => ({ itemKind: 'component', itemId: componentId })),
  );
  const byId = new Map((await sites.all()).map((site) => [site.id, site]));
  const storages = await centralProduction.storagesOf(transfers.map((t) => t.versionId));
  return transfers.flatMap((transfer) => {
    const item = items.find(({ itemId }) => itemId === transfer.componentId);
    const [from, to] = [byId.get(transfer.fromSiteId), byId.get(transfer.toSiteId)];
    if (!item || !from || !to) return [];
    return [
      {
        transfer,
        item,
        fromName: from.name,
        toName: to.name,
        storage: storages.get(transfer.versionId) ?? 'chilled',
        fromRules: ruleSetOf(from.ruleSet),
        toRules: ruleSetOf(to.ruleSet),
      },
    ];
  });
}
