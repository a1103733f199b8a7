/**
 * The language of this page. It is chosen once, before any screen's module is loaded, so that words
 * in tables and constants are right too; another choice opens the page anew.
 */
import type { ReadMessage } from './read-message.js';

export type Language = 'en' | 'de';
export const LANGUAGES: readonly (readonly [Language, string])[] = [
  ['en', 'English'],
  ['de', 'Deutsch'],
];

export type Catalogue = Readonly<Record<string, ReadMessage>>;

let spoken: Language = 'en';
let words: Catalogue | null = null;

export const language = (): Language => spoken;
export const catalogue = (): Catalogue | null => words;

/** @param of null: the words of the code itself, which are English */
export function speak(next: Language, of: Catalogue | null): void {
  spoken = next;
  words = of;
}

/** The language as dates are written in it. */
export const dateLocale = (): string => (spoken === 'de' ? 'de-DE' : 'en-GB');

/** '.' or ',' between whole and fraction, as the chosen language writes it. */
export const decimalMark = (): string => (spoken === 'de' ? ',' : '.');
