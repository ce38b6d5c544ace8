import { addDays, serviceInstant } from '../../core/calendar/index.ts';
import { recordedWaste, type RecordedWaste } from '../../core/cost/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { Site } from '../sites/index.ts';
import type { WasteExpectation, WasteRead } from '../waste-expectations/index.ts';
import type { Kitchen } from './kitchen-on.ts';

/** The part of one item expected to be thrown away, and from what. */
export interface ExpectedWaste {
  readonly itemId: string;
  readonly fraction: number;
  readonly from: 'recorded' | 'stated';
  /** One sentence naming the source. */
  readonly source: string;
}

/** What is expected to be thrown away at a site, as known before a date. */
export interface SiteWaste {
  /** Service dates whose records count, both included. */
  readonly window: { readonly from: string; readonly to: string };
  of(itemId: string): ExpectedWaste | null;
}

const WINDOW_DAYS = 28;
/** More than half thrown away is a slip or a disaster, not what next week's plate should carry. */
const MOST_BELIEVED = 0.5;
const MS_PER_MIN = 60_000;

/**
 * Expected waste from the four weeks before a date: a figure stated for the item, else what was
 * recorded against what the plates sold took, else what is stated for everything.
 */
export async function readSiteWaste(
  read: WasteRead,
  site: Site,
  kitchen: Kitchen,
): Promise<SiteWaste> {
  const { date, graph } = kitchen;
  const window = { from: addDays(date, -WINDOW_DAYS), to: addDays(date, -1) };
  const at = (day: string) =>
    new Date(orRefuse(serviceInstant(day, '00:00', site.zone)) * MS_PER_MIN);
  const thrown = await read.thrownAway(site.id, at(window.from), at(date));
  const sold = await read.sold(site.id, window.from, window.to);
  const stated = (await read.statedAt(site.id)).filter((one) => one.validFrom <= date);
  // Without any record in four weeks nobody keeps one: then silence says nothing of any item.
  const recorded: ReadonlyMap<string, RecordedWaste> =
    thrown.size === 0 ? new Map() : recordedWaste(graph, sold, thrown);
  return {
    window,
    of(itemId) {
      const own = stated.find((one) => one.itemId === itemId);
      if (own) return fromStated(itemId, own);
      const seen = recorded.get(itemId);
      if (seen && seen.fraction <= MOST_BELIEVED) return fromRecord(seen, window, kitchen);
      const all = stated.find((one) => one.itemId === null);
      return all && graph.items.get(itemId)?.kind !== 'dish' ? fromStated(itemId, all) : null;
    },
  };
}

function fromStated(itemId: string, stated: WasteExpectation): ExpectedWaste {
  const { fraction, source, validFrom, enteredBy } = stated;
  const scope = stated.itemId === null ? 'for everything' : 'for this';
  return {
    itemId,
    fraction,
    from: 'stated',
    source: `Stated ${scope} from ${validFrom} by ${enteredBy}: ${source}`,
  };
}

function fromRecord(
  seen: RecordedWaste,
  window: SiteWaste['window'],
  kitchen: Kitchen,
): ExpectedWaste {
  const unit = kitchen.graph.items.get(seen.itemId)?.baseUnit ?? '';
  const whole = (quantity: number): string => `${Math.round(quantity)} ${unit}`;
  return {
    itemId: seen.itemId,
    fraction: seen.fraction,
    from: 'recorded',
    source: `Recorded ${window.from} to ${window.to}: ${whole(seen.wasted)} thrown away, ${whole(seen.used)} used for the plates sold.`,
  };
}
