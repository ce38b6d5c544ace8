import type { AskedTransfer, TransfersAsked } from '../../core/central/index.ts';
import type { Transfer } from '../central-production/index.ts';
import type { NewId } from '../platform/index.ts';
import type { CentralRead } from './central-input.ts';
import type { PrepWork } from './prep.ports.ts';

/** What a new plan asks of other sites, against what was asked before. */
export interface AskChanges {
  readonly insert: readonly Transfer[];
  readonly replace: readonly Transfer[];
  readonly drop: readonly Transfer[];
  /** Makers of which something else is asked now than before. */
  readonly makerSiteIds: readonly string[];
}

const toDate = (minutes: number): Date => new Date(minutes * 60_000);
const keyOf = (one: {
  readonly fromSiteId: string;
  readonly componentId: string;
  readonly versionId: string;
  readonly leaveDate: string;
}): string => [one.fromSiteId, one.componentId, one.versionId, one.leaveDate].join('|');

/**
 * Fits what a plan asks for to the transfers that stand and may still change: one of the same recipe
 * version on the same trip keeps its id, and its promise while the amount stays.
 */
export function askChanges(
  asked: Pick<TransfersAsked, 'transfers'>,
  central: Pick<CentralRead, 'open' | 'supply'>,
  siteId: string,
  planId: string,
  newId: NewId,
): AskChanges {
  const standing = new Map(central.open.map((row) => [keyOf(row), row]));
  const insert: Transfer[] = [];
  const replace: Transfer[] = [];
  const touched = new Set<string>();
  for (const transfer of asked.transfers) {
    const fresh = transferOf(transfer, central, siteId, planId);
    const old = standing.get(keyOf(fresh));
    standing.delete(keyOf(fresh));
    if (!old) {
      insert.push({ ...fresh, id: newId('trf') });
      touched.add(fresh.fromSiteId);
      continue;
    }
    const same = old.quantity === fresh.quantity && sameMinute(old.lotUntil, fresh.lotUntil);
    replace.push({ ...fresh, id: old.id, promised: stillPromised(old, fresh), rev: old.rev });
    if (!same) touched.add(fresh.fromSiteId);
  }
  const drop = [...standing.values()];
  for (const row of drop) touched.add(row.fromSiteId);
  return { insert, replace, drop, makerSiteIds: [...touched].sort() };
}

/** @throws Error when one of them is no longer as it was read: take the site's lock before */
export async function writeAsked(
  { centralProduction }: Pick<PrepWork, 'centralProduction'>,
  { insert, replace, drop }: AskChanges,
): Promise<void> {
  await centralProduction.insertTransfers(insert);
  for (const { id, rev, fromSiteId, toSiteId, ...change } of replace) {
    if (!(await centralProduction.moveTransfer(id, 'planned', change))) throw moved(id);
  }
  for (const { id } of drop) {
    if (!(await centralProduction.moveTransfer(id, 'planned', { status: 'dropped' }))) {
      throw moved(id);
    }
  }
}

/** A promise holds for as much or less, to be used no later. */
function stillPromised(old: Transfer, fresh: Transfer): number | null {
  const { promised, quantity, lotUntil } = old;
  if (promised === null || fresh.lotUntil > lotUntil) return null;
  if (fresh.quantity <= promised) return fresh.quantity;
  return fresh.quantity === quantity ? promised : null;
}

const moved = (id: string): Error => new Error(`The transfer ${id} moved behind the site's lock.`);

const sameMinute = (a: Date, b: Date): boolean =>
  Math.floor(a.getTime() / 60_000) === Math.floor(b.getTime() / 60_000);

function transferOf(
  asked: AskedTransfer,
  { supply }: Pick<CentralRead, 'supply'>,
  toSiteId: string,
  planId: string,
): Transfer {
  const component = supply?.from
    .find(({ makerSiteId }) => makerSiteId === asked.makerSiteId)
    ?.components.find(({ ruleId, itemId }) => ruleId === asked.ruleId && itemId === asked.itemId);
  return {
    id: '',
    productionId: asked.ruleId,
    componentId: asked.itemId,
    versionId: asked.versionId,
    fromSiteId: asked.makerSiteId,
    toSiteId,
    leaveDate: asked.tripId,
    leavesAt: toDate(asked.leaveMin),
    arrivesAt: toDate(asked.arriveMin),
    containerName: component?.containerName ?? 'container',
    containerQuantity: component?.containerQuantity ?? asked.quantity / asked.containers,
    quantity: asked.quantity,
    promised: null,
    surplus: asked.surplus,
    serviceDate: asked.serviceDate,
    neededUntil: toDate(asked.neededUntilMin),
    lotUntil: toDate(asked.lotUntilMin),
    useBy: toDate(asked.useByMin),
    certainFraction: asked.certainFraction,
    serves: asked.serves,
    explainedIn: planId,
    node: asked.node,
    status: 'planned',
    sent: null,
    received: null,
    reason: null,
    rev: 1,
  };
}
