/** How swc turns our TypeScript into what Node runs: the build and `test/run-source.mjs` do the same. */
export const stripTypes = {
  swcrc: false,
  configFile: false,
  module: { type: 'es6' },
  jsc: {
    parser: { syntax: 'typescript', decorators: true },
    transform: { legacyDecorator: true, decoratorMetadata: true, verbatimModuleSyntax: true },
    target: 'es2023',
    keepClassNames: true,
  },
};
