import {
  ruleSetOf,
  type CarriedJudgement,
  type HoldingJudgement,
  type RuleSetId,
  type Temperature,
} from '../../core/safety/index.ts';
import { momentAgo, type Actor, type NewId } from '../platform/index.ts';
import { holdLots } from './held-lots.ts';
import { newBreach, newReading } from './new-reading.ts';
import { currentRound, minutesOf } from './record-view.ts';
import type { SafetyWork } from './safety.ports.ts';

/** Lots whose temperature was read as they left a site or came to it. */
export interface CarriedLots {
  readonly siteId: string;
  readonly ruleSet: RuleSetId;
  readonly lots: readonly { readonly id: string; readonly held: boolean }[];
  readonly temperature: Temperature;
  readonly judgement: CarriedJudgement;
  readonly minutesAgo: number;
  readonly note: string;
}

/**
 * Writes the temperature into the record of each lot. Where it was too warm, that is a breach, which
 * holds the lot until a lead decides. Behind the site's lock.
 * @throws Refusal `invalid-input` for a temperature or a time that cannot be
 */
export async function noteCarried(
  work: Pick<SafetyWork, 'safety' | 'stock' | 'audit'>,
  newId: NewId,
  actor: Actor,
  carried: CarriedLots,
  now: Date,
): Promise<void> {
  const { siteId, ruleSet, temperature, judgement, minutesAgo, note } = carried;
  const at = minutesOf(momentAgo(now, minutesAgo));
  for (const lot of carried.lots) {
    const breaches = (await work.safety.breachesOf({ lotId: lot.id })).filter(
      ({ lotId }) => lotId === lot.id,
    );
    const round = currentRound(breaches, ruleSetOf(ruleSet), 'cold');
    const own = { siteId, taskId: null, lotId: lot.id, kind: 'cold', round } as const;
    const input = { temperature, minutesAgo, offHeatMinutesAgo: null, note };
    const reading = newReading(newId('temp'), actor, own, input, now);
    await work.safety.insertReading(reading);
    if (judgement.verdict !== 'warm') continue;
    await holdLots(work, newId, actor, [lot], judgement.message, now);
    if (breaches.some((breach) => breach.kind === 'cold' && breach.round === round)) continue;
    const held: HoldingJudgement = {
      verdict: 'breach',
      excursions: [{ fromMin: at, toMin: at, worstCelsius: reading.celsius, over: false }],
      message: judgement.message,
    };
    const breach = newBreach(newId('brc'), actor, own, ruleSet, held, now);
    await work.safety.insertBreach(breach);
    await work.audit.append({
      actor,
      action: 'breach',
      subjectKind: 'safety breach',
      subjectId: breach.id,
      siteId,
      detail: { taskId: null, lotId: lot.id, message: breach.message },
    });
  }
}
