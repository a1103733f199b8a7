import './ledger.css';
import { useEffect, useRef, useState } from 'react';
import { epochLogId, readPlace } from '#libs/ledger';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { sayEntry } from '../platform/say-entry.js';
import { useSession } from '../platform/session.js';
import { useAnswer } from '../platform/use-answer.js';
import { CheckWithout } from './CheckWithout.js';
import { FingerprintForm } from './FingerprintForm.js';
import { type ProvenEntry, proveEntry } from './prove-entry.js';
import { sayLog, sayTime } from './say-head.js';

/**
 * The quiet mark beside a record: pressed, it proves the entry here and says how.
 * @param line the site whose history holds it @param place in that history, over all its epochs
 */
export function Proven({ line, place }: { line: string; place: number }) {
  const [open, setOpen] = useState(false);
  return (
    <>
      <button
        type="button"
        className="word proof-mark"
        aria-haspopup="dialog"
        aria-label={say('Proof of {place}', { place: sayEntry(place) })}
        onClick={() => {
          setOpen(true);
        }}
      >
        {say('proof')}
      </button>
      {open ? (
        <ProofPaper
          line={line}
          place={place}
          close={() => {
            setOpen(false);
          }}
        />
      ) : null}
    </>
  );
}

function ProofPaper({ line, place, close }: { line: string; place: number; close: () => void }) {
  const { state } = useSession();
  const dialog = useRef<HTMLDialogElement>(null);
  const { epoch, seq } = readPlace(place);
  const logId = epochLogId(line, epoch);
  const proof = useAnswer(`proof ${logId} ${seq}`, (signal) =>
    proveEntry(state.archive.id, logId, seq, signal),
  );
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  return (
    <dialog ref={dialog} className="paper proof" aria-labelledby="proof-of" onClose={close}>
      <div className="stack">
        <h2 id="proof-of">
          {rich('Entry {seq}', { seq })}
          {epoch > 1 ? say(' of epoch {epoch}', { epoch }) : ''}
          {proof.value ? say(' of {origin}', { origin: sayLog(proof.value.head.origin) }) : ''}
        </h2>
        {proof.why ? <p role="alert">{proof.why}</p> : null}
        {proof.value === undefined && !proof.why ? (
          <p role="status">{say('Proving it here…')}</p>
        ) : null}
        {proof.value ? <Told proof={proof.value} again={proof.again} /> : null}
        <div className="row">
          <button type="button" className="quiet" onClick={() => dialog.current?.close()}>
            {say('Put it down')}
          </button>
        </div>
      </div>
    </dialog>
  );
}

function Told({ proof, again }: { proof: ProvenEntry; again: () => void }) {
  const { entry, head, result } = proof;
  return (
    <>
      <p className="verdict" data-result={result.kind} role="status">
        {result.kind === 'altered'
          ? say('Altered: {reason}.', { reason: result.reason })
          : result.kind === 'consistent'
            ? say('Consistent with itself, key not known to you.')
            : say('Verified against fingerprint {fingerprint}.', {
                fingerprint: proof.fingerprint,
              })}
      </p>
      {result.kind === 'consistent' ? (
        <p>
          {say(
            'The proof holds. Who signed it is told only by a fingerprint that came another way than from this archive.',
          )}
        </p>
      ) : null}
      {result.kind === 'consistent' ? <Compare proof={proof} again={again} /> : null}
      <table className="facts">
        <tbody>
          <Fact label={say('recorded as')}>
            <code>{entry.type}</code>
          </Fact>
          <Fact label={say('about')}>{entry.subject ?? say('no place')}</Fact>
          <Fact label={say('happened')}>{entry.happened ?? say('nobody said when')}</Fact>
          <Fact label={say('recorded')}>{sayTime(entry.recordedAt)}</Fact>
          {proof.seenBy.map(({ witness, at, entries }) => (
            <Fact key={witness} label={say('cosigned by')}>
              {witness}
              {rich('{at}, over {entries} entries', { at: at ? `, ${sayTime(at)}` : '', entries })}
            </Fact>
          ))}
          {proof.time ? (
            <Fact label={say('stood at the latest')}>
              {rich('{statedAt}, says {authority}', {
                statedAt: sayTime(proof.time.statedAt),
                authority: proof.time.authority,
              })}
            </Fact>
          ) : null}
        </tbody>
      </table>
      <details>
        <summary>{say('What was recorded')}</summary>
        <pre className="print" tabIndex={0} aria-label={say('What was recorded')}>
          {JSON.stringify(entry.payload, null, 1)}
        </pre>
      </details>
      <details>
        <summary>{say('How it was checked here')}</summary>
        <p>
          {rich(
            'The bytes of the entry give the leaf {code}. {steps} hashes lead from it to the root over all {size} entries of {origin}, and that root is signed by the key with the fingerprint ',
            {
              code: <code>{proof.leafHex.slice(0, 16)}…</code>,
              steps: proof.steps,
              size: head.size,
              origin: sayLog(head.origin),
            },
          )}
          {proof.fingerprint}
          {proof.keySince
            ? say(', which this browser knows since {keySince}', {
                keySince: sayTime(proof.keySince),
              })
            : ''}
          .
          {result.kind === 'verified'
            ? say(' You compared the fingerprint on {comparedAt}.', {
                comparedAt: sayTime(result.compared.comparedAt),
              })
            : ''}
        </p>
        {proof.time ? (
          <p>
            {say(
              'The time token is kept with the archive. This browser checked that it is over the same history; its signature is checked by the commands below.',
            )}
          </p>
        ) : null}
        {proof.seenBy.length > 0 ? (
          <p>
            {say(
              'The cosignature holds for the key that this archive names for the witness. Ask the witness itself for its key before you rely on it.',
            )}
          </p>
        ) : null}
      </details>
      <CheckWithout proof={proof} />
    </>
  );
}

function Fact({ label, children }: { label: string; children: React.ReactNode }) {
  return (
    <tr>
      <th scope="row">{label}</th>
      <td>{children}</td>
    </tr>
  );
}

/** Only what comes another way than from the archive makes its key known. */
function Compare({ proof, again }: { proof: ProvenEntry; again: () => void }) {
  return (
    <FingerprintForm
      label={say('Fingerprint, from a printed record or the owner’s letter')}
      hint={say('Typed once, this browser remembers that you compared it.')}
      fingerprint={proof.fingerprint}
      other={say(
        'The key that signed this has another fingerprint, {fingerprint}. Somebody else signed it, or yours is of an older key: ask the keeper.',
        { fingerprint: proof.fingerprint },
      )}
      onSame={again}
    >
      <button type="submit" className="quiet">
        {say('Compare')}
      </button>
    </FingerprintForm>
  );
}
