// Compiles libs/rubbing/kernels/conv.ts (AssemblyScript) and writes it as base64 into a TypeScript file, so
// that the pure library needs no file access. `--check` compares instead of writing.
import { readFile, writeFile } from 'node:fs/promises';
import asc from 'assemblyscript/asc';

const root = new URL('..', import.meta.url);
const target = new URL('libs/rubbing/src/wax-kernel.wasm.ts', root);
const { error, stderr, binary } = await compile();
if (error) throw new Error(stderr.toString());
const text = `/** Compiled from libs/rubbing/kernels/conv.ts by tools/build-kernels.mjs; do not edit. */
export const WAX_KERNEL_BASE64 =
  '${Buffer.from(binary).toString('base64')}';
`;
if (process.argv.includes('--check')) {
  if ((await readFile(target, 'utf8')) !== text) {
    throw new Error(
      'libs/rubbing/src/wax-kernel.wasm.ts is not what its source compiles to: run node tools/build-kernels.mjs',
    );
  }
} else {
  await writeFile(target, text);
}

async function compile() {
  const out = {};
  const result = await asc.main(
    [
      'conv.ts',
      '--outFile',
      'conv.wasm',
      '--optimize',
      '--converge',
      '--runtime',
      'stub',
      '--enable',
      'simd,bulk-memory',
      '--importMemory',
      '--noExportMemory',
      '--noAssert',
    ],
    {
      readFile: async (name) =>
        name === 'conv.ts'
          ? await readFile(new URL('libs/rubbing/kernels/conv.ts', root), 'utf8')
          : null,
      writeFile: (_name, contents) => {
        out.binary = contents;
      },
      listFiles: () => [],
    },
  );
  return { ...result, binary: out.binary };
}
