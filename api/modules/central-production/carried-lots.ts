import type { Amount } from '../../core/quantity/index.ts';
import { toBaseAmount } from '../../core/quantity/index.ts';
import {
  celsiusOf,
  judgeCarried,
  limitText,
  ruleSetOf,
  type Storage,
  type Temperature,
} from '../../core/safety/index.ts';
import { invalid, orRefuse, Refusal } from '../platform/index.ts';
import type { Site } from '../sites/index.ts';
import type { StockItem, StockLot } from '../stock/index.ts';
import type { CarriedTemperature, SentLot, Transfer } from './transfers.ports.ts';

/** Less than this (a microgram) is what is left of adding and taking decimals, not food. */
export const NOTHING = 1e-6;
/** More than this many times what was asked for is a slip of the finger. */
const PLAUSIBLE_TIMES = 3;

/** A part of a lot as a person writes it. */
export interface LotAmount {
  readonly lotId: string;
  readonly amount: Amount;
}

/**
 * The parts of lots that leave.
 * @throws Refusal with the lot's pointer: not of this component and site, named twice, held, out of
 * date by the time it arrives, more than is left in it; `out-of-range` for implausibly much in all
 */
export function partsToSend(
  transfer: Transfer,
  item: StockItem,
  wanted: readonly LotAmount[],
  lots: ReadonlyMap<string, StockLot>,
): readonly (SentLot & { readonly lot: StockLot })[] {
  const parts = wanted.map(({ lotId, amount }, i) => {
    const lot = lots.get(lotId);
    const pointer = `/lots/${i}`;
    if (
      !lot ||
      lot.siteId !== transfer.fromSiteId ||
      lot.itemId !== transfer.componentId ||
      lot.archived
    ) {
      throw invalid(`${pointer}/lotId`, `There is no such lot of ${item.name} here.`);
    }
    if (wanted.findIndex((one) => one.lotId === lotId) !== i) {
      throw invalid(`${pointer}/lotId`, 'This lot is named twice.');
    }
    if (lot.heldReason !== null) {
      throw refused(`${pointer}/lotId`, `This lot is held back: ${lot.heldReason}`);
    }
    if (lot.useBy <= transfer.arrivesAt) {
      throw refused(`${pointer}/lotId`, 'This lot is out of date by the time it arrives.');
    }
    const quantity = baseOf(amount, item, `${pointer}/amount`);
    if (quantity <= NOTHING) {
      throw invalid(`${pointer}/amount/value`, 'Say how much of it leaves, or leave the lot out.');
    }
    if (quantity > lot.quantity + NOTHING) {
      throw refused(
        `${pointer}/amount/value`,
        'There is less than that in this lot. Count it first.',
      );
    }
    return {
      lot,
      lotId,
      quantity: Math.min(quantity, lot.quantity),
      madeAt: lot.madeAt.toISOString(),
      useBy: lot.useBy.toISOString(),
    };
  });
  const total = parts.reduce((sum, { quantity }) => sum + quantity, 0);
  if (total > transfer.quantity * PLAUSIBLE_TIMES) {
    const message = `That is more than ${PLAUSIBLE_TIMES} times what was asked for. Check the amounts and their units.`;
    throw new Refusal('out-of-range', message, {
      issues: [{ pointer: '/lots', message: 'Implausibly much.' }],
      detail: { asked: transfer.quantity, sent: total },
    });
  }
  return parts;
}

/** Came of each lot that left. */
export interface CameOf {
  readonly sent: SentLot;
  readonly came: number;
}

/** @throws Refusal with the pointer: a lot that did not leave, one named twice or left out, implausibly much */
export function partsThatCame(
  transfer: Transfer,
  item: StockItem,
  said: readonly LotAmount[],
): readonly CameOf[] {
  const sent = transfer.sent?.lots ?? [];
  for (const [i, { lotId }] of said.entries()) {
    if (!sent.some((one) => one.lotId === lotId)) {
      throw invalid(`/lots/${i}/lotId`, 'This lot did not leave with it.');
    }
    if (said.findIndex((one) => one.lotId === lotId) !== i) {
      throw invalid(`/lots/${i}/lotId`, 'This lot is named twice.');
    }
  }
  return sent.map((one) => {
    const i = said.findIndex(({ lotId }) => lotId === one.lotId);
    const amount = said[i]?.amount;
    if (!amount) {
      throw invalid('/lots', 'Say of every lot that left how much came, 0 where none did.');
    }
    const came = baseOf(amount, item, `/lots/${i}/amount`);
    if (came > one.quantity * PLAUSIBLE_TIMES) {
      const message = `That is more than ${PLAUSIBLE_TIMES} times what left. Check the amount and its unit.`;
      throw new Refusal('out-of-range', message, {
        issues: [{ pointer: `/lots/${i}/amount/value`, message: 'Implausibly much.' }],
        detail: { sent: one.quantity, came },
      });
    }
    return { sent: one, came: came <= NOTHING ? 0 : came };
  });
}

/**
 * A temperature judged by the rule set of the site.
 * @throws Refusal `invalid-input` where one is due and not there, or cannot be
 */
export function carriedTemperature(
  given: Temperature | null,
  storage: Storage,
  site: Site,
): CarriedTemperature | null {
  const rules = ruleSetOf(site.ruleSet);
  if (given === null) {
    if (storage === 'ambient') return null;
    const { limit } = judgeCarried(0, storage, rules);
    throw invalid(
      '/temperature',
      `Measure it: ${limit ? `${limitText(limit)} or colder` : 'it is kept cold'}.`,
    );
  }
  const celsius = orRefuse(celsiusOf(given), '/temperature');
  return { ...given, celsius, judgement: judgeCarried(celsius, storage, rules) };
}

function baseOf(amount: Amount, item: StockItem, pointer: string): number {
  return orRefuse(toBaseAmount(amount, item.measures), pointer).value;
}

function refused(pointer: string, message: string): Refusal {
  return new Refusal('wrong-state', message, { issues: [{ pointer, message }] });
}
