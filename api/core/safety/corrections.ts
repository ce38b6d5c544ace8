import { guidance, practice, type Grounds } from './grounds.ts';
import type { RuleSet } from './rule-sets.ts';
import { limitText } from './temperature.ts';

export const BREACH_KINDS = ['cooling', 'cold', 'hot'] as const;
export type BreachKind = (typeof BREACH_KINDS)[number];

export const CORRECTION_IDS = [
  'heat-and-cool-again',
  'faster-cooling',
  'chill-at-once',
  'heat-at-once',
  'serve-now',
  'throw-away',
] as const;
export type CorrectionId = (typeof CORRECTION_IDS)[number];

/** A usual way to deal with a breach. Choosing one never frees the food: a lead does. */
export interface Correction {
  readonly id: CorrectionId;
  readonly text: string;
  /** After it a new record begins, judged on its own. */
  readonly beginsAnew: boolean;
  readonly grounds: Grounds;
}

/** The usual corrective choices for a breach under a rule set, safest last resort at the end. */
export function correctionsFor(kind: BreachKind, rules: RuleSet): readonly Correction[] {
  const throwAway: Correction = {
    id: 'throw-away',
    text: 'Throw it away, and say so in the record.',
    beginsAnew: false,
    grounds: guidance(
      'Food that was not kept safe is not served: every food-safety plan ends here',
    ),
  };
  const { to, text, grounds } = rules.reheat;
  const coldText = limitText(rules.cold.limit);
  if (kind === 'cooling') {
    return [
      {
        id: 'heat-and-cool-again',
        text: `Heat all of it again to ${limitText(to)} (${text}), then cool it again, faster: shallow trays, ice bath, blast chiller. Once only.`,
        beginsAnew: true,
        grounds,
      },
      {
        id: 'faster-cooling',
        text: 'Split it into shallow trays, ice bath or blast chiller, and measure again.',
        beginsAnew: false,
        grounds: practice(),
      },
      throwAway,
    ];
  }
  if (kind === 'cold') {
    return [
      {
        id: 'chill-at-once',
        text: `Chill it at once to ${coldText} or colder, find out why, and let a lead decide.`,
        beginsAnew: true,
        grounds: practice(),
      },
      {
        id: 'serve-now',
        text: 'Serve it now, only where a lead finds that the rules here forgive the time it was warm; throw away what is left.',
        beginsAnew: false,
        grounds: rules.cold.tolerance?.grounds ?? practice(),
      },
      throwAway,
    ];
  }
  return [
    {
      id: 'heat-at-once',
      text: `Heat it again at once to ${limitText(to)} (${text}) and keep it hot, or let a lead decide.`,
      beginsAnew: true,
      grounds,
    },
    {
      id: 'serve-now',
      text: 'Serve it now, only where a lead finds that the rules here forgive the time; throw away what is left.',
      beginsAnew: false,
      grounds: rules.hot.tolerance?.grounds ?? practice(),
    },
    throwAway,
  ];
}
