import type { ServiceDate } from '../calendar/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';

/** Separator after data of variable length that is not the last: ASCII 29. */
const GROUP_SEPARATOR = '\u001d';
/** Longest lot of application identifier 10. */
const LOT_LENGTH = 20;
/** How much of a long id stands on a label: the end, where ids differ. */
const SHORT_LENGTH = 12;
/** Characters that element strings may hold (GS1 AI encodable character set 82). */
const ENCODABLE = /^[!"%&'()*+,\-./0-9:;<=>?A-Z_a-z]+$/;

/** What a label of food made here says to a scanner. Times are those of the site. */
export interface MadeHereLabel {
  readonly lotCode: string;
  readonly madeOn: ServiceDate;
  readonly useByOn: ServiceDate;
  /** 'HH:MM'. */
  readonly useByAt: string;
}

/**
 * The code of a lot as people read it on a label and type it: its id without the prefix, or the last
 * twelve characters of a long one.
 */
export function lotCode(lotId: string): string {
  const bare = lotId.replace(/^[a-z]+_/, '');
  return bare.length <= LOT_LENGTH ? bare : bare.slice(-SHORT_LENGTH);
}

/**
 * GS1 element strings of a label: (11) production date, (17) use-by date, (7003) use-by to the minute,
 * (10) lot. Without a GTIN they are for use inside the group only. (7003) goes beside (17) because a
 * date alone would let food be used to the end of its last day.
 *
 * @returns the data as a scanner sends it; error `invalid-code` for a lot with characters GS1 has not,
 *          or a time that is none
 * Source: GS1 General Specifications, section 3 (identifiers; 7003 from memory), section 7.8
 */
export function writeLabelCode(label: MadeHereLabel): Result<string> {
  const { lotCode: lot, madeOn, useByOn, useByAt } = label;
  if (!ENCODABLE.test(lot) || lot.length > LOT_LENGTH) {
    return err(
      coreError('invalid-code', `${lot} cannot be written as a lot code.`, { detail: { lot } }),
    );
  }
  const short = (date: string): string => date.replaceAll('-', '').slice(2);
  const time = useByAt.replace(':', '');
  if (
    ![madeOn, useByOn].every((date) => /^\d{4}-\d{2}-\d{2}$/.test(date)) ||
    !/^\d{4}$/.test(time)
  ) {
    return err(
      coreError('invalid-date', 'A label needs dates and a time.', { detail: { ...label } }),
    );
  }
  return ok(
    `11${short(madeOn)}17${short(useByOn)}7003${short(useByOn)}${time}${GROUP_SEPARATOR}10${lot}`,
  );
}
