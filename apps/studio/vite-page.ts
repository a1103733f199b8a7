/** The page names at once what it will need: what only code asks for would be asked for a turn later. */
import type { HtmlTagDescriptor, Plugin } from 'vite';

/**
 * @param screens name of the file with the first screens
 * @param later names of files that the first screen asks for, but does not wait for
 */
export function namedParts({
  screens,
  later,
}: {
  readonly screens: string;
  readonly later: readonly string[];
}): Plugin {
  return {
    name: 'named-parts',
    apply: 'build',
    transformIndexHtml: {
      order: 'post',
      handler: (page, { bundle }) => {
        const chunks = Object.values(bundle ?? {}).filter((part) => part.type === 'chunk');
        const named = (name: string) => {
          // a part that others share stands in a file of its own, beside the one that is asked for
          const these = chunks.filter((chunk) => chunk.name === name);
          if (these.length === 0) throw new Error(`the build has no part ${name}`);
          return these;
        };
        const code = (fileName: string, more: Record<string, string> = {}) =>
          tag('link', { rel: 'modulepreload', crossorigin: true, href: `/${fileName}`, ...more });
        return [
          ...[...new Set(named(screens).flatMap(({ fileName, imports }) => [fileName, ...imports]))]
            .filter((fileName) => !page.includes(fileName))
            .map((fileName) => code(fileName)),
          ...later.flatMap(named).map(({ fileName }) => code(fileName, { fetchpriority: 'low' })),
        ];
      },
    },
  };
}

const tag = (name: string, attrs: NonNullable<HtmlTagDescriptor['attrs']>): HtmlTagDescriptor => ({
  tag: name,
  attrs,
  injectTo: 'head',
});
