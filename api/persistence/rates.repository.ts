import type { Rate, RatesRepository } from '../modules/rates/index.ts';
import type { Db } from './database.ts';
import { refuseDuplicates } from './database-errors.ts';
import type { ExchangeRate as RateRow } from './generated/client.ts';
import { fromServiceDate, toDecimalString, toServiceDate } from './row-values.ts';

const toRate = (row: RateRow): Rate => ({
  id: row.id,
  from: row.fromCurrency,
  to: row.toCurrency,
  validFrom: toServiceDate(row.validFrom),
  rate: toDecimalString(row.rate),
  enteredBy: row.enteredBy,
});

/** Exchange rates by hand. */
export function createRatesRepository(db: Db): RatesRepository {
  return {
    async all() {
      const rows = await db.exchangeRate.findMany({
        orderBy: [{ validFrom: 'desc' }, { id: 'desc' }],
      });
      return rows.map(toRate);
    },
    insert: (id, { from, to, validFrom, rate }, enteredBy) =>
      refuseDuplicates('There is a rate from that day on already.', '/validFrom', async () =>
        toRate(
          await db.exchangeRate.create({
            data: {
              id,
              fromCurrency: from,
              toCurrency: to,
              validFrom: fromServiceDate(validFrom),
              rate,
              enteredBy,
            },
          }),
        ),
      ),
    delete: async (id) => (await db.exchangeRate.deleteMany({ where: { id } })).count === 1,
  };
}
