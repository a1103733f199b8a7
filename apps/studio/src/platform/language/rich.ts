import { createElement, Fragment, type ReactNode } from 'react';
import type { ReadMessage } from './read-message.js';
import { formatted } from './say.js';

export type RichValues = Readonly<Record<string, ReactNode | ((words: ReactNode) => ReactNode)>>;

/** Stands for an element while the sentence is put together; no text on a screen holds it. */
const STAND_IN = '\u{f0000}';

/**
 * A sentence with parts of the screen in it: `{x}` stands for a value or an element, `<b>words</b>`
 * goes through the function `b`.
 */
export function rich(message: string | ReadMessage, values: RichValues): ReactNode {
  const given = Object.fromEntries(
    Object.entries(values).map(([name, value]) => [name, givenFor(name, value, values)]),
  );
  return sideBySide([formatted(message, given)].flat() as ReactNode[], values);
}

function givenFor(name: string, value: RichValues[string], values: RichValues): unknown {
  if (typeof value === 'string' || typeof value === 'number') return value;
  if (typeof value === 'function')
    return (words: readonly ReactNode[]) => value(sideBySide(words, values));
  return STAND_IN + name + STAND_IN;
}

/** Parts side by side need no keys as children of a fragment. */
function sideBySide(parts: readonly ReactNode[], values: RichValues): ReactNode {
  const placed = parts.flatMap((part) =>
    typeof part === 'string' && part.includes(STAND_IN)
      ? part
          .split(STAND_IN)
          .map((piece, at) => (at % 2 === 0 ? piece : (values[piece] as ReactNode)))
      : [part],
  );
  return createElement(Fragment, null, ...placed);
}
