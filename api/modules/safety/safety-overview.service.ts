import { ruleSetOf, type RuleSet } from '../../core/safety/index.ts';
import { notFound } from '../platform/index.ts';
import { itemKey, type StockItem, type StockLot } from '../stock/index.ts';
import { judgeRound } from './record-view.ts';
import type { SafetyDependencies } from './safety.service.ts';
import type { Breach, TaskSubject } from './safety.ports.ts';

/** How a task that cools stands: nothing written yet, under way, met, or a limit not kept. */
export interface CoolingState {
  readonly subject: TaskSubject;
  readonly state: 'no-readings' | 'under-way' | 'met' | 'breach';
  /** The next target and when it falls due. */
  readonly next: { readonly toText: string; readonly dueMin: number } | null;
}

export interface SafetyOverview {
  readonly siteId: string;
  readonly rules: RuleSet;
  readonly breaches: readonly Breach[];
  readonly held: readonly { readonly lot: StockLot; readonly item: StockItem | null }[];
  readonly cooling: readonly CoolingState[];
}

const HELD_LOTS = 200;
const LOOK_BACK_MS = 36 * 60 * 60_000;

/** What somebody must look at: open breaches, held lots, coolings of the last day and a half. */
export class SafetyOverviewService {
  readonly #deps: SafetyDependencies;

  constructor(deps: SafetyDependencies) {
    this.#deps = deps;
  }

  async of(siteId: string): Promise<SafetyOverview> {
    const { safety, stock, sites } = this.#deps.work.read;
    const site = await sites.find(siteId);
    if (!site) throw notFound('site', siteId);
    const now = this.#deps.clock.now();
    const rules = ruleSetOf(site.ruleSet);
    const tasks = await safety.coolingTasks(siteId, new Date(now.getTime() - LOOK_BACK_MS));
    const readings = await safety.readingsOfTasks(tasks.map((task) => task.taskId));
    const page = await stock.lotPage(siteId, { state: 'held' }, { limit: HELD_LOTS }, now);
    const items = new Map((await stock.items(page.items)).map((item) => [itemKey(item), item]));
    return {
      siteId,
      rules,
      breaches: await safety.openBreaches(siteId),
      held: page.items.map((lot) => ({ lot, item: items.get(itemKey(lot)) ?? null })),
      cooling: tasks.map((subject) => {
        const own = readings.filter((r) => r.taskId === subject.taskId && r.struckAt === null);
        const round = Math.max(0, ...own.map((reading) => reading.round));
        const last = own.filter((reading) => reading.round === round);
        const judged = judgeRound(rules, 'cooling', subject.course, last, now);
        const open =
          'targets' in judged ? judged.targets.find(({ state }) => state === 'open') : undefined;
        return {
          subject,
          state: judged.verdict as CoolingState['state'],
          next: open ? { toText: open.toText, dueMin: open.dueMin } : null,
        };
      }),
    };
  }
}
