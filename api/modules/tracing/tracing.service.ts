import { walkLots, type LotLink, type Walk } from '../../core/tracing/index.ts';
import {
  invalid,
  maySeeSite,
  notFound,
  type Actor,
  type Clock,
  type NewId,
  type UnitOfWork,
} from '../platform/index.ts';
import type { ReachedService, TracedLot, TracingWork } from './tracing.ports.ts';

/** A lot on the way, with how many makings lie between it and the start. */
export interface StepLot {
  readonly lot: TracedLot;
  readonly steps: number;
}

export interface Trace {
  readonly start: TracedLot;
  readonly back: readonly StepLot[];
  readonly forward: readonly StepLot[];
  readonly links: readonly LotLink[];
  readonly services: readonly ReachedService[];
  /** Dishes that may hold some of it, because counts found less than the record. */
  readonly mayHaveReached: readonly { readonly id: string; readonly name: string }[];
  /** Lots at sites the asker does not see. */
  readonly hiddenLots: number;
}

export interface TracingDependencies {
  readonly work: UnitOfWork<TracingWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

const MOST_FOUND = 50;

/** Follows a lot from the supplier to the plate and back, and calls it back. */
export class TracingService {
  readonly #deps: TracingDependencies;

  constructor(deps: TracingDependencies) {
    this.#deps = deps;
  }

  /** Lots by a code on a label: the supplier's or ours. */
  async find(actor: Actor, code: string): Promise<readonly TracedLot[]> {
    const asked = code.trim();
    if (asked === '') throw invalid('/query/code', 'Write the code on the label.');
    return this.#deps.work.read.tracing.findByCode(asked, actor.siteIds, MOST_FOUND);
  }

  async trace(actor: Actor, lotId: string): Promise<Trace> {
    const { tracing } = this.#deps.work.read;
    const [start] = await tracing.lots([lotId]);
    if (!start || !maySeeSite(actor, start.siteId)) throw notFound('stock lot', lotId);
    const back = await walkLots(lotId, 'back', (ids) => tracing.linksTo(ids));
    const forward = await walkLots(lotId, 'forward', (ids) => tracing.linksFrom(ids));
    const lots = new Map(
      (await tracing.lots([...new Set([...back.steps.keys(), ...forward.steps.keys()])])).map(
        (lot) => [lot.id, lot],
      ),
    );
    const seen = (id: string): boolean => {
      const lot = lots.get(id);
      return lot !== undefined && maySeeSite(actor, lot.siteId);
    };
    const side = (walk: Walk): readonly StepLot[] =>
      [...walk.steps].flatMap(([id, steps]) => {
        const lot = lots.get(id);
        return lot && id !== lotId && seen(id) ? [{ lot, steps }] : [];
      });
    const reached = [...forward.steps.keys()].filter(seen);
    const lost = reached.flatMap((id) => {
      const lot = lots.get(id);
      return lot && lot.unexplained > 0 ? [lot.itemId] : [];
    });
    return {
      start,
      back: side(back),
      forward: side(forward),
      links: [...back.links, ...forward.links].filter(
        (link) => seen(link.fromLotId) && seen(link.toLotId),
      ),
      services: [...(await tracing.servicesOf(reached))].sort((a, b) =>
        `${a.serviceDate} ${a.siteName}`.localeCompare(`${b.serviceDate} ${b.siteName}`),
      ),
      mayHaveReached: lost.length === 0 ? [] : await tracing.dishesWith(lost),
      hiddenLots: [...lots.keys()].filter((id) => !seen(id)).length,
    };
  }

  /**
   * Calls a lot back: it and everything made with it, at every site, is held as far as something is
   * left or on its way to another site. A lead releases each again.
   * @returns the lots that are held now
   */
  async recall(actor: Actor, lotId: string, reason: string): Promise<readonly string[]> {
    const now = this.#deps.clock.now();
    const { newId } = this.#deps;
    return this.#deps.work.run(async ({ tracing, stock, audit }) => {
      const [start] = await tracing.lots([lotId]);
      if (!start || !maySeeSite(actor, start.siteId)) throw notFound('stock lot', lotId);
      const before = await walkLots(lotId, 'forward', (ids) => tracing.linksFrom(ids));
      const sites = new Set((await tracing.lots([...before.steps.keys()])).map((l) => l.siteId));
      for (const siteId of [...sites].sort()) await stock.lockSite(siteId);
      // Walked again behind the locks: something may have been made of it a moment ago.
      const walk = await walkLots(lotId, 'forward', (ids) => tracing.linksFrom(ids));
      const held: string[] = [];
      const onTheWay = await tracing.onTheWay();
      for (const lot of await tracing.lots([...walk.steps.keys()])) {
        // What is on its way to another site comes there held as well.
        if (lot.left <= 0 && !onTheWay.has(lot.id)) continue;
        const movement = {
          id: newId('mov'),
          kind: 'held',
          quantity: 0,
          at: now,
          actorId: actor.id,
          reason,
        };
        if (lot.heldReason !== null || (await stock.setHeld(lot.id, reason, movement))) {
          held.push(lot.id);
        }
      }
      await audit.append({
        actor,
        action: 'recall',
        subjectKind: 'stock-lot',
        subjectId: lotId,
        siteId: start.siteId,
        detail: { reason, held },
      });
      return held;
    });
  }
}
