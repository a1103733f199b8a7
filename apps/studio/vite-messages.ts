/**
 * Messages read at build time: the code's own become the parts that `say` puts together, and a
 * catalogue becomes one file of those parts under short keys, without the English.
 */
import { readdirSync, readFileSync } from 'node:fs';
import type { Plugin } from 'vite';
import { findMessages } from './locales/find-messages.js';
import { messageKey } from './src/platform/language/message-key.js';
import { isPattern, readOnce } from './src/platform/language/read-message.js';

const CATALOGUE = 'virtual:catalogue/';
const READER = /\/platform\/language\/read-message\.ts$/;

/** @param folder of the catalogues: a folder a language, English to that language in its files */
export function messages(folder: string): Plugin {
  let isBuild = false;
  return {
    name: 'messages',
    enforce: 'pre',
    configResolved({ command }) {
      isBuild = command === 'build';
    },
    resolveId: (id) => (id.startsWith(CATALOGUE) ? `\0${id}` : undefined),
    load(id) {
      if (!id.startsWith(`\0${CATALOGUE}`)) return undefined;
      return compiledCatalogue(`${folder}/${id.slice(CATALOGUE.length + 1)}`);
    },
    transform(code, id) {
      if (!isBuild || !/\/apps\/studio\/src\/.*\.tsx?$/.test(id)) return undefined;
      if (READER.test(id)) return 'export const readOnce = (message) => message;';
      let read = code;
      const found = [...findMessages(id, code)].sort((a, b) => b.from - a.from);
      for (const { message, from, to } of found)
        if (isPattern(message))
          read = read.slice(0, from) + JSON.stringify(readOnce(message)) + read.slice(to);
      return read === code ? undefined : { code: read, map: null };
    },
  };
}

function compiledCatalogue(folder: string): string {
  const said: Record<string, unknown> = {};
  for (const name of readdirSync(folder).filter((file) => file.endsWith('.json')))
    for (const [english, words] of Object.entries(
      JSON.parse(readFileSync(`${folder}/${name}`, 'utf8')) as Record<string, string>,
    ))
      said[messageKey(readOnce(english))] = readOnce(words);
  // JSON.parse of one string is read faster than an object of some thousand members
  return `export default JSON.parse(${JSON.stringify(JSON.stringify(said))});`;
}
