import pg from 'pg';

// The PostgreSQL server the benchmarks of the service run on, where there is one.

const USUAL = 'postgres://postgres@127.0.0.1:5432/postgres';

async function onServer<T>(url: string, work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client({ connectionString: url, connectionTimeoutMillis: 3000 });
  await client.connect();
  try {
    return await work(client);
  } finally {
    await client.end();
  }
}

/** A database of its own on the server under test; `drop` takes it away again. */
export interface BenchDatabase {
  readonly url: string;
  drop(): Promise<void>;
}

/** @returns null where no server answers */
export async function makeBenchDatabase(): Promise<BenchDatabase | null> {
  const admin = process.env.TAMIS_TEST_DATABASE_URL || USUAL;
  const name = `tamis_bench_${process.pid}_${Date.now()}`;
  try {
    await onServer(admin, (client) => client.query(`CREATE DATABASE ${name}`));
  } catch {
    return null;
  }
  const url = new URL(admin);
  url.pathname = `/${name}`;
  return {
    url: url.toString(),
    drop: async () =>
      void (await onServer(admin, (client) =>
        client.query(`DROP DATABASE IF EXISTS ${name} WITH (FORCE)`),
      )),
  };
}
