import type { z } from 'zod';
import type { AfterRow } from '../../core/afterwards/index.ts';
import type { CsvCell } from '../../core/exports/index.ts';
import { codeOfBase } from '../../core/quantity/index.ts';
import type { AfterwardsSchema, GroupAfterwardsSchema } from './afterwards.schema.ts';
import type { Afterwards, GroupAfterwards } from './afterwards.service.ts';
import type { SoldOutDish } from './afterwards.ports.ts';

type BaseUnit = 'g' | 'ml' | 'each';

function toLineBody(line: AfterRow, baseUnit: BaseUnit) {
  const amount = (value: number) => ({ value, unit: codeOfBase(baseUnit) });
  return {
    planned: amount(line.planned),
    made: amount(line.made),
    used: amount(line.used),
    sold: amount(line.sold),
    sent: amount(line.sent),
    came: amount(line.came),
    wasted: amount(line.wasted),
    wastedBy: line.wastedBy.map(({ reason, quantity }) => ({ reason, amount: amount(quantity) })),
    drift: amount(line.drift),
    short: amount(line.short),
    shortBy: line.shortBy.map(({ cause, quantity, words }) => ({
      cause,
      amount: amount(quantity),
      words: [...words],
    })),
    plannedSurplus: amount(line.plannedSurplus),
    expectedWaste: amount(line.expectedWaste),
    wasteBeyondExpected: amount(line.wasteBeyondExpected),
  };
}

const soldOutBody = ({ dishName, serviceName, serviceDate, soldOutAt }: SoldOutDish) => ({
  dish: dishName,
  service: serviceName,
  serviceDate,
  soldOutAt: soldOutAt.toISOString(),
});

export function toAfterBody(report: Afterwards): z.infer<typeof AfterwardsSchema> {
  return {
    site: { id: report.siteId, name: report.siteName },
    from: report.fromDate,
    to: report.toDate,
    lines: report.lines.map((line) => ({
      component: { id: line.itemId, name: line.name },
      ...toLineBody(line, line.baseUnit),
    })),
    soldOut: report.soldOut.map(soldOutBody),
    daysWithoutPlan: [...report.daysWithoutPlan],
  };
}

export function toGroupBody(report: GroupAfterwards): z.infer<typeof GroupAfterwardsSchema> {
  const named = namesOf(report);
  return {
    from: report.fromDate,
    to: report.toDate,
    sites: report.sites.map(({ siteId, name, daysWithoutPlan }) => ({
      id: siteId,
      name,
      daysWithoutPlan: [...daysWithoutPlan],
    })),
    lines: report.lines.map((line) => ({
      component: { id: line.itemId, name: line.name },
      ...toLineBody(line, line.baseUnit),
      sites: line.sites.map((row) => ({
        site: named(row.siteId),
        ...toLineBody(row, line.baseUnit),
      })),
    })),
    soldOut: report.soldOut.map((dish) => ({ site: named(dish.siteId), ...soldOutBody(dish) })),
  };
}

export const AFTER_HEADER = [
  'from',
  'to',
  'site',
  'component',
  'unit',
  'planned',
  'made',
  'used_in_others',
  'sold',
  'sent',
  'came',
  'wasted',
  'wasted_because',
  'expected_waste',
  'waste_beyond_expected',
  'count_drift',
  'short',
  'short_because',
  'component_id',
  'site_id',
] as const;

/** To a thousandth of the base unit: what is beyond it is what adding decimals leaves. */
const inFile = (quantity: number): number => Math.round(quantity * 1000) / 1000;

/** Rows of the report: a component at a site, amounts in its base unit. */
export function afterCells(report: GroupAfterwards): readonly (readonly CsvCell[])[] {
  const named = namesOf(report);
  return report.lines.flatMap((line) =>
    line.sites.map((row) => {
      const causes = (
        all: readonly { readonly key: string; readonly quantity: number }[],
      ): string => all.map(({ key, quantity }) => `${key} ${inFile(quantity)}`).join('; ');
      return [
        report.fromDate,
        report.toDate,
        named(row.siteId).name,
        line.name,
        line.baseUnit,
        inFile(row.planned),
        inFile(row.made),
        inFile(row.used),
        inFile(row.sold),
        inFile(row.sent),
        inFile(row.came),
        inFile(row.wasted),
        causes(row.wastedBy.map(({ reason, quantity }) => ({ key: reason, quantity }))),
        inFile(row.expectedWaste),
        inFile(row.wasteBeyondExpected),
        inFile(row.drift),
        inFile(row.short),
        causes(row.shortBy.map(({ cause, quantity }) => ({ key: cause, quantity }))),
        line.itemId,
        row.siteId,
      ];
    }),
  );
}

function namesOf({ sites }: GroupAfterwards) {
  return (id: string) => ({ id, name: sites.find(({ siteId }) => siteId === id)?.name ?? id });
}
