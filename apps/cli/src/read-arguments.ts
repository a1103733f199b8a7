import { type ParseArgsConfig, parseArgs } from 'node:util';
import { UsageError } from './refusal.js';

type Options = NonNullable<ParseArgsConfig['options']>;

/**
 * Command-line words by option and position.
 * @param positions their names; a last one that ends in `...` stands for one or more
 * @throws UsageError for unknown options and a wrong count
 */
export function readArguments<O extends Options>(
  args: readonly string[],
  options: O,
  positions: readonly string[],
) {
  let parsed;
  try {
    parsed = parseArgs({ args: [...args], options, allowPositionals: true, strict: true });
  } catch (cause) {
    throw new UsageError(cause instanceof Error ? cause.message : String(cause));
  }
  const isOpen = positions.at(-1)?.endsWith('...') === true;
  const came = parsed.positionals.length;
  if (isOpen ? came < positions.length : came !== positions.length) {
    const wanted = positions.join(' ');
    const got = came === 0 ? 'nothing' : parsed.positionals.join(' ');
    throw new UsageError(`Expected ${wanted}, got ${got}.`);
  }
  return { values: parsed.values, positionals: parsed.positionals };
}
