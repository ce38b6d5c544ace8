import type { z } from 'zod';
import {
  lengthText,
  limitText,
  SAFETY_NOTICE,
  type CoolingLimit,
  type HoldingLimit,
  type RuleSet,
  type TemperatureLimit,
} from '../../core/safety/index.ts';
import { codeOfBase } from '../../core/quantity/index.ts';
import type { Actor } from '../platform/index.ts';
import type { JudgedRound, SafetyRecord } from './record-view.ts';
import type { SafetyOverview } from './safety-overview.service.ts';
import type { Breach, Reading } from './safety.ports.ts';
import type {
  BreachSchema,
  OverviewSchema,
  ReadingSchema,
  RecordSchema,
  RuleSetSchema,
} from './safety.schema.ts';

const instant = (minutes: number): string => new Date(minutes * 60_000).toISOString();
const limitBody = (limit: TemperatureLimit) => ({
  celsius: limit.celsius,
  fahrenheit: limit.fahrenheit ?? null,
  text: limitText(limit),
});
const coolingBody = ({ from, targets, grounds }: CoolingLimit) => ({
  from: from === null ? null : limitBody(from),
  targets: targets.map(({ to, withinMin }) => ({ to: limitBody(to), withinMin })),
  grounds,
});
const holdingBody = ({ limit, grounds, tolerance }: HoldingLimit) => ({
  limit: limitBody(limit),
  grounds,
  toleranceMin: tolerance?.lessThanMin ?? null,
  toleranceGrounds: tolerance?.grounds ?? null,
});

export function toRuleSetBody(rules: RuleSet): z.infer<typeof RuleSetSchema> {
  const { dateCap, reheat } = rules;
  return {
    id: rules.id,
    name: rules.name,
    cooling: {
      cooked: coolingBody(rules.cooling.cooked),
      ambient: coolingBody(rules.cooling.ambient),
    },
    cold: holdingBody(rules.cold),
    hot: holdingBody(rules.hot),
    reheat: { to: limitBody(reheat.to), text: reheat.text, grounds: reheat.grounds },
    dateCap:
      dateCap === null
        ? null
        : {
            days: dateCap.days,
            text: `At most ${dateCap.days} days at ${limitText(dateCap.heldAtMost)} or colder, the day of making counted.`,
            grounds: dateCap.grounds,
          },
    remarks: [...rules.remarks],
    notice: SAFETY_NOTICE,
  };
}

export function toReadingBody(actor: Actor, reading: Reading): z.infer<typeof ReadingSchema> {
  const { struckAt, struckBy, struckReason } = reading;
  return {
    id: reading.id,
    celsius: reading.celsius,
    read: { value: reading.value, unit: reading.unit },
    at: reading.at.toISOString(),
    offHeatAt: reading.offHeatAt?.toISOString() ?? null,
    enteredAt: reading.enteredAt.toISOString(),
    by: reading.actorName,
    byYou: reading.actorId === actor.id,
    note: reading.note,
    struck:
      struckAt === null
        ? null
        : { at: struckAt.toISOString(), by: struckBy ?? '', reason: struckReason ?? '' },
  };
}

export function toBreachBody(breach: Breach): z.infer<typeof BreachSchema> {
  const { correction, correctedAt, decision, decidedAt } = breach;
  return {
    id: breach.id,
    siteId: breach.siteId,
    taskId: breach.taskId,
    lotId: breach.lotId,
    kind: breach.kind,
    round: breach.round,
    ruleSet: breach.ruleSet,
    message: breach.message,
    foundAt: breach.foundAt.toISOString(),
    foundBy: breach.foundBy,
    correction:
      correction === null || correctedAt === null
        ? null
        : {
            id: correction,
            note: breach.correctionNote,
            at: correctedAt.toISOString(),
            by: breach.correctedBy ?? '',
          },
    decision:
      decision === null || decidedAt === null
        ? null
        : {
            what: decision,
            reason: breach.decisionReason ?? '',
            at: decidedAt.toISOString(),
            by: breach.decidedBy ?? '',
          },
    rev: breach.rev,
  };
}

/** The limit of a record in one sentence. */
function limitOf({ rules, kind, course }: SafetyRecord): string {
  if (kind === 'cold') return `Hold at ${limitText(rules.cold.limit)} or colder.`;
  if (kind === 'hot') return `Hold at ${limitText(rules.hot.limit)} or hotter.`;
  const { from, targets } = rules.cooling[course];
  const to = targets.map(
    ({ to: limit, withinMin }) => `${limitText(limit)} within ${lengthText(withinMin)}`,
  );
  return `Cool ${from === null ? 'from the end of making' : `from ${limitText(from)}`} to ${to.join(' and to ')}.`;
}

function roundBody(actor: Actor, { round, readings, judgement }: JudgedRound) {
  const cooling = 'targets' in judgement ? judgement : null;
  return {
    round,
    verdict: judgement.verdict,
    readings: readings.map((reading) => toReadingBody(actor, reading)),
    findings: cooling
      ? cooling.targets.map(({ state, message, dueMin, toText }) => ({
          state,
          message,
          dueAt: instant(dueMin),
          toText,
        }))
      : [
          {
            state: judgement.verdict,
            message: 'message' in judgement ? judgement.message : '',
            dueAt: null,
            toText: null,
          },
        ],
    remarks: cooling ? [...cooling.remarks] : [],
  };
}

export function toRecordBody(actor: Actor, record: SafetyRecord): z.infer<typeof RecordSchema> {
  const last = record.rounds.at(-1);
  return {
    siteId: record.siteId,
    kind: record.kind,
    ruleSet: toRuleSetBody(record.rules),
    limit: limitOf(record),
    state: last?.judgement.verdict ?? 'no-readings',
    rounds: record.rounds.map((round) => roundBody(actor, round)),
    struck: record.struck.map((reading) => toReadingBody(actor, reading)),
    breaches: record.breaches.map(toBreachBody),
    corrections: record.corrections.map((choice) => ({ ...choice })),
    notice: record.notice,
  };
}

export function toOverviewBody(overview: SafetyOverview): z.infer<typeof OverviewSchema> {
  return {
    siteId: overview.siteId,
    ruleSet: toRuleSetBody(overview.rules),
    breaches: overview.breaches.map(toBreachBody),
    held: overview.held.map(({ lot, item }) => ({
      lotId: lot.id,
      item: { id: lot.itemId, name: item?.name ?? lot.itemId },
      amount: { value: lot.quantity, unit: codeOfBase(item?.measures.baseUnit ?? 'each') },
      useBy: lot.useBy.toISOString(),
      reason: lot.heldReason ?? '',
    })),
    cooling: overview.cooling.map(({ subject, state, next }) => ({
      taskId: subject.taskId,
      name: subject.name,
      makeDate: subject.makeDate,
      state,
      next: next === null ? null : { toText: next.toText, dueAt: instant(next.dueMin) },
    })),
    notice: SAFETY_NOTICE,
  };
}
