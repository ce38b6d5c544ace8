/** Borders of the project. Each rule says why it exists and what to do instead. */
const coreNpm = '(decimal[.]js|luxon|highs|csv-stringify|fflate)';

module.exports = {
  forbidden: [
    {
      name: 'core-is-pure',
      comment:
        'The calculation core has no I/O: pass data in, return data. Only the listed libraries may be imported: maths, dates and two that turn data into text or bytes.',
      severity: 'error',
      from: { path: '^api/core' },
      to: { pathNot: ['^api/core', `node_modules/(@types/)?${coreNpm}/`] },
    },
    {
      name: 'core-face-only',
      comment:
        'Outside the core, import a concept through its index.ts so that its inside stays free to change.',
      severity: 'error',
      from: { pathNot: ['^api/core', '^tests/(core|reference|bench)'] },
      to: { path: '^api/core/[^/]+/(?!index[.]ts$)', pathNot: '^api/core/shared/' },
    },
    {
      name: 'service-no-http',
      comment: 'A service is a use case: it knows ports and the core, not HTTP, zod or Prisma.',
      severity: 'error',
      from: { path: '[.](service|ports)[.]ts$' },
      to: {
        path: [
          'node_modules/(fastify|zod)',
          '^api/http',
          '^api/persistence',
          '[.](routes|schema)[.]ts$',
        ],
      },
    },
    {
      name: 'routes-are-thin',
      comment:
        'Routes parse, call one service method and map the result. Data access is behind the service.',
      severity: 'error',
      from: { path: '[.]routes[.]ts$' },
      to: { path: ['^api/persistence', 'node_modules/@prisma'] },
    },
    {
      name: 'modules-by-face',
      comment: 'Use another module through its index.ts only.',
      severity: 'error',
      from: { path: '^api/modules/([^/]+)/' },
      to: { path: '^api/modules/[^/]+/(?!index[.]ts$)', pathNot: '^api/modules/$1/' },
    },
    {
      name: 'prisma-in-one-place',
      comment:
        'Only persistence (and test helpers for the database) may touch Prisma and its adapters.',
      severity: 'error',
      from: { pathNot: ['^api/persistence', '^seed', '^tests/(db|helpers|bench)'] },
      to: { path: ['^api/persistence/generated', 'node_modules/@prisma/client'] },
    },
    {
      name: 'only-server-composes',
      comment:
        'app.ts takes its repositories as arguments, so tests and the OpenAPI export need no database.',
      severity: 'error',
      from: {
        pathNot: ['^api/(server|start-server|compose)[.]ts$', '^api/persistence', '^(seed|tests)'],
      },
      to: { path: '^api/persistence' },
    },
    {
      name: 'persistence-implements',
      comment: 'Repositories implement ports; they know nothing of HTTP or use cases.',
      severity: 'error',
      from: { path: '^api/persistence' },
      to: { path: ['^api/http', '[.](service|routes)[.]ts$'] },
    },
    {
      name: 'web-by-contract',
      comment: 'The page talks to the API by its OpenAPI contract, never by import.',
      severity: 'error',
      from: { path: '^web' },
      to: { path: '^(api|prisma|seed)/' },
    },
    {
      name: 'openapi-export-needs-app-only',
      comment: 'The OpenAPI document comes from the application factory alone.',
      severity: 'error',
      from: { path: '^openapi' },
      to: { path: '^api/', pathNot: '^api/(app|config)[.]ts$' },
    },
    {
      name: 'no-test-in-product',
      comment: 'Product code never imports tests.',
      severity: 'error',
      from: { path: '^(api|web|seed|openapi)' },
      to: { path: '^tests' },
    },
    { name: 'no-circular', severity: 'error', from: {}, to: { circular: true } },
    { name: 'not-to-unresolvable', severity: 'error', from: {}, to: { couldNotResolve: true } },
  ],
  options: {
    doNotFollow: { path: ['node_modules', 'api/persistence/generated'] },
    exclude: { path: ['web/dist', 'tests/output'] },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'node', 'default'],
      extensions: ['.ts', '.js', '.mjs', '.cjs', '.svelte', '.json'],
    },
  },
};
