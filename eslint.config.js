import js from '@eslint/js';
import { defineConfig } from 'eslint/config';
import hooks from 'eslint-plugin-react-hooks';
import tseslint from 'typescript-eslint';

const waitsFirst = ['> AwaitExpression', '> CallExpression > AwaitExpression'].map((wait) => ({
  selector: `CallExpression[callee.object.name="Promise"] > ArrayExpression ${wait}`,
  message: 'Wait first, then make the list of promises.',
}));

const TEXTS = '/^(aria-label|aria-valuetext|alt|hint|label|legend|placeholder|sentence|title)$/';
const WORDS = '/^(?!\\s*Mullion\\s*$)[^]*[a-z]{4}/i';
const saidAloud = [
  // what a person types or runs stays as it is: kbd, code, pre
  `JSXElement:not([openingElement.name.name=/^(kbd|code|pre)$/]) > JSXText[value=${WORDS}]`,
  `JSXElement > JSXExpressionContainer > Literal[value=${WORDS}]`,
  `JSXElement > JSXExpressionContainer > :matches(ConditionalExpression, LogicalExpression) > Literal[value=${WORDS}]`,
  `JSXElement:not([openingElement.name.name=/^(kbd|code|pre)$/]) > JSXExpressionContainer > TemplateLiteral > TemplateElement[value.raw=${WORDS}]`,
  `JSXElement > JSXExpressionContainer > ConditionalExpression > TemplateLiteral > TemplateElement[value.raw=${WORDS}]`,
  `JSXAttribute[name.name=${TEXTS}] > Literal[value=${WORDS}]`,
  `JSXAttribute[name.name=${TEXTS}] > JSXExpressionContainer > Literal[value=${WORDS}]`,
  `JSXAttribute[name.name=${TEXTS}] > JSXExpressionContainer > TemplateLiteral > TemplateElement[value.raw=${WORDS}]`,
  `JSXAttribute[name.name=${TEXTS}] > JSXExpressionContainer > ConditionalExpression > :matches(Literal[value=${WORDS}], TemplateLiteral > TemplateElement[value.raw=${WORDS}])`,
  `CallExpression[callee.name=/^(setWhy|setSaid|setTold|alert)$/] > Literal[value=${WORDS}]`,
].map((selector) => ({
  selector,
  message: 'Words on a screen go through say() or rich(), so that a catalogue can have them.',
}));

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
      'no-restricted-syntax': ['error', ...waitsFirst],
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
    // the other half is apps/studio/locales/catalogues.test.ts: what is said has its German
    files: ['apps/studio/src/**/*.tsx'],
    ignores: ['**/*.test.tsx'],
    rules: { 'no-restricted-syntax': ['error', ...waitsFirst, ...saidAloud] },
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
