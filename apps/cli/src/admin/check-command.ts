import { createPublicKey } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import {
  type ArchiveFinding,
  type ArchiveReport,
  ArchiveTrustError,
  archiveSentence,
  type CheckedArchiveLog,
  checkArchive,
  type ObjectsMode,
} from '#libs/archive';
import { storesOf } from '#libs/objects';
import type { Command, Output } from '../command.js';
import { EXIT, type ExitCode } from '../exit-codes.js';
import { readArguments } from '../read-arguments.js';
import { Refusal, UsageError } from '../refusal.js';
import { ARCHIVE_HELP, ARCHIVE_OPTIONS, withArchive } from './reach-archive.js';

const HELP = `mullion admin check [--fingerprint F] [--witness KEY ...] [--known FILE ...] [--time-authority FILE]
                    [--objects none|sample|all] [--without-projections] [--home DIR | --demo]

Checks a whole archive where it lies, beside a running server or without one: every entry against its
hashes and columns, the tree, every checkpoint ever handed out and its copies in the object store, the
changes of the key, time tokens, what each new epoch says was lost, references between logs, every object, and what people read against the history.
What is touched is named by its mark.

  --fingerprint F    from the owner's letter, a printed record or the sign-in page
  --witness KEY      verifier key of a witness who saw the history; may be given more than once
  --known FILE       a checkpoint kept elsewhere (by a browser, in a dossier); may be given more than once
  --time-authority FILE   certificate (PEM) of the time authority that you trust; without it the one
                     that Mullion is set up with (MULLION_TIME_AUTHORITY_CA)
  --objects all      every object is read and hashed (the default)
            sample   every object is looked for, about two hundred are hashed, others at every run
            none     objects are not looked at
  --without-projections   what people read is not made anew: writers need not wait
${ARCHIVE_HELP}
Without fingerprint or witness an archive forged throughout would look the same: the answer is then never 0.

exit 0  verified against your fingerprint or witness     3  consistent with itself, key not known to you
     4  altered: every finding is named                  1  refused: the archive cannot be opened
     2  wrong usage, a mistyped fingerprint among them
`;

const EXIT_OF: Record<ArchiveReport['result'], ExitCode> = {
  'verified-against-fingerprint': EXIT.ok,
  'consistent-key-unknown': EXIT.consistentKeyUnknown,
  altered: EXIT.altered,
};

const PROGRESS_EVERY_MS = 2000;

async function run(args: readonly string[], output: Output) {
  const { values } = readArguments(
    args,
    {
      ...ARCHIVE_OPTIONS,
      fingerprint: { type: 'string' },
      witness: { type: 'string', multiple: true },
      known: { type: 'string', multiple: true },
      'time-authority': { type: 'string' },
      objects: { type: 'string', default: 'all' },
      'without-projections': { type: 'boolean', default: false },
    } as const,
    [],
  );
  const objectsMode = modeOf(values.objects);
  const known = (values.known ?? []).map((path) => ({ name: basename(path), note: textOf(path) }));
  return withArchive(values, async ({ pool, objects, config }) => {
    const { timeAuthority } = config.outside;
    const authorities = values['time-authority'] ?? timeAuthority?.caFile;
    let report: ArchiveReport;
    try {
      report = await checkArchive({
        pool,
        objects,
        stores: storesOf(objects),
        publicKey: publicKeyIn(config.keyFile),
        objectsMode,
        withProjections: !values['without-projections'],
        known,
        asksForTime: timeAuthority !== undefined,
        ...(authorities !== undefined && { timeAuthorities: textOf(authorities) }),
        ...(values.fingerprint !== undefined && { fingerprint: values.fingerprint }),
        ...(values.witness !== undefined && { witnessKeys: values.witness }),
        onProgress: progressTo(output),
      });
    } catch (cause) {
      if (cause instanceof ArchiveTrustError) throw new UsageError(cause.message);
      throw cause;
    }
    tell(report, output);
    return EXIT_OF[report.result];
  });
}

function tell(report: ArchiveReport, output: Output): void {
  output.say(archiveSentence(report));
  for (const finding of report.findings) output.say(`  ${placeOf(finding)}: ${finding.reason}`);
  if (report.unlisted > 0) output.say(`  and ${report.unlisted} further findings`);
  for (const note of report.notes) output.say(`  note: ${note}`);
  for (const log of report.logs) tellLog(log, output);
  const { named, derived, hashed, bytes, withdrawn } = report.objects;
  output.say(
    `objects   ${named} named, ${derived} derived, ${hashed} hashed (${bytes} bytes), ${withdrawn} withdrawn`,
  );
  if (report.projections !== undefined) {
    output.say(`reading   ${report.projections.rows} rows compared with those made anew`);
  }
}

function tellLog(log: CheckedArchiveLog, output: Output): void {
  const { origin, size, checkpoints, copies, keyFingerprint, witness, times } = log;
  const closed = log.isClosed === true ? ', closed: a later epoch goes on' : '';
  const seen = witness === undefined ? '' : `, seen by ${witness.name} at ${witness.size}`;
  output.say(
    `history   ${origin}: ${size} entries${closed}, ${checkpoints} checkpoints, ${copies} copies of them${seen}`,
  );
  for (const loss of log.losses ?? []) output.say(`loss      ${loss}`);
  if (keyFingerprint !== undefined) output.say(`signed by ${keyFingerprint}`);
  if (times.tokens > 0) {
    output.say(
      `time      ${times.tokens === 1 ? '1 time token holds' : `${times.tokens} time tokens hold`}, the newest over the first ${times.newestSize} entries`,
    );
  }
}

function placeOf({ what, place, log, seq, digest, store }: ArchiveFinding): string {
  const where = [log, seq === undefined ? undefined : `entry ${seq}`, digest, store]
    .filter((part) => part !== undefined)
    .join(' ');
  return [what, `${place} ${where}`.trim()].filter((part) => part !== undefined).join(', ');
}

function modeOf(text: string): ObjectsMode {
  if (text === 'none' || text === 'sample' || text === 'all') return text;
  throw new UsageError(`--objects is none, sample or all, not ${text}.`);
}

function textOf(path: string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch (cause) {
    throw new Refusal(`${path} cannot be read: name a file that is there.`, undefined, {
      cause,
    });
  }
}

/** Undefined without a key file: the logs then name their key themselves, or nothing does. */
function publicKeyIn(keyFile: string): Uint8Array | undefined {
  try {
    const { x } = createPublicKey(readFileSync(keyFile)).export({ format: 'jwk' });
    return x === undefined ? undefined : new Uint8Array(Buffer.from(x, 'base64url'));
  } catch {
    return undefined;
  }
}

/** A line at the beginning of a step, and one now and then while it takes long. */
function progressTo(output: Output): (step: string, done: number, total: number) => void {
  let current = '';
  let told = 0;
  return (step, done, total) => {
    const now = Date.now();
    if (step === current && now - told < PROGRESS_EVERY_MS) return;
    [current, told] = [step, now];
    output.note(`${step}: ${done} of ${total}`);
  };
}

export const checkCommand: Command = {
  help: HELP,
  run,
};
