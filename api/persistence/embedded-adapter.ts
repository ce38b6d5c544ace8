import type { PGlite } from '@electric-sql/pglite';
import { PrismaPGlite } from 'pglite-prisma-adapter';
import type { EmbeddedSql } from './embedded-engine.ts';

type Transaction = Parameters<Parameters<PGlite['transaction']>[0]>[0];

/**
 * Prisma's adapter over the embedded engine. The adapter's own commit is silent when the engine
 * refuses it (a full disk, a rule that is checked at the end) and the caller would be told that all
 * was kept: the commit here asks the engine what became of it.
 */
export class EmbeddedAdapter extends PrismaPGlite {
  readonly #ends: WeakMap<object, Promise<unknown>>;

  constructor(sql: EmbeddedSql) {
    const ends = new WeakMap<object, Promise<unknown>>();
    const watched: Pick<PGlite, 'query' | 'exec' | 'transaction'> = {
      query: (...asked) => sql.query(...asked),
      exec: (...asked) => sql.exec(...asked),
      transaction: (work) => {
        const end = sql.transaction((tx) => {
          const own = withQuietRollback(tx);
          ends.set(own, end);
          return work(own);
        });
        end.catch(() => undefined);
        return end;
      },
    };
    super(watched as PGlite);
    this.#ends = ends;
  }

  override async connect(): ReturnType<PrismaPGlite['connect']> {
    const adapter = await super.connect();
    const start = adapter.startTransaction.bind(adapter);
    adapter.startTransaction = async (isolation) => {
      const transaction = await start(isolation);
      const end = this.#ends.get((transaction as unknown as { client: object }).client);
      if (!end) throw new Error('The adapter of the embedded database begins transactions anew.');
      const commit = transaction.commit.bind(transaction);
      transaction.commit = async () => {
        await commit();
        await end;
      };
      return transaction;
    };
    return adapter;
  }
}

/** The adapter waits for no rollback; in an engine that has stopped there is nothing to take back. */
function withQuietRollback(tx: Transaction): Transaction {
  return Object.assign(Object.create(tx) as Transaction, {
    rollback: () => tx.rollback().catch(() => undefined),
  });
}
