import { z } from 'zod';
import { CurrencyCode, ServiceDate } from '../../http/wire.ts';

export const RateBody = z
  .strictObject({
    from: CurrencyCode,
    to: CurrencyCode,
    validFrom: ServiceDate,
    rate: z.string().regex(/^\d{1,9}(\.\d{1,8})?$/, 'Write the rate as a decimal, such as "0.86".'),
  })
  .meta({ id: 'ExchangeRateBody', description: 'One unit of `from` buys `rate` units of `to`.' });

export const RateSchema = z
  .object({
    id: z.string(),
    from: z.string(),
    to: z.string(),
    validFrom: z.string(),
    rate: z.string(),
    enteredBy: z.string(),
  })
  .meta({ id: 'ExchangeRate' });
export const RateList = z.object({ items: z.array(RateSchema) }).meta({ id: 'ExchangeRateList' });
export const RateParams = z.object({ rateId: z.string() });
