// Prints the SQL that takes the committed migrations to the schema files (nothing when they agree).
// `--check` exits 1 on drift; `--write NAME` adds a migration folder with that SQL.
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { PGlite } from '@electric-sql/pglite';
import { bindMigrationAwareSqlAdapterFactory } from '@prisma/driver-adapter-utils';
import * as engineModule from '@prisma/schema-engine-wasm/schema_engine_bg';
import { PrismaPGlite } from 'pglite-prisma-adapter';

const here = path.dirname(fileURLToPath(import.meta.url));
const migrationsDir = path.join(here, 'migrations');
const read = (file) => ({ path: path.basename(file), content: readFileSync(file, 'utf8') });

const schemaFiles = readdirSync(here)
  .filter((name) => name.endsWith('.prisma'))
  .sort()
  .map((name) => read(path.join(here, name)));
const names = existsSync(migrationsDir)
  ? readdirSync(migrationsDir)
      .filter((name) => /^\d{14}_/.test(name))
      .sort()
  : [];

// The engine replays the migrations on scratch databases that live in memory only.
const opened = [];
const scratch = async () => {
  const pg = await PGlite.create();
  opened.push(pg);
  return new PrismaPGlite(pg).connect();
};
const factory = {
  provider: 'postgres',
  adapterName: 'pglite-prisma-adapter',
  connect: scratch,
  connectToShadowDb: scratch,
};
const wasm = readFileSync(
  path.join(
    path.dirname(fileURLToPath(import.meta.resolve('@prisma/schema-engine-wasm/schema_engine_bg'))),
    'schema_engine_bg.wasm',
  ),
);
const { instance } = await WebAssembly.instantiate(wasm, {
  './schema_engine_bg.js': engineModule,
});
engineModule.__wbg_set_wasm(instance.exports);
instance.exports.__wbindgen_start();
const engine = await engineModule.SchemaEngine.new(
  { datamodels: schemaFiles.map((f) => [f.path, f.content]) },
  () => {},
  bindMigrationAwareSqlAdapterFactory(factory),
);
const result = await engine.diff({
  from: {
    tag: 'migrations',
    baseDir: migrationsDir,
    lockfile: { path: 'migration_lock.toml', content: 'provider = "postgresql"\n' },
    shadowDbInitScript: '',
    migrationDirectories: names.map((name) => ({
      path: name,
      migrationFile: {
        path: 'migration.sql',
        content: {
          tag: 'ok',
          value: readFileSync(path.join(migrationsDir, name, 'migration.sql'), 'utf8'),
        },
      },
    })),
  },
  to: { tag: 'schemaDatamodel', files: schemaFiles },
  script: true,
  exitCode: true,
  shadowDatabaseUrl: null,
  filters: { externalTables: [], externalEnums: [] },
});
for (const pg of opened) await pg.close();
const sql = (result.stdout ?? '').trim();
const empty =
  result.exitCode === 0 || sql === '' || sql.startsWith('-- This is an empty migration');
if (process.argv.includes('--write') && !empty) {
  const name = process.argv[process.argv.indexOf('--write') + 1] ?? 'change';
  const stamp = new Date().toISOString().replace(/\D/g, '').slice(0, 14);
  const dir = path.join(migrationsDir, `${stamp}_${name}`);
  mkdirSync(dir, { recursive: true });
  writeFileSync(path.join(dir, 'migration.sql'), `${sql}\n`);
  console.log(`Wrote ${path.relative(process.cwd(), dir)}`);
} else {
  console.log(empty ? 'The migrations and the schema agree.' : sql);
}
process.exit(process.argv.includes('--check') && !empty ? 1 : 0);
