import { defineConfig } from 'vitest/config';

// One flat list of projects. `api` runs against whichever database TAMIS_TEST_DATABASE names
// (embedded by default); tests/run.mjs runs it once per database it finds.
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'core',
          include: [
            'tests/core/**/*.test.ts',
            'tests/reference/**/*.test.ts',
            'tests/workers/**/*.test.ts',
          ],
          environment: 'node',
          testTimeout: 60_000,
        },
      },
      {
        test: {
          name: 'api',
          include: [
            'tests/modules/**/*.test.ts',
            'tests/http/**/*.test.ts',
            'tests/db/**/*.test.ts',
            'tests/faults/**/*.test.ts',
            'tests/security/**/*.test.ts',
            'tests/replicas/**/*.test.ts',
          ],
          environment: 'node',
          globalSetup: ['tests/helpers/database-template.ts'],
          testTimeout: 60_000,
          hookTimeout: 120_000,
        },
      },
      {
        test: {
          name: 'browser',
          include: ['tests/web/**/*.test.ts'],
          environment: 'node',
          globalSetup: ['tests/helpers/database-template.ts'],
          testTimeout: 120_000,
          hookTimeout: 180_000,
          fileParallelism: false,
        },
      },
    ],
  },
});
