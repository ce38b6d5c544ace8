import { wallClockOf } from '../calendar/index.ts';
import type { EpochMin, ServiceDate } from '../calendar/index.ts';
import type { OutsideNeed, SitePlan } from '../planning/index.ts';
import { floorWhole } from '../batches/batch-rule.ts';
import { unwrap } from '../shared/result.ts';

/** A transfer that another site asks this one for and that has not left. Base units. */
export interface AskedOfMaker {
  readonly id: string;
  readonly itemId: string;
  readonly receiverName: string;
  readonly leaveMin: EpochMin;
  readonly lotUntilMin: EpochMin;
  readonly serviceDate: ServiceDate;
  readonly quantity: number;
  readonly containerQuantity: number;
  readonly certainFraction: number;
}

const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;

/** What transfers ask of the making site's plan: ready when they leave, and in date long enough. */
export function outsideNeeds(asked: readonly AskedOfMaker[], zone: string): readonly OutsideNeed[] {
  return asked
    .filter(({ quantity }) => quantity > 0)
    .map((one) => ({
      id: needIdOf(one.id),
      itemId: one.itemId,
      atMin: one.leaveMin,
      untilMin: Math.max(one.leaveMin, one.lotUntilMin),
      serviceDate: one.serviceDate,
      quantity: one.quantity,
      certainFraction: one.certainFraction,
      label: `${one.receiverName}, leaves ${leavesText(one.leaveMin, zone)}`,
      source: { kind: 'transfer', id: one.id },
    }));
}

/** 'Thu 14:00' on the making site's clock. */
function leavesText(leaveMin: EpochMin, zone: string): string {
  const { weekday, time } = unwrap(wallClockOf(leaveMin, zone));
  return `${WEEKDAYS[weekday - 1] ?? ''} ${time}`;
}

const needIdOf = (transferId: string): string => `transfer:${transferId}`;

/** What a plan of the making site can send of what was asked: whole containers, base units, by id. */
export function promises(
  plan: SitePlan,
  asked: readonly AskedOfMaker[],
): ReadonlyMap<string, number> {
  const short = new Map<string, number>();
  for (const { node, quantity } of plan.shortages) {
    short.set(node, (short.get(node) ?? 0) + quantity);
  }
  return new Map(
    asked.map(({ id, quantity, containerQuantity }) => {
      const there = quantity - (short.get(`outside:${needIdOf(id)}`) ?? 0);
      const containers = floorWhole(Math.max(0, there) / containerQuantity);
      return [id, containers * containerQuantity];
    }),
  );
}
