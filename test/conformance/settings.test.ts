/** README's table of settings: each variable that the program reads, and nothing else. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from '@jest/globals';
import { CONFIG_VARIABLES, readConfig } from '#libs/archive';

const root = new URL('../../', import.meta.url).pathname;

interface Row {
  readonly names: readonly string[];
  readonly otherwise: string;
}

const readme = readFileSync(join(root, 'README.md'), 'utf8');
const table = /\n## Settings\n([\s\S]*?)\n## /.exec(readme)![1]!;
const rows: Row[] = table
  .split('\n')
  .filter((line) => line.startsWith('| `'))
  .map((line) => {
    const [, settings, , otherwise] = line.split('|').map((cell) => cell.trim());
    return {
      names: [...settings!.matchAll(/`([A-Z0-9_]+)`/g)].map(([, name]) => name!),
      otherwise: otherwise!,
    };
  });
const documented = rows.flatMap(({ names }) => names);

/** Read by tests and by the development server alone. */
const NOT_SETTINGS = ['MULLION_TEST_SERVER', 'MULLION_URL'];

/** Variables that sources name where they read the environment. */
function variablesRead(): Set<string> {
  const found = new Set<string>();
  for (const folder of ['apps', 'libs', 'tools']) {
    for (const file of readdirSync(join(root, folder), { recursive: true, withFileTypes: true })) {
      if (!file.isFile() || !/\.(ts|tsx|mjs)$/.test(file.name) || /\.test\.tsx?$/.test(file.name))
        continue;
      const text = readFileSync(join(file.parentPath, file.name), 'utf8');
      for (const [name] of text.matchAll(
        /(?<=['".])MULLION_[A-Z0-9_]+(?=['"\]\s;,)]|$)|(?<=\n\s+)MULLION_[A-Z0-9_]+(?=:)/g,
      )) {
        found.add(name);
      }
    }
  }
  return found;
}

describe('the settings in the README', () => {
  it('are all that the configuration knows, each once', () => {
    expect(CONFIG_VARIABLES.filter((name) => !documented.includes(name))).toEqual([]);
    expect(documented.filter((name, i) => documented.indexOf(name) !== i)).toEqual([]);
  });

  it('are all that any source reads, and no more', () => {
    const read = variablesRead();
    expect(read.size).toBeGreaterThan(CONFIG_VARIABLES.length);
    const wanted = [...read].filter((name) => !NOT_SETTINGS.includes(name));
    expect(wanted.filter((name) => !documented.includes(name))).toEqual([]);
    expect(documented.filter((name) => !read.has(name) && name !== 'DATABASE_URL')).toEqual([]);
  });

  it('are without a value what the table says, where that is a figure', () => {
    const least = { DATABASE_URL: 'postgres://x' };
    const figures = rows.filter(({ otherwise }) => /^\d[\d.]*(,|$)/.test(otherwise));
    expect(figures.length).toBeGreaterThan(8);
    for (const { names, otherwise } of figures) {
      const given = Object.fromEntries(names.map((name) => [name, otherwise.split(',')[0]!]));
      expect({ given, config: readConfig({ ...least, ...witnessed, ...given }) }).toEqual({
        given,
        config: readConfig({ ...least, ...witnessed }),
      });
    }
  });
});

/** With a place to go to, so that how often shows in the configuration. */
const witnessed = { MULLION_BACKUP_TO: '/mnt/second' };
