import { z } from 'zod';

// Shapes that many resources share on the wire.

/** A service date: a calendar day in the site's zone. */
export const ServiceDate = z
  .string()
  .regex(/^\d{4}-\d{2}-\d{2}$/, 'Write the date as YYYY-MM-DD.')
  .refine((s) => {
    const d = new Date(`${s}T00:00:00Z`);
    return !Number.isNaN(d.getTime()) && d.toISOString().startsWith(s);
  }, 'There is no such day.')
  .meta({ id: 'ServiceDate', format: 'date', example: '2026-03-14' });

/** A local time of day. */
export const LocalTime = z
  .string()
  .regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'Write the time as HH:MM, from 00:00 to 23:59.')
  .meta({ id: 'LocalTime', example: '12:30' });

/** An instant, RFC 3339. An offset can push a year over the end of what dates can hold. */
export const Instant = z.iso
  .datetime({ offset: true, message: 'Write the instant as RFC 3339, with its offset.' })
  .refine((s) => {
    const year = new Date(s).getUTCFullYear();
    return year >= 1900 && year < 3000;
  }, 'The year must be from 1900 to 2999.')
  .meta({ id: 'Instant', example: '2026-03-14T05:30:00Z' });

/** ISO weekday: 1 Monday to 7 Sunday. */
export const Weekday = z.number().int().min(1).max(7);

/** An amount as a cook writes it: a number and a UCUM code, or a measure of the ingredient. */
export const Amount = z
  .object({
    value: z.number().positive().max(10_000_000),
    unit: z.string().min(1).max(40),
  })
  .meta({ id: 'Amount', example: { value: 250, unit: 'g' } });

/** An amount that may be zero. */
export const AmountOrZero = z
  .object({
    value: z.number().min(0).max(10_000_000),
    unit: z.string().min(1).max(40),
  })
  .meta({ id: 'AmountOrZero' });

export const CurrencyCode = z
  .string()
  .regex(/^[A-Z]{3}$/, 'Use the three-letter ISO 4217 code.')
  .meta({ id: 'CurrencyCode', example: 'EUR' });

/** Decimal money, never a float. */
export const Money = z
  .object({
    amount: z
      .string()
      .regex(/^-?\d{1,10}(\.\d{1,4})?$/, 'Write money as a decimal, such as "12.40".'),
    currency: CurrencyCode,
  })
  .meta({ id: 'Money', example: { amount: '12.40', currency: 'EUR' } });

export const Id = z.string().regex(/^[a-z]+_[0-9A-Za-z-]{1,60}$/, 'Not an id of ours.');
export const Name = z.string().trim().min(1).max(120);
export const Note = z.string().trim().max(2000);

export const DryRun = z
  .enum(['true', 'false'])
  .default('false')
  .meta({ description: 'Whether only to say what would be done.' });

export const WithArchived = z
  .enum(['true', 'false'])
  .default('false')
  .meta({ description: 'Whether what was put away is among them.' });
