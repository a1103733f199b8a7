// A lib is pure unless it is named here.
const ADAPTERS = 'db|objects|archive|dossier|print|imaging|timestamp|tls|api-client';
const PURE = `^libs/(?!(${ADAPTERS})/)`;
const notTests = '\\.test\\.tsx?$';

module.exports = {
  forbidden: [
    { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true } },
    {
      name: 'not-to-unresolvable',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true, pathNot: '^virtual:' },
    },
    {
      name: 'pure-libs-no-io',
      comment: 'a pure lib runs unchanged in a browser worker: no Node modules',
      severity: 'error',
      from: { path: PURE, pathNot: notTests },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'pure-libs-only-listed-packages',
      comment: 'each package here is itself pure; add one with a reason in the commit',
      severity: 'error',
      from: { path: PURE, pathNot: notTests },
      to: {
        path: 'node_modules/',
        pathNot:
          'node_modules/(robust-predicates|flatbush|clipper2-ts|fft\\.js|decimal\\.js|saxes|svgpath|@noble/[^/]+|zod)/',
      },
    },
    {
      name: 'pure-libs-import-pure-libs',
      severity: 'error',
      from: { path: PURE },
      to: { path: `^(apps|prisma|test|libs/(${ADAPTERS})/)` },
    },
    {
      name: 'libs-not-to-apps',
      severity: 'error',
      from: { path: '^libs/' },
      to: { path: '^(apps|test)/' },
    },
    {
      name: 'libs-by-their-front-door',
      severity: 'error',
      from: { path: '^(?:libs|apps)/([^/]+)/' },
      to: { path: '^libs/[^/]+/src/', pathNot: ['^libs/$1/', '^libs/[^/]+/src/index\\.ts$'] },
    },
    {
      name: 'only-db-knows-prisma',
      severity: 'error',
      from: { pathNot: '^(libs/db|prisma)/|^prisma\\.config\\.ts$' },
      to: { path: '^prisma/|node_modules/(@prisma|prisma|pg)/' },
    },
    {
      name: 'apps-apart',
      severity: 'error',
      from: { path: '^apps/([^/]+)/' },
      to: { path: '^apps/', pathNot: '^apps/$1/' },
    },
    {
      name: 'studio-no-server-code',
      severity: 'error',
      from: { path: '^apps/studio/src' },
      to: { path: '^libs/(db|objects)/|node_modules/(@nestjs|pg-boss|sharp)/' },
    },
    {
      name: 'features-apart',
      comment: 'features meet through an exported service, not a controller, dto or store',
      severity: 'error',
      from: { path: '^apps/server/src/([^/]+)/' },
      to: {
        path: '^apps/server/src/[^/]+/.+\\.(controller|dto|store)\\.ts$',
        pathNot: '^apps/server/src/$1/',
      },
    },
  ],
  options: {
    doNotFollow: { path: ['node_modules', '^prisma/client/'] },
    exclude: { path: '^dist/' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.depcruise.json' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'require', 'node', 'default'],
      extensions: ['.ts', '.tsx', '.js', '.json'],
    },
  },
};
