import js from '@eslint/js';
import { defineConfig } from 'eslint/config';
import hooks from 'eslint-plugin-react-hooks';
import tseslint from 'typescript-eslint';

export default defineConfig(
  {
    ignores: [
      'dist/**',
      'prisma/client/**',
      'libs/api-client/src/schema.ts',
      'coverage/**',
      'libs/rubbing/kernels/**',
    ],
  },
  js.configs.recommended,
  tseslint.configs.strictTypeChecked,
  {
    languageOptions: {
      parserOptions: { projectService: true, tsconfigRootDir: import.meta.dirname },
    },
    rules: {
      // Nest modules are classes without members.
      '@typescript-eslint/no-extraneous-class': ['error', { allowWithDecorator: true }],
      // noUncheckedIndexedAccess makes `!` the honest spelling in typed-array loops.
      '@typescript-eslint/no-non-null-assertion': 'off',
      // DTO classes describe shapes; controllers return object literals of that shape.
      '@typescript-eslint/no-unsafe-class-instance-assignment': 'off',
      // what a base class is given for those that extend it
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_' }],
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      // One that is begun and fails while the list still waits ends the process: nobody listens yet.
      'no-restricted-syntax': [
        'error',
        ...['> AwaitExpression', '> CallExpression > AwaitExpression'].map((wait) => ({
          selector: `CallExpression[callee.object.name="Promise"] > ArrayExpression ${wait}`,
          message: 'Wait first, then make the list of promises.',
        })),
      ],
    },
  },
  {
    // Pure libs: same answer for the same input, in Node and in the browser.
    files: ['libs/*/src/**/*.ts'],
    ignores: [
      'libs/{db,objects,archive,dossier,print,imaging,timestamp,tls,api-client}/**',
      '**/*.test.ts',
    ],
    rules: {
      'no-restricted-globals': [
        'error',
        'process',
        'Buffer',
        'console',
        'fetch',
        'setTimeout',
        'performance',
        'crypto',
      ],
      'no-restricted-properties': [
        'error',
        { object: 'Math', property: 'random', message: 'take a seeded generator as a parameter' },
        { object: 'Date', property: 'now', message: 'take the time as a parameter' },
      ],
    },
  },
  {
    files: ['apps/studio/**/*.tsx'],
    plugins: { 'react-hooks': hooks },
    rules: hooks.configs.recommended.rules,
  },
  {
    files: ['**/*.js', '**/*.cjs', '**/*.mjs'],
    extends: [tseslint.configs.disableTypeChecked],
    languageOptions: {
      globals: Object.fromEntries(
        [
          'Buffer',
          'URL',
          'clearTimeout',
          'console',
          'fetch',
          'globalThis',
          'performance',
          'process',
          'setInterval',
          'setTimeout',
        ].map((name) => [name, 'readonly']),
      ),
    },
  },
  { files: ['**/*.cjs'], languageOptions: { globals: { module: 'writable' } } },
);
