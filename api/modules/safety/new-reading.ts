import { celsiusOf, type Temperature } from '../../core/safety/index.ts';
import { invalid, momentAgo, orRefuse, type Actor } from '../platform/index.ts';
import { messageOf } from './record-view.ts';
import type { Breach, Reading } from './safety.ports.ts';

/** A temperature as a cook enters it: how long ago, never what the tablet's clock shows. */
export interface ReadingInput {
  readonly temperature: Temperature;
  readonly minutesAgo: number;
  /** When it came off the heat, where the first reading is late. */
  readonly offHeatMinutesAgo: number | null;
  readonly note: string | null;
}

/** What a reading or a breach is of: a task that cools or a lot held, and its how-manieth round. */
type Owner = Pick<Reading, 'siteId' | 'taskId' | 'lotId' | 'kind' | 'round'>;

/**
 * The reading to keep, dated back from the service's own clock.
 * @throws Refusal `invalid-input` for a temperature or a time that cannot be
 */
export function newReading(
  id: string,
  actor: Actor,
  own: Owner,
  input: ReadingInput,
  now: Date,
): Reading {
  const celsius = orRefuse(celsiusOf(input.temperature), '/temperature');
  const at = momentAgo(now, input.minutesAgo);
  const offHeatAt =
    input.offHeatMinutesAgo === null
      ? null
      : momentAgo(now, input.offHeatMinutesAgo, '/offHeatMinutesAgo');
  if (offHeatAt && offHeatAt > at) {
    throw invalid('/offHeatMinutesAgo', 'It came off the heat before it was measured.');
  }
  return {
    id,
    ...own,
    celsius,
    value: input.temperature.value,
    unit: input.temperature.unit,
    at,
    offHeatAt,
    enteredAt: now,
    actorId: actor.id,
    actorName: actor.name,
    note: input.note,
    struckAt: null,
    struckBy: null,
    struckReason: null,
  };
}

/** The breach to keep, not yet corrected or decided. */
export function newBreach(
  id: string,
  actor: Actor,
  own: Owner,
  ruleSet: Breach['ruleSet'],
  judgement: Breach['judgement'],
  now: Date,
): Breach {
  return {
    id,
    ...own,
    ruleSet,
    message: messageOf(judgement),
    judgement,
    foundAt: now,
    foundBy: actor.name,
    correction: null,
    correctionNote: null,
    correctedAt: null,
    correctedBy: null,
    decision: null,
    decisionReason: null,
    decidedAt: null,
    decidedBy: null,
    rev: 1,
  };
}
