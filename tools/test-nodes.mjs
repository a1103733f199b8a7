// npm run test:nodes: unit and API suites on Node 22 as well. That Node comes from npm too.
import { spawnSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { root, say, stop } from './bootstrap.mjs';

for (const major of [22]) {
  const node = provide(major);
  say(`Node ${spawnSync(node, ['--version'], { encoding: 'utf8' }).stdout.trim()}`);
  const { status } = spawnSync(
    node,
    [join(root, 'tools', 'test.mjs'), '--suites', 'unit,api', ...process.argv.slice(2)],
    {
      cwd: root,
      stdio: 'inherit',
      env: { ...process.env, PATH: `${dirname(node)}:${process.env.PATH}` },
    },
  );
  if (status !== 0) process.exit(status ?? 1);
}

/** Installs node@major beside our packages, not among them. */
function provide(major) {
  const folder = join(root, 'node_modules', '.cache', `node-${major}`);
  mkdirSync(folder, { recursive: true });
  const manifest = {
    private: true,
    dependencies: { node: `^${major}.18.0` },
    allowScripts: { node: true },
  };
  writeFileSync(join(folder, 'package.json'), JSON.stringify(manifest));
  const npm = process.env.npm_execpath;
  const [command, ...before] = npm ? [process.execPath, npm] : ['npm'];
  const { status } = spawnSync(
    command,
    [...before, 'install', '--prefix', folder, '--loglevel=error'],
    {
      cwd: folder,
      stdio: 'inherit',
    },
  );
  if (status !== 0) stop(`Node ${major} could not be installed; npm says why above.`);
  return join(folder, 'node_modules', 'node', 'bin', 'node');
}
