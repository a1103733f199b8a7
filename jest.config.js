// The transform needs no tsconfig: swc strips types, tsc checks them (npm run typecheck).
const swcEsm = {
  jsc: {
    parser: { syntax: 'typescript', tsx: true, decorators: true },
    transform: {
      legacyDecorator: true,
      decoratorMetadata: true,
      react: { runtime: 'automatic' },
    },
    target: 'es2023',
    keepClassNames: true,
  },
  module: { type: 'es6' },
  sourceMaps: 'inline',
};
const swcCjs = {
  jsc: { parser: { syntax: 'ecmascript' }, target: 'es2022' },
  module: { type: 'commonjs' },
};

const shared = {
  testEnvironment: 'node',
  extensionsToTreatAsEsm: ['.ts', '.tsx'],
  transform: {
    '^.+\\.tsx?$': ['@swc/jest', swcEsm],
    // light-my-request (Fastify's inject) require()s cookie 2, which is ESM only, and Jest can
    // require(esm) from Node 24.9 on; drop both lines when Node 22 is no longer served.
    '/node_modules/cookie/.+\\.js$': ['@swc/jest', swcCjs],
  },
  transformIgnorePatterns: ['/node_modules/(?!cookie/)'],
  moduleNameMapper: {
    '^#libs/([^/]+)$': '<rootDir>/libs/$1/src/index.ts',
    '^(\\.{1,2}/.*)\\.js$': '$1',
  },
};

/** Folders whose tests need PostgreSQL: only these wait for the set-up that starts it. */
const withDatabase = [
  'libs/db',
  'libs/archive',
  'apps/server',
  'apps/worker',
  'test/api',
  'test/faults',
];
const inDatabaseFolders = withDatabase.map((folder) => `<rootDir>/${folder}/`);

export default {
  maxWorkers: 2,
  // a test that hangs is found; one on a slow or busy machine is not called broken
  testTimeout: 30_000,
  coverageProvider: 'v8',
  collectCoverageFrom: ['apps/**/*.{ts,tsx}', 'libs/**/*.ts', '!**/*.test.{ts,tsx}'],
  projects: [
    {
      ...shared,
      displayName: 'unit',
      roots: ['<rootDir>/apps', '<rootDir>/libs', '<rootDir>/test'],
      testMatch: ['**/*.test.ts', '**/*.test.tsx'],
      testPathIgnorePatterns: ['/node_modules/', '<rootDir>/test/e2e/', ...inDatabaseFolders],
    },
    {
      ...shared,
      displayName: 'api',
      testMatch: inDatabaseFolders.map((folder) => `${folder}**/*.test.ts`),
      globalSetup: '<rootDir>/test/support/global-setup.mjs',
      globalTeardown: '<rootDir>/test/support/global-teardown.mjs',
    },
    {
      ...shared,
      displayName: 'browser',
      testMatch: ['<rootDir>/test/e2e/**/*.test.ts'],
    },
  ],
};
