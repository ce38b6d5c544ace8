import { parseServiceDate } from '../calendar/index.ts';
import { Decimal, isCurrencyCode, isDecimalText } from '../money/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import type { PackProblem } from './pack-offer.ts';
import { checkPackOffer } from './pack-price.ts';
import { checkIngredientNeeds } from './stock-cover.ts';

type Path = readonly (string | number)[];

function checkAmount(text: string | undefined, path: Path): Result<true> {
  if (text === undefined) return ok(true);
  if (!isDecimalText(text)) {
    return err(
      coreError('unreadable-amount', `"${text}" is not an amount such as 12.40.`, {
        path,
        detail: { text },
      }),
    );
  }
  if (new Decimal(text).isNegative()) {
    return err(
      coreError('out-of-range', 'An amount is not below zero.', { path, detail: { text } }),
    );
  }
  return ok(true);
}

function checkDate(date: string, path: Path): Result<true> {
  const parsed = parseServiceDate(date);
  return parsed.ok ? ok(true) : err({ ...parsed.error, path });
}

function checkRange(value: number, path: Path, message: string, most = Infinity): Result<true> {
  if (Number.isFinite(value) && value >= 0 && value <= most) return ok(true);
  return err(coreError('out-of-range', message, { path, detail: { value } }));
}

function* checks(problem: PackProblem): Generator<Result<unknown>> {
  if (!isCurrencyCode(problem.currency)) {
    yield err(
      coreError('invalid-code', `"${problem.currency}" is not a currency code such as EUR.`, {
        path: ['currency'],
        detail: { currency: problem.currency },
      }),
    );
  }
  yield checkDate(problem.horizonEnd, ['horizonEnd']);
  yield checkIngredientNeeds(problem.needs);
  const ids = new Set<string>();
  for (const [i, offer] of problem.offers.entries()) {
    yield checkPackOffer(offer, problem.currency, ['offers', i]);
    if (ids.has(offer.id)) {
      yield err(
        coreError('out-of-range', `The pack ${offer.id} is given twice.`, {
          path: ['offers', i, 'id'],
          detail: { id: offer.id },
        }),
      );
    }
    ids.add(offer.id);
  }
  for (const [i, terms] of problem.suppliers.entries()) {
    yield checkAmount(terms.minOrderValue, ['suppliers', i, 'minOrderValue']);
    yield checkAmount(terms.deliveryCharge, ['suppliers', i, 'deliveryCharge']);
    yield checkAmount(terms.freeDeliveryFrom, ['suppliers', i, 'freeDeliveryFrom']);
    const message = 'The fewest packs of an order are zero or more.';
    yield checkRange(terms.minOrderPacks ?? 0, ['suppliers', i, 'minOrderPacks'], message, 1e6);
  }
  for (const [i, slot] of problem.slots.entries()) {
    yield checkDate(slot.deliveryDate, ['slots', i, 'deliveryDate']);
    yield checkDate(slot.usableFromDate, ['slots', i, 'usableFromDate']);
    if (slot.usableFromDate < slot.deliveryDate) {
      yield err(
        coreError('out-of-range', 'Goods cannot be used before they are delivered.', {
          path: ['slots', i, 'usableFromDate'],
          detail: { ...slot },
        }),
      );
    }
  }
  for (const [i, use] of (problem.laterUse ?? []).entries()) {
    yield checkRange(use.perDayBase, ['laterUse', i, 'perDayBase'], 'A daily use is zero or more.');
  }
  for (const [i, route] of (problem.transfers ?? []).entries()) {
    yield checkAmount(route.costPerTrip, ['transfers', i, 'costPerTrip']);
    const message = 'Handling takes a whole number of days.';
    yield checkRange(route.handlingDays ?? 0, ['transfers', i, 'handlingDays'], message, 30);
    const massMessage = 'What a trip can take is zero or more.';
    yield checkRange(route.massLimitG ?? 0, ['transfers', i, 'massLimitG'], massMessage);
    for (const date of route.tripDates) yield checkDate(date, ['transfers', i, 'tripDates']);
    if (route.fromSiteId === route.toSiteId) {
      yield err(
        coreError('out-of-range', 'A transfer goes from one site to another.', {
          path: ['transfers', i],
          detail: { siteId: route.fromSiteId },
        }),
      );
    }
  }
  const { leftoverValueFraction, holdingFractionPerDay, belowMinimumFraction } =
    problem.settings ?? {};
  const fraction = 'A fraction lies between 0 and 1.';
  yield checkRange(leftoverValueFraction ?? 0, ['settings', 'leftoverValueFraction'], fraction, 1);
  yield checkRange(holdingFractionPerDay ?? 0, ['settings', 'holdingFractionPerDay'], fraction, 1);
  yield checkRange(belowMinimumFraction ?? 0, ['settings', 'belowMinimumFraction'], fraction, 1);
}

/** Checks the whole problem; the first refusal is returned with its path. */
export function checkPackProblem(problem: PackProblem): Result<PackProblem> {
  for (const result of checks(problem)) {
    if (!result.ok) return result;
  }
  return ok(problem);
}
