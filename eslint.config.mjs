import js from '@eslint/js';
import prettier from 'eslint-config-prettier';
import svelte from 'eslint-plugin-svelte';
import globals from 'globals';
import ts from 'typescript-eslint';

export default ts.config(
  {
    ignores: [
      'node_modules/**',
      'web/dist/**',
      'api/persistence/generated/**',
      'tests/output/**',
      '.data/**',
    ],
  },
  js.configs.recommended,
  ...ts.configs.recommended,
  ...svelte.configs.recommended,
  prettier,
  { languageOptions: { globals: { ...globals.node } } },
  {
    rules: {
      '@typescript-eslint/no-unused-vars': [
        'error',
        { argsIgnorePattern: '^_', ignoreRestSiblings: true },
      ],
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
      eqeqeq: ['error', 'always'],
    },
  },
  {
    files: ['**/*.cjs'],
    languageOptions: { globals: { ...globals.node }, sourceType: 'commonjs' },
  },
  {
    files: ['web/**/*.svelte', 'web/**/*.svelte.ts'],
    languageOptions: { globals: { ...globals.browser }, parserOptions: { parser: ts.parser } },
  },
  { files: ['web/**/*.ts', 'web/**/*.js'], languageOptions: { globals: { ...globals.browser } } },
  {
    // Imports cannot show a hidden clock or dice: the core takes both as arguments.
    files: ['api/core/**/*.ts'],
    rules: {
      'no-restricted-globals': ['error', 'process', 'console', 'fetch', 'setTimeout'],
      'no-restricted-properties': [
        'error',
        { object: 'Date', property: 'now', message: 'Take the instant as an argument.' },
        { object: 'Math', property: 'random', message: 'Take the generator as an argument.' },
        { object: 'DateTime', property: 'now', message: 'Take the instant as an argument.' },
        {
          object: 'DateTime',
          property: 'local',
          message: 'Take the zone and instant as arguments.',
        },
      ],
      'no-restricted-syntax': [
        'error',
        {
          selector: "NewExpression[callee.name='Date'][arguments.length=0]",
          message: 'Take the instant as an argument.',
        },
      ],
      'max-lines': ['error', { max: 400 }],
    },
  },
);
