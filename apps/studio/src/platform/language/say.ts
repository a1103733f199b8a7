/** Every word on a screen goes through here: English in the code, another language from its catalogue. */
import format from 'icu-minify/format';
import { sayCount } from '../say-number.js';
import { messageKey } from './message-key.js';
import { type ReadMessage, readOnce } from './read-message.js';
import { catalogue, language } from './tongue.js';

export type Values = Readonly<Record<string, string | number>>;

const formatters = {
  getDateTimeFormat: (...how: ConstructorParameters<typeof Intl.DateTimeFormat>) =>
    new Intl.DateTimeFormat(...how),
  // `#` is written like every other number on the screens
  getNumberFormat: () => ({ format: sayCount }) as unknown as Intl.NumberFormat,
  getPluralRules: () => ({ select: pluralOf }) as unknown as Intl.PluralRules,
};

/**
 * Which of its plurals a number takes. English and German have one rule, 'one' for 1 and 'other' (CLDR,
 * cardinal); the browser's own rules for it take twenty milliseconds to come to life.
 */
export const pluralOf = (count: number): 'one' | 'other' => (count === 1 ? 'one' : 'other');

/** Messages are few and said often: each is read and looked up once. */
const found = new Map<unknown, ReadMessage>();

export function lookUp(message: string | ReadMessage): ReadMessage {
  const known = found.get(message);
  if (known !== undefined) return known;
  const read = typeof message === 'string' ? readOnce(message) : message;
  const said = catalogue()?.[messageKey(read)] ?? read;
  found.set(message, said);
  return said;
}

export const formatted = (
  message: string | ReadMessage,
  values: Readonly<Record<string, unknown>>,
) => format(lookUp(message), language(), values as Record<string, string>, { formatters });

/**
 * A sentence in the chosen language.
 * @param message ICU MessageFormat in English, written out where it is said: the catalogues are
 *   gathered from the code, and what is put together at run time would be in none of them
 */
export function say(message: string | ReadMessage, values: Values = {}): string {
  const said = formatted(message, values);
  return typeof said === 'string' ? said : ([said].flat() as unknown[]).join('');
}

/**
 * A word that comes from a table or from the archive, in the chosen language where a catalogue has
 * it (`locales/words.ts` names the tables); else as it came.
 * @param of where the word has a sense of its own, as 'urgency' in the catalogue's 'urgency: now'
 */
export const sayWord = (word: string, of?: string): string => {
  const words = catalogue();
  const said =
    (of === undefined ? undefined : words?.[messageKey(`${of}: ${word}`)]) ??
    words?.[messageKey(word)];
  return typeof said === 'string' ? said : word;
};
