/**
 * The only place that reads ICU MessageFormat. A build reads every message beforehand
 * (`vite-messages.ts`) and leaves this out; tests and the development server read as they go.
 */
import readMessage from 'icu-minify/compile';

/** A message as the build leaves it: plain words, or parts between values, plurals and marked words. */
export type ReadMessage = ReturnType<typeof readMessage>;

/** Whether there is anything to read; what has no value, choice or marked words is said as it stands. */
export const isPattern = (message: string): boolean => /[{}]|<\/?[a-z]/.test(message);

/** @throws SyntaxError when the message is not ICU MessageFormat */
export const readOnce = (message: string): ReadMessage =>
  isPattern(message) ? readMessage(message) : message;
