import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import type { ProvenEntry } from './prove-entry.js';
import { saveBytes, saveText } from './say-head.js';

/** The files of the proof and the exact lines that check them, for somebody without this program. */
export function CheckWithout({ proof }: { proof: ProvenEntry }) {
  const { entry, fingerprint, time } = proof;
  const name = `entry-${entry.seq}`;
  const save = () => {
    saveText(`${name}.json`, proof.text);
    saveText(`${name}.tlog-proof`, proof.proofFile);
    if (time === null) return;
    saveText('stamped-checkpoint.txt', time.note);
    saveBytes(
      'time-token.der',
      Uint8Array.from(atob(time.token), (letter) => letter.charCodeAt(0)),
    );
  };
  return (
    <details className="commands">
      <summary>{say('How to check it without this program')}</summary>
      <div className="stack">
        <p>
          {rich('The leaf of the entry must come out as {code}', {
            code: <code className="print">{proof.leafHex}</code>,
          })}
        </p>
        <code className="print">{`{ printf '\\0'; cat ${name}.json; } | sha256sum`}</code>
        <p>
          {say(
            'The proof file (C2SP tlog-proof) leads from that leaf to the signed checkpoint, by RFC 6962 section 2.1.1.',
          )}
        </p>
        {time === null ? null : (
          <>
            <p>{say('The time, by the certificate that the authority publishes:')}</p>
            <code className="print">
              openssl ts -verify -data stamped-checkpoint.txt -in time-token.der -token_in -CAfile
              ca.pem
            </code>
          </>
        )}
        <p>{say('The whole history with everything it names, from a dossier:')}</p>
        <code className="print">npx mullion verify dossier.zip --fingerprint {fingerprint}</code>
        <div className="row">
          <button type="button" className="quiet" onClick={save}>
            {say('Save entry and proof')}
          </button>
        </div>
      </div>
    </details>
  );
}
