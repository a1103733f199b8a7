// Server, worker, command line and libs from TypeScript to dist/. Types are checked apart (npm run
// typecheck): stripping them takes two seconds where checking takes the better part of a minute.
import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { dirname, join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { transform } from '@swc/core';
import { stripTypes } from './strip-types.mjs';

const root = fileURLToPath(new URL('..', import.meta.url));
const FOLDERS = ['apps/server', 'apps/worker', 'apps/cli', 'libs', 'prisma/client'];
const isSource = (path) => /\.ts$/.test(path) && !/\.(test|d)\.ts$/.test(path);
const isKernel = (path) => path.startsWith(join('libs', 'rubbing', 'kernels') + sep);

async function sources(folder) {
  const entries = await readdir(join(root, folder), { recursive: true, withFileTypes: true });
  return entries
    .filter((entry) => entry.isFile() && isSource(entry.name))
    .map((entry) => relative(root, join(entry.parentPath, entry.name)))
    .filter((path) => !isKernel(path));
}

async function build(path) {
  const filename = join(root, path);
  const target = join(root, 'dist', path.replace(/\.ts$/, '.js'));
  const source = await readFile(filename, 'utf8');
  const { code, map } = await transform(source, {
    ...stripTypes,
    filename,
    sourceFileName: relative(dirname(target), filename),
    sourceMaps: true,
  });
  await mkdir(dirname(target), { recursive: true });
  const name = target.split(sep).at(-1);
  await Promise.all([
    writeFile(target, `${code}//# sourceMappingURL=${name}.map\n`),
    writeFile(`${target}.map`, map),
  ]);
}

const paths = (await Promise.all(FOLDERS.map(sources))).flat();
await Promise.all(paths.map(build));
