/**
 * Which modules travel in one file. What is needed at one time comes together: on a slow line every
 * file costs a turn there and back, whatever its size.
 */
import type { Plugin, Rolldown } from 'vite';

/** A file: everything that its root imports, and no file before it holds. */
export interface Part {
  readonly name: string;
  /** how the root module's path ends */
  readonly root: string;
}

/** A lib's door names what all of its modules give: of those only what is asked for comes along. */
const DOOR = /\/libs\/([^/]+)\/src\/index\.ts$/;

/**
 * @param parts in the order in which they are needed
 * @param alone roots whose modules are left where they are: programs of their own
 */
export function travelParts(
  parts: readonly Part[],
  alone: readonly string[],
): { readonly plugin: Plugin; readonly groups: Rolldown.CodeSplittingGroup[] } {
  const partOf = new Map<string, string>();
  const [first = '', second = ''] = parts.map(({ name }) => name);
  return {
    plugin: {
      name: 'travel-parts',
      apply: 'build',
      buildEnd(error) {
        if (error) return;
        partOf.clear();
        const ids = [...this.getModuleIds()];
        const importsOf = (id: string) => imports(id, (of) => this.getModuleInfo(of));
        const take = (root: string, name: string) => {
          const begin = ids.find((id) => id.endsWith(root));
          if (begin === undefined) throw new Error(`no module ends in ${root}`);
          const waiting = [begin];
          for (let id = waiting.pop(); id !== undefined; id = waiting.pop()) {
            if (partOf.has(id)) continue;
            // the first screen's styles are one file as well
            partOf.set(id, name === second && id.endsWith('.css') ? first : name);
            waiting.push(...importsOf(id));
          }
        };
        for (const root of alone) take(root, '');
        for (const { root, name } of parts) take(root, name);
      },
    },
    groups: parts.map(({ name }) => ({
      name,
      test: (id) => partOf.get(id) === name,
      includeDependenciesRecursively: false,
    })),
  };
}

type Info = Pick<Rolldown.ModuleInfo, 'code' | 'exports' | 'importedIds'> | null;

/** What a module imports, past the doors of libs to the modules that give the names. */
function imports(id: string, infoOf: (id: string) => Info): readonly string[] {
  const info = infoOf(id);
  if (info === null) return [];
  return info.importedIds.flatMap((one) => {
    const lib = DOOR.exec(one)?.[1];
    if (lib === undefined) return [one];
    const from = new RegExp(`import\\s*\\{([^}]*)\\}\\s*from\\s*["']#libs/${lib}["']`, 'g');
    const asked = new Set(
      [...(info.code ?? '').matchAll(from)].flatMap(([, list]) =>
        list!.split(',').map((name) => name.trim().split(/\s+as\s+/)[0]!),
      ),
    );
    return (infoOf(one)?.importedIds ?? []).filter((behind) =>
      infoOf(behind)?.exports.some((name) => asked.has(name)),
    );
  });
}
