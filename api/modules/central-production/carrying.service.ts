import { useByOfCarried, type Temperature } from '../../core/safety/index.ts';
import {
  invalid,
  momentAgo,
  notFound,
  orRefuse,
  Refusal,
  requireSite,
  type Actor,
  type Clock,
  type NewId,
  type UnitOfWork,
} from '../platform/index.ts';
import { noteCarried } from '../safety/index.ts';
import type { Site } from '../sites/index.ts';
import type { NewMovement, StockLot } from '../stock/index.ts';
import {
  carriedTemperature,
  NOTHING,
  partsThatCame,
  partsToSend,
  type CameOf,
  type LotAmount,
} from './carried-lots.ts';
import { one, seenTransfer, type NamedTransfer } from './transfers.service.ts';
import type { TransfersWork } from './central-production.ports.ts';
import type { ReceivedLot, Transfer } from './transfers.ports.ts';

/** What a person writes when food leaves or comes. */
export interface CarryInput {
  readonly lots: readonly LotAmount[];
  readonly temperature: Temperature | null;
  readonly minutesAgo: number;
  readonly note: string | null;
}

/** A transfer after a step, and the lots that were held because they were too warm. */
export interface CarryOutcome {
  readonly transfer: NamedTransfer;
  readonly heldLotIds: readonly string[];
}

export interface CarryingDependencies {
  readonly work: UnitOfWork<TransfersWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** How long what was sent can be taken back. */
const TAKE_BACK_WITHIN_MS = 4 * 60 * 60_000;
/** A scale at either end may differ by this much without anybody having to say why. */
const SCALE_FRACTION = 0.02;

/**
 * Sending and receiving: what left goes off the making site's record, what came onto the receiving
 * site's, lot by lot, with the temperature at both ends. What was too warm is held until a lead
 * decides.
 */
export class CarryingService {
  readonly #deps: CarryingDependencies;

  constructor(deps: CarryingDependencies) {
    this.#deps = deps;
  }

  /**
   * Writes what leaves. Too warm, nothing leaves: its lots are held back.
   * @throws Refusal `conflict` when it has left already; as `partsToSend` and `carriedTemperature`
   */
  async send(actor: Actor, id: string, input: CarryInput): Promise<CarryOutcome> {
    return this.#step(actor, id, 'fromSiteId', 'planned', async (work, transfer, now) => {
      const { item, storage } = await one(work, transfer);
      const site = await siteOf(work, transfer.fromSiteId);
      const lots = new Map<string, StockLot>();
      for (const { lotId } of input.lots) {
        const lot = await work.stock.findLot(lotId);
        if (lot) lots.set(lotId, lot);
      }
      const parts = partsToSend(transfer, item, input.lots, lots);
      const temperature = carriedTemperature(input.temperature, storage, site);
      if (temperature !== null) {
        await this.#note(
          work,
          actor,
          site,
          parts.map(({ lot }) => lot),
          temperature,
          input,
          now,
        );
      }
      if (temperature?.judgement.verdict === 'warm') {
        await this.#audit(work, actor, 'hold', transfer, {
          message: temperature.judgement.message,
        });
        return parts.map(({ lotId }) => lotId);
      }
      const at = momentAgo(now, input.minutesAgo);
      for (const { lotId, quantity } of parts) {
        if (!(await work.stock.move(lotId, this.#movement('sent', -quantity, at, actor)))) {
          throw new Refusal(
            'conflict',
            'The stock changed at this very moment. Look and try again.',
          );
        }
      }
      const quantity = parts.reduce((sum, part) => sum + part.quantity, 0);
      await this.#move(work, transfer, {
        status: 'sent',
        sent: {
          at: at.toISOString(),
          by: actor.name,
          lots: parts.map(({ lot: _lot, ...part }) => part),
          quantity,
          temperature,
          note: input.note,
        },
      });
      await this.#audit(work, actor, 'send', transfer, {
        quantity,
        lots: parts.map(({ lotId }) => lotId),
        celsius: temperature?.celsius ?? null,
      });
      return [];
    });
  }

  /**
   * Writes what came: a lot here for each that left, with the earlier of the use-by it left with and
   * what it keeps once carried. Too warm, or of a lot that is held meanwhile, it is held.
   * @throws Refusal `wrong-state` before it has left, `conflict` when it is here already;
   * `invalid-input` where something is missing and nobody says why
   */
  async receive(actor: Actor, id: string, input: CarryInput): Promise<CarryOutcome> {
    return this.#step(actor, id, 'toSiteId', 'sent', async (work, transfer, now) => {
      const named = await one(work, transfer);
      const site = await siteOf(work, transfer.toSiteId);
      const parts = partsThatCame(transfer, named.item, input.lots);
      const sent = transfer.sent?.quantity ?? 0;
      const quantity = parts.reduce((sum, { came }) => sum + came, 0);
      const difference = quantity - sent;
      if (Math.abs(difference) > SCALE_FRACTION * sent && input.note === null) {
        throw invalid('/note', 'It is not what left: say what happened.');
      }
      const at = momentAgo(now, input.minutesAgo);
      const temperature =
        quantity > NOTHING ? carriedTemperature(input.temperature, named.storage, site) : null;
      const { lots, fresh, heldBefore } = await this.#take(work, actor, named, site, parts, at);
      if (temperature !== null) {
        await this.#note(work, actor, site, fresh, temperature, input, now);
      }
      await this.#move(work, transfer, {
        status: 'received',
        received: {
          at: at.toISOString(),
          by: actor.name,
          lots,
          quantity,
          difference: Math.abs(difference) <= NOTHING ? 0 : difference,
          temperature,
          note: input.note,
        },
      });
      await this.#audit(work, actor, 'receive', transfer, {
        quantity,
        difference,
        lots: fresh.map((lot) => lot.id),
        celsius: temperature?.celsius ?? null,
      });
      return temperature?.judgement.verdict === 'warm' ? fresh.map((lot) => lot.id) : heldBefore;
    });
  }

  /** The making site says that it does not go, and why. The receiving site sees it at once. */
  async callOff(actor: Actor, id: string, reason: string): Promise<CarryOutcome> {
    return this.#step(actor, id, 'fromSiteId', 'planned', async (work, transfer) => {
      await this.#move(work, transfer, { status: 'not_sent', reason });
      await this.#audit(work, actor, 'call off', transfer, { reason });
      return [];
    });
  }

  /** Takes back what was written as sent, while it is not received, within four hours. */
  async takeBack(actor: Actor, id: string): Promise<CarryOutcome> {
    return this.#step(actor, id, 'fromSiteId', 'sent', async (work, transfer, now) => {
      const { sent } = transfer;
      if (!sent) throw new Error(`The transfer ${id} was sent and says nothing of it.`);
      if (now.getTime() - Date.parse(sent.at) > TAKE_BACK_WITHIN_MS) {
        throw new Refusal(
          'wrong-state',
          'It left more than four hours ago. Count the stock instead.',
        );
      }
      for (const { lotId, quantity } of sent.lots) {
        const movement = this.#movement('sent', quantity, now, actor, 'taken back');
        if (!(await work.stock.move(lotId, movement))) throw notFound('stock lot', lotId);
      }
      await this.#move(work, transfer, { status: 'planned', sent: null });
      await this.#audit(work, actor, 'take back', transfer, { quantity: sent.quantity });
      return [];
    });
  }

  /** Makes the lots here. */
  async #take(
    work: TransfersWork,
    actor: Actor,
    { transfer, item, storage, toRules }: NamedTransfer,
    site: Site,
    parts: readonly CameOf[],
    at: Date,
  ): Promise<{
    readonly lots: readonly ReceivedLot[];
    readonly fresh: readonly StockLot[];
    readonly heldBefore: readonly string[];
  }> {
    const rule = await work.centralProduction.findProduction(transfer.productionId);
    const lots: ReceivedLot[] = [];
    const fresh: StockLot[] = [];
    const heldBefore: string[] = [];
    for (const { sent, came } of parts) {
      const base = { fromLotId: sent.lotId, sent: sent.quantity, came };
      if (came <= 0) {
        lots.push({ ...base, lotId: null });
        continue;
      }
      const useBy = orRefuse(
        useByOfCarried({
          madeAtMin: Date.parse(sent.madeAt) / 60_000,
          arrivedAtMin: at.getTime() / 60_000,
          useByMin: Date.parse(sent.useBy) / 60_000,
          lotId: sent.lotId,
          keeping: rule?.keeping ?? null,
          storage,
          rules: toRules,
          zone: site.zone,
        }),
      );
      const lotId = this.#deps.newId('lot');
      await work.stock.insertLots([
        {
          lot: {
            id: lotId,
            siteId: site.id,
            itemKind: 'component',
            itemId: item.itemId,
            quantity: came,
            madeAt: new Date(sent.madeAt),
            useBy: new Date(Math.round(useBy.useByMin * 60_000)),
            sourceKind: 'transfer',
            sourceId: sent.lotId,
            supplierLot: null,
            note: null,
            useByReasons: useBy.reasons,
          },
          movement: this.#movement('came', came, at, actor),
        },
      ]);
      // Called back on the way: it is held here as well.
      const origin = await work.stock.findLot(sent.lotId);
      if (origin?.heldReason) {
        const { heldReason } = origin;
        await work.stock.setHeld(
          lotId,
          heldReason,
          this.#movement('held', 0, at, actor, heldReason),
        );
        heldBefore.push(lotId);
      }
      const lot = await work.stock.findLot(lotId);
      if (lot) fresh.push(lot);
      lots.push({ ...base, lotId });
    }
    return { lots, fresh, heldBefore };
  }

  async #step(
    actor: Actor,
    id: string,
    end: 'fromSiteId' | 'toSiteId',
    from: 'planned' | 'sent',
    act: (work: TransfersWork, transfer: Transfer, now: Date) => Promise<readonly string[]>,
  ): Promise<CarryOutcome> {
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async (work) => {
      const seen = await seenTransfer(work, actor, id);
      requireSite(actor, seen[end]);
      // Both ends, always in one order: plans of either read what stands.
      for (const siteId of [seen.fromSiteId, seen.toSiteId].sort()) {
        await work.stock.lockSite(siteId);
      }
      const transfer = await seenTransfer(work, actor, id);
      if (transfer.status !== from) throw notNow(transfer, from);
      const heldLotIds = await act(work, transfer, now);
      return { transfer: await one(work, await seenTransfer(work, actor, id)), heldLotIds };
    });
  }

  async #move(
    { centralProduction }: TransfersWork,
    { id, status }: Transfer,
    change: Parameters<TransfersWork['centralProduction']['moveTransfer']>[2],
  ): Promise<void> {
    if (await centralProduction.moveTransfer(id, status, change)) return;
    throw new Refusal(
      'conflict',
      'Somebody else changed this at the same moment. Look and try again.',
    );
  }

  #note(
    work: TransfersWork,
    actor: Actor,
    site: Site,
    lots: readonly StockLot[],
    { value, unit, judgement }: NonNullable<ReturnType<typeof carriedTemperature>>,
    { minutesAgo }: CarryInput,
    now: Date,
  ): Promise<void> {
    return noteCarried(
      work,
      this.#deps.newId,
      actor,
      {
        siteId: site.id,
        ruleSet: site.ruleSet,
        lots: lots.map((lot) => ({ id: lot.id, held: lot.heldReason !== null })),
        temperature: { value, unit: unit as Temperature['unit'] },
        judgement,
        minutesAgo,
        note: 'when it was carried',
      },
      now,
    );
  }

  #movement(
    kind: string,
    quantity: number,
    at: Date,
    actor: Actor,
    reason: string | null = null,
  ): NewMovement {
    return { id: this.#deps.newId('mov'), kind, quantity, at, actorId: actor.id, reason };
  }

  #audit(
    { audit }: TransfersWork,
    actor: Actor,
    action: string,
    { id, fromSiteId, toSiteId, componentId }: Transfer,
    detail: Readonly<Record<string, unknown>>,
  ): Promise<void> {
    const siteId = action === 'receive' ? toSiteId : fromSiteId;
    return audit.append({
      actor,
      action,
      subjectKind: 'transfer',
      subjectId: id,
      siteId,
      detail: { componentId, fromSiteId, toSiteId, ...detail },
    });
  }
}

async function siteOf({ sites }: TransfersWork, siteId: string): Promise<Site> {
  const site = await sites.find(siteId);
  if (!site) throw notFound('site', siteId);
  return site;
}

/** Why a step cannot be taken now. */
function notNow({ status, sent, received, reason }: Transfer, from: 'planned' | 'sent'): Refusal {
  const say = (kind: 'conflict' | 'wrong-state', message: string): Refusal =>
    new Refusal(kind, message, { detail: { status } });
  switch (status) {
    case 'planned':
      return say('wrong-state', 'Nobody wrote that it left: let the making site do that first.');
    case 'sent':
      return say(
        'conflict',
        `It has left already${sent ? ` (${sent.by})` : ''}. Nothing was counted twice.`,
      );
    case 'received':
      return say(
        from === 'sent' ? 'conflict' : 'wrong-state',
        `It is here already${received ? ` (${received.by})` : ''}. Nothing was counted twice.`,
      );
    case 'not_sent':
      return say('wrong-state', `It does not go: ${reason ?? 'called off'}.`);
    case 'dropped':
      return say('wrong-state', 'The plan was worked out again and does without it.');
  }
}
