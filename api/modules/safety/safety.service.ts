import { ruleSetOf, type CorrectionId } from '../../core/safety/index.ts';
import {
  invalid,
  maySeeSite,
  notFound,
  Refusal,
  type Actor,
  type Clock,
  type NewId,
  type UnitOfWork,
} from '../platform/index.ts';
import type { Site } from '../sites/index.ts';
import { holdLots, throwAwayLots } from './held-lots.ts';
import { newBreach, newReading, type ReadingInput } from './new-reading.ts';
import { currentRound, recordOf, shownBy, type SafetyRecord } from './record-view.ts';
import type { Breach, Reading, SafetyWork, TaskSubject } from './safety.ports.ts';

/** Who may strike out what they typed themselves, and for how long. */
const OWN_SLIP_MS = 15 * 60_000;

export interface SafetyDependencies {
  readonly work: UnitOfWork<SafetyWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/**
 * Temperatures of cooling and holding, judged by the rule set of the site. A breach is written down
 * once and holds the lots back until a lead decides.
 */
export class SafetyService {
  readonly #deps: SafetyDependencies;

  constructor(deps: SafetyDependencies) {
    this.#deps = deps;
  }

  /** The cooling record of a task. */
  async ofTask(actor: Actor, taskId: string): Promise<SafetyRecord> {
    const { work } = this.#deps;
    return this.#taskRecord(work.read, await this.#task(work.read, actor, taskId));
  }

  /** The record of a lot held cold or hot. */
  async ofLot(actor: Actor, lotId: string, kind: 'cold' | 'hot'): Promise<SafetyRecord> {
    const { work } = this.#deps;
    return this.#lotRecord(work.read, await this.#lot(work.read, actor, lotId), kind);
  }

  /**
   * Writes a reading of a task that cools. A breach is noted and what the task made is held back.
   * @throws Refusal `invalid-input` for a time or temperature that cannot be, `wrong-state` for a
   * task that has no cooling step or was given up
   */
  async readTask(actor: Actor, taskId: string, input: ReadingInput): Promise<SafetyRecord> {
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async (inside) => {
      const subject = await this.#task(inside, actor, taskId);
      if (!subject.cools) {
        throw new Refusal('wrong-state', `${subject.name} has no step that cools cooked food.`);
      }
      if (['abandoned', 'dropped'].includes(subject.status)) {
        throw new Refusal('wrong-state', 'This task is not being made: there is nothing to cool.');
      }
      await inside.stock.lockSite(subject.siteId);
      const site = await this.#site(inside, subject.siteId);
      const breaches = await inside.safety.breachesOf({ taskId });
      const round = currentRound(breaches, ruleSetOf(site.ruleSet), 'cooling');
      const own = { siteId: subject.siteId, taskId, lotId: null, kind: 'cooling', round } as const;
      await inside.safety.insertReading(
        newReading(this.#deps.newId('temp'), actor, own, input, now),
      );
      const readings = (await inside.safety.readingsOf({ taskId })).filter(
        (r) => r.struckAt === null && r.round === round,
      );
      const rules = ruleSetOf(site.ruleSet);
      const judgement = shownBy(rules, 'cooling', subject.course, readings, now);
      const known = breaches.some((breach) => breach.round === round);
      if (judgement.verdict === 'breach' && !known) {
        const breach = newBreach(this.#deps.newId('brc'), actor, own, site.ruleSet, judgement, now);
        await inside.safety.insertBreach(breach);
        const lots = await inside.safety.lotsMadeBy(taskId);
        await holdLots(
          inside,
          this.#deps.newId,
          actor,
          lots,
          `${subject.name}: ${breach.message}`,
          now,
        );
        await this.#note(inside, actor, breach, 'breach', { message: breach.message });
      }
      return this.#taskRecord(inside, subject);
    });
  }

  /** Writes a reading of a lot held cold or hot. A breach holds the lot back. */
  async readLot(
    actor: Actor,
    lotId: string,
    kind: 'cold' | 'hot',
    input: ReadingInput,
  ): Promise<SafetyRecord> {
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async (inside) => {
      const lot = await this.#lot(inside, actor, lotId);
      await inside.stock.lockSite(lot.siteId);
      const site = await this.#site(inside, lot.siteId);
      const rules = ruleSetOf(site.ruleSet);
      const breaches = (await inside.safety.breachesOf({ lotId })).filter((b) => b.lotId === lotId);
      const round = currentRound(breaches, rules, kind);
      const own = { siteId: lot.siteId, taskId: null, lotId, kind, round };
      await inside.safety.insertReading(
        newReading(this.#deps.newId('temp'), actor, own, input, now),
      );
      const readings = (await inside.safety.readingsOf({ lotId })).filter(
        (r) => r.struckAt === null && r.round === round && r.kind === kind,
      );
      const judgement = shownBy(rules, kind, 'cooked', readings, now);
      const known = breaches.some((breach) => breach.kind === kind && breach.round === round);
      if (judgement.verdict === 'breach' && !known) {
        const breach = newBreach(this.#deps.newId('brc'), actor, own, site.ruleSet, judgement, now);
        await inside.safety.insertBreach(breach);
        const held = [{ id: lotId, held: lot.heldReason !== null }];
        await holdLots(inside, this.#deps.newId, actor, held, breach.message, now);
        await this.#note(inside, actor, breach, 'breach', { message: breach.message });
      }
      return this.#lotRecord(inside, lot, kind);
    });
  }

  /**
   * Strikes a mistyped reading out. A breach that was noted from it stays until a lead decides.
   * @throws Refusal `forbidden` for another's reading or an old one, unless a lead asks
   */
  async strike(actor: Actor, readingId: string, reason: string): Promise<Reading> {
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async (inside) => {
      const reading = await inside.safety.findReading(readingId);
      if (!reading || !maySeeSite(actor, reading.siteId)) throw notFound('reading', readingId);
      const isLead = actor.role === 'lead' || actor.role === 'admin';
      const isFresh = now.getTime() - reading.enteredAt.getTime() <= OWN_SLIP_MS;
      if (!isLead && !(reading.actorId === actor.id && isFresh)) {
        throw new Refusal(
          'forbidden',
          'Only a lead strikes out what was entered by somebody else or more than 15 minutes ago.',
        );
      }
      const struck = { struckAt: now, struckBy: actor.name, struckReason: reason };
      if (!(await inside.safety.strikeReading(readingId, struck))) {
        throw new Refusal('wrong-state', 'This reading is struck out already.');
      }
      await inside.audit.append({
        actor,
        action: 'strike out',
        subjectKind: 'temperature reading',
        subjectId: readingId,
        siteId: reading.siteId,
        detail: { celsius: reading.celsius, at: reading.at.toISOString(), reason },
      });
      return { ...reading, ...struck };
    });
  }

  /** Says what the kitchen did about a breach. The lots stay held. */
  async correct(
    actor: Actor,
    breachId: string,
    correction: CorrectionId,
    note: string | null,
  ): Promise<Breach> {
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async (inside) => {
      const breach = await this.#openBreach(inside, actor, breachId);
      const site = await this.#site(inside, breach.siteId);
      const choices = recordOf(
        { ...breach, ruleSet: site.ruleSet, course: 'cooked', readings: [], breaches: [] },
        now,
      ).corrections;
      if (!choices.some(({ id }) => id === correction)) {
        throw invalid('/correction', 'That is no way to correct this kind of breach.');
      }
      const corrected = {
        correction,
        correctionNote: note,
        correctedAt: now,
        correctedBy: actor.name,
      };
      if (correction === 'throw-away') {
        return this.#decided(
          inside,
          actor,
          breach,
          'thrown away',
          note ?? breach.message,
          now,
          corrected,
        );
      }
      if (!(await inside.safety.changeBreach(breachId, breach.rev, corrected))) throw elsewhere();
      await this.#note(inside, actor, breach, 'correct breach', { correction, note });
      return this.#again(inside, breachId);
    });
  }

  /**
   * A lead's decision: the lots go back into use, or are thrown away, with the reason.
   * @throws Refusal `conflict` when it was decided meanwhile
   */
  async decide(
    actor: Actor,
    breachId: string,
    decision: 'released' | 'thrown away',
    reason: string,
  ): Promise<Breach> {
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async (inside) => {
      const breach = await this.#openBreach(inside, actor, breachId);
      return this.#decided(inside, actor, breach, decision, reason, now, {});
    });
  }

  async #decided(
    inside: SafetyWork,
    actor: Actor,
    breach: Breach,
    decision: 'released' | 'thrown away',
    reason: string,
    now: Date,
    also: Parameters<SafetyWork['safety']['changeBreach']>[2],
  ): Promise<Breach> {
    await inside.stock.lockSite(breach.siteId);
    const change = {
      ...also,
      decision,
      decisionReason: reason,
      decidedAt: now,
      decidedBy: actor.name,
    };
    if (!(await inside.safety.changeBreach(breach.id, breach.rev, change))) throw elsewhere();
    const lots =
      breach.taskId === null
        ? [{ id: breach.lotId ?? '', held: true }]
        : await inside.safety.lotsMadeBy(breach.taskId);
    const { newId } = this.#deps;
    if (decision === 'thrown away') {
      await throwAwayLots(inside, newId, actor, lots, reason, now);
    } else {
      for (const lot of lots) {
        const others = (await inside.safety.breachesOf({ lotId: lot.id })).filter(
          (other) => other.decision === null,
        );
        if (others.length > 0) continue;
        await inside.stock.setHeld(lot.id, null, {
          id: newId('mov'),
          kind: 'released',
          quantity: 0,
          at: now,
          actorId: actor.id,
          reason,
        });
      }
    }
    await this.#note(inside, actor, breach, decision === 'released' ? 'release' : 'throw away', {
      reason,
      lots: lots.map((lot) => lot.id),
    });
    return this.#again(inside, breach.id);
  }

  async #taskRecord(
    inside: SafetyWork,
    { taskId, siteId, course }: TaskSubject,
  ): Promise<SafetyRecord> {
    const site = await this.#site(inside, siteId);
    const readings = await inside.safety.readingsOf({ taskId });
    const breaches = await inside.safety.breachesOf({ taskId });
    return recordOf(
      { siteId, ruleSet: site.ruleSet, kind: 'cooling', course, readings, breaches },
      this.#deps.clock.now(),
    );
  }

  async #lotRecord(
    inside: SafetyWork,
    lot: { readonly id: string; readonly siteId: string },
    kind: 'cold' | 'hot',
  ): Promise<SafetyRecord> {
    const site = await this.#site(inside, lot.siteId);
    const readings = await inside.safety.readingsOf({ lotId: lot.id });
    const breaches = await inside.safety.breachesOf({ lotId: lot.id });
    return recordOf(
      { siteId: lot.siteId, ruleSet: site.ruleSet, kind, course: 'cooked', readings, breaches },
      this.#deps.clock.now(),
    );
  }

  #note(
    { audit }: SafetyWork,
    actor: Actor,
    breach: Breach,
    action: string,
    detail: Readonly<Record<string, unknown>>,
  ): Promise<void> {
    return audit.append({
      actor,
      action,
      subjectKind: 'safety breach',
      subjectId: breach.id,
      siteId: breach.siteId,
      detail: { taskId: breach.taskId, lotId: breach.lotId, ...detail },
    });
  }

  async #task(inside: SafetyWork, actor: Actor, taskId: string): Promise<TaskSubject> {
    const subject = await inside.safety.taskSubject(taskId);
    if (!subject || !maySeeSite(actor, subject.siteId)) throw notFound('task', taskId);
    return subject;
  }

  async #lot(inside: SafetyWork, actor: Actor, lotId: string) {
    const lot = await inside.stock.findLot(lotId);
    if (!lot || lot.archived || !maySeeSite(actor, lot.siteId)) throw notFound('stock lot', lotId);
    return lot;
  }

  async #openBreach(inside: SafetyWork, actor: Actor, breachId: string): Promise<Breach> {
    const breach = await inside.safety.findBreach(breachId);
    if (!breach || !maySeeSite(actor, breach.siteId)) throw notFound('breach', breachId);
    if (breach.decision !== null) {
      throw new Refusal(
        'conflict',
        `${breach.decidedBy ?? 'Somebody'} decided this already: ${breach.decision}.`,
      );
    }
    return breach;
  }

  async #again(inside: SafetyWork, breachId: string): Promise<Breach> {
    const breach = await inside.safety.findBreach(breachId);
    if (!breach) throw notFound('breach', breachId);
    return breach;
  }

  async #site(inside: SafetyWork, siteId: string): Promise<Site> {
    const site = await inside.sites.find(siteId);
    if (!site) throw notFound('site', siteId);
    return site;
  }
}

const elsewhere = (): Refusal =>
  new Refusal('conflict', 'Somebody else changed this at the same moment. Look and try again.');
