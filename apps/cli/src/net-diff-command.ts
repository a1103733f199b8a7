import { diffNets, type Net, NetError, readNet } from '#libs/net';
import type { Command, Output } from './command.js';
import { EXIT } from './exit-codes.js';
import { readArguments } from './read-arguments.js';
import { readJson } from './read-json.js';
import { Refusal, UsageError } from './refusal.js';

const HELP = `mullion net diff BEFORE.json AFTER.json [--tolerance MM]

Compares two drawings of one panel, lead by lead, in the panel's frame: leads moved by more than the
tolerance (default 1 mm: common practice, no source), added, removed, changed in face width; pieces
added and gone. Nothing is aligned first.

exit 0  no difference beyond the tolerance     6  they differ
     1  one of them cannot be read             2  wrong usage
`;

async function run(args: readonly string[], output: Output) {
  const { values, positionals } = readArguments(args, { tolerance: { type: 'string' } } as const, [
    'BEFORE.json',
    'AFTER.json',
  ]);
  const toleranceMm = values.tolerance === undefined ? 1 : Number(values.tolerance);
  if (!(toleranceMm > 0))
    throw new UsageError(`--tolerance is a length in mm, not ${values.tolerance ?? ''}.`);
  const before = await readNetFile(positionals[0]!);
  const after = await readNetFile(positionals[1]!);
  let diff;
  try {
    diff = diffNets(before, after, { toleranceMm });
  } catch (cause) {
    if (cause instanceof NetError) throw new Refusal(cause.message, undefined, { cause });
    throw cause;
  }
  output.say(diff.sentence);
  for (const m of diff.moved) {
    output.say(
      `  moved    ${m.beforeLeadId} (now ${m.afterLeadId}) by up to ${m.maxMm.toFixed(2)} mm at ${place(m.atMm)}`,
    );
  }
  for (const e of diff.added)
    output.say(`  added    ${e.leadId}, ${e.lengthMm.toFixed(0)} mm at ${place(e.atMm)}`);
  for (const e of diff.removed)
    output.say(`  removed  ${e.leadId}, ${e.lengthMm.toFixed(0)} mm at ${place(e.atMm)}`);
  for (const w of diff.widths) {
    output.say(`  width    ${w.leadId}: ${w.beforeMm.toFixed(1)} to ${w.afterMm.toFixed(1)} mm`);
  }
  if (diff.pieces.added.length > 0) output.say(`  new pieces  ${diff.pieces.added.join(', ')}`);
  if (diff.pieces.gone.length > 0) output.say(`  gone pieces ${diff.pieces.gone.join(', ')}`);
  const changes =
    diff.moved.length +
    diff.added.length +
    diff.removed.length +
    diff.widths.length +
    diff.pieces.added.length +
    diff.pieces.gone.length;
  return changes === 0 ? EXIT.ok : EXIT.drawingsDiffer;
}

const place = ([x, y]: readonly [number, number]): string => `${x.toFixed(0)}, ${y.toFixed(0)} mm`;

async function readNetFile(path: string): Promise<Net> {
  const stored = await readJson(path);
  try {
    return readNet(stored);
  } catch (cause) {
    if (cause instanceof NetError)
      throw new Refusal(`${path}: ${cause.message}`, undefined, { cause });
    throw cause;
  }
}

export const netDiffCommand: Command = {
  help: HELP,
  run,
};
