/**
 * Warmest that goods may be at the door, degC, by the rule set of the site and the storage of the
 * ingredient. Ambient goods have no limit. Local codes and licensed practice decide.
 *
 * Sources (from memory): chilled 8 °C, Food Safety and Hygiene (England) Regulations 2013, Schedule 4;
 * chilled 5 °C, FDA Food Code 3-202.11 (41 °F); EU law sets no one figure for chilled goods, 5 °C is
 * common practice, no source; frozen -18 °C with 3 °C of brief warming in transport, Directive
 * 89/108/EEC, taken for every rule set.
 */
const CHILLED_C: Readonly<Record<string, number>> = { uk: 8, eu: 5, us: 5 };
const STRICTEST_CHILLED_C = 5;
const FROZEN_C = -15;

/** @returns the limit, degC; null for goods kept at room temperature */
export function receivingLimitC(ruleSet: string, storage: string): number | null {
  if (storage === 'frozen') return FROZEN_C;
  return storage === 'chilled' ? (CHILLED_C[ruleSet] ?? STRICTEST_CHILLED_C) : null;
}
