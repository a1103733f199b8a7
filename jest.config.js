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

export default {
  testEnvironment: 'node',
  roots: ['<rootDir>/apps', '<rootDir>/libs', '<rootDir>/test'],
  testMatch: ['**/*.test.ts', '**/*.test.tsx'],
  extensionsToTreatAsEsm: ['.ts', '.tsx'],
  transform: {
    '^.+\\.tsx?$': ['@swc/jest', swcEsm],
    // light-my-request (Fastify's inject) require()s cookie 2, which is ESM only, and Jest can
    // require(esm) from Node 24.9 on; drop both lines when Node is that new.
    '/node_modules/cookie/.+\\.js$': ['@swc/jest', swcCjs],
  },
  transformIgnorePatterns: ['/node_modules/(?!cookie/)'],
  moduleNameMapper: {
    '^#libs/([^/]+)$': '<rootDir>/libs/$1/src/index.ts',
    '^(\\.{1,2}/.*)\\.js$': '$1',
  },
  coverageProvider: 'v8',
  collectCoverageFrom: ['apps/**/*.{ts,tsx}', 'libs/**/*.ts', '!**/*.test.{ts,tsx}'],
};
