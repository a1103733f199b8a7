import { type ParseArgsConfig, parseArgs } from 'node:util';
import { UsageError } from './refusal.js';

type Options = NonNullable<ParseArgsConfig['options']>;

/** Command-line words by option and position. @throws UsageError for unknown options and a wrong count */
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
  if (parsed.positionals.length !== positions.length) {
    const wanted = positions.join(' ');
    const came = parsed.positionals.length === 0 ? 'nothing' : parsed.positionals.join(' ');
    throw new UsageError(`Expected ${wanted}, got ${came}.`);
  }
  return { values: parsed.values, positionals: parsed.positionals };
}
