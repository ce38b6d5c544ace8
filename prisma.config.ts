import { defineConfig } from 'prisma/config';

// Migrations are applied by our own runner (api/persistence/migrate.ts); Prisma only generates.
export default defineConfig({
  schema: 'prisma',
  migrations: { path: 'prisma/migrations' },
});
