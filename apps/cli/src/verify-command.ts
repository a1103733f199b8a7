import { readFileSync } from 'node:fs';
import { type DossierReport, TrustError, verdictSentence, verifyDossier } from '#libs/dossier';
import { checkTimeToken, readAuthorities } from '#libs/timestamp';
import type { Command, Output } from './command.js';
import { EXIT, type ExitCode } from './exit-codes.js';
import { readArguments } from './read-arguments.js';
import { UsageError } from './refusal.js';
import { exportedLogs, verifyExport } from './verify-export.js';

const HELP = `mullion verify DOSSIER|EXPORT [--fingerprint F] [--witness KEY ...] [--time-authority CA.pem]

Checks a dossier, zipped or unpacked, without a server: every file against the manifests, every object
against its digest, every entry against the history, the history against its signed checkpoint. Or the
history alone, as mullion admin export-log wrote it: entries, tiles, every checkpoint, references.

  --fingerprint F   from the owner's letter, a printed record or the sign-in page; that of an earlier key
                    counts where every change since is vouched for
  --witness KEY     verifier key of a witness who saw the history, plain or for cosignatures (type 1 or 4);
                    may be given more than once
  --time-authority CA.pem
                    certificates of time authorities that you trust: what their tokens say is checked to them

Without either a forgery signed again throughout would look the same: the answer is then never 0.

exit 0  verified against your fingerprint or witness     3  consistent with itself, key not known to you
     4  altered: every finding is named                  5  unreadable: no dossier, or cut off
     2  wrong usage, a mistyped fingerprint among them
`;

const EXIT_OF: Record<DossierReport['verdict'], ExitCode> = {
  'verified-against-fingerprint': EXIT.ok,
  'consistent-key-unknown': EXIT.consistentKeyUnknown,
  altered: EXIT.altered,
  unreadable: EXIT.unreadable,
};

async function run(args: readonly string[], output: Output) {
  const { values, positionals } = readArguments(
    args,
    {
      fingerprint: { type: 'string' },
      witness: { type: 'string', multiple: true },
      'time-authority': { type: 'string' },
    } as const,
    ['DOSSIER'],
  );
  const authorities = authoritiesIn(values['time-authority']);
  const trust = {
    ...(values.fingerprint === undefined ? {} : { fingerprint: values.fingerprint }),
    ...(values.witness === undefined ? {} : { witnessKeys: values.witness }),
  };
  const logs = await exportedLogs(positionals[0]!);
  if (logs.length > 0) return verifyExport(logs, trust, output);
  let report: DossierReport;
  try {
    report = await verifyDossier(positionals[0]!, {
      ...trust,
      checkTime: (token, data) => checkTimeToken(token, data, authorities),
    });
  } catch (cause) {
    if (cause instanceof TrustError) throw new UsageError(cause.message);
    throw cause;
  }
  output.say(verdictSentence(report));
  for (const f of report.findings) output.say(`  ${placeOf(f)}: ${f.reason}`);
  for (const remark of report.keyRemarks) output.say(`  key: ${remark}`);
  for (const remark of report.remarks) output.say(`  note: ${remark}`);
  if (report.about) {
    output.say(
      `dossier   ${report.about.kind}, ${report.about.subject}, ${report.about.baggingDate}`,
    );
    output.say(`sealed by ${report.about.fingerprint}`);
  }
  for (const log of report.logs) {
    output.say(
      `history   ${log.origin}: ${log.size} entries${log.withheld > 0 ? `, ${log.withheld} withheld` : ''}`,
    );
  }
  for (const time of report.times) {
    output.say(
      `time      ${time.log}: the first ${time.entries} entries stood at ${time.at} at the latest, says ${time.authority}${time.isChainChecked ? '' : ' (anybody may call themselves that: give --time-authority)'}`,
    );
  }
  for (const { actorId, role, origin, index, entries } of report.roles) {
    output.say(
      `role      ${actorId}: ${role}, by entry ${index} of ${origin}; wrote ${entries} entries by it`,
    );
  }
  const { present, listedOnly, withdrawn } = report.objects;
  output.say(
    `checked   ${report.files} files, ${report.bytes} bytes; objects: ${present} here, ${listedOnly} listed only, ${withdrawn} withdrawn`,
  );
  return EXIT_OF[report.verdict];
}

/** @throws UsageError for a file that holds no certificate */
function authoritiesIn(path: string | undefined) {
  if (path === undefined) return undefined;
  try {
    return readAuthorities(readFileSync(path, 'utf8'));
  } catch (cause) {
    const detail = cause instanceof Error ? cause.message : String(cause);
    throw new UsageError(`--time-authority ${path}: ${detail}`);
  }
}

function placeOf(f: DossierReport['findings'][number]): string {
  const where = [f.path, f.log, f.seq === undefined ? undefined : `entry ${f.seq}`].filter(
    (part) => part !== undefined,
  );
  return [f.place, ...where].join(' ');
}

export const verifyCommand: Command = {
  help: HELP,
  run,
};
