import { invalid, Refusal } from '../refusal.ts';

/** A workbook that is not sound, or not one that we read. The whole file is what is wrong. */
export function notSound(message: string): Refusal {
  return invalid('', message);
}

/** A workbook that would take more room than one is given (413). */
export function tooLarge(message: string): Refusal {
  return new Refusal('too-large', message, { issues: [{ pointer: '', message }] });
}

export const CUT_OFF = 'The workbook is cut off or damaged: it cannot be unpacked.';
