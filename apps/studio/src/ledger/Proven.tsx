import './ledger.css';
import { useEffect, useRef, useState } from 'react';
import { entryName, epochLogId, readPlace } from '#libs/ledger';
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
        aria-label={`Proof of ${entryName(place)}`}
        onClick={() => {
          setOpen(true);
        }}
      >
        proof
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
          Entry {seq}
          {epoch > 1 ? ` of epoch ${epoch}` : ''}
          {proof.value ? ` of ${sayLog(proof.value.head.origin)}` : ''}
        </h2>
        {proof.why ? <p role="alert">{proof.why}</p> : null}
        {proof.value === undefined && !proof.why ? <p role="status">Proving it here…</p> : null}
        {proof.value ? <Told proof={proof.value} again={proof.again} /> : null}
        <div className="row">
          <button type="button" className="quiet" onClick={() => dialog.current?.close()}>
            Put it down
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
          ? `Altered: ${result.reason}.`
          : result.kind === 'consistent'
            ? 'Consistent with itself, key not known to you.'
            : `Verified against fingerprint ${proof.fingerprint}.`}
      </p>
      {result.kind === 'consistent' ? (
        <p>
          The proof holds. Who signed it is told only by a fingerprint that came another way than
          from this archive.
        </p>
      ) : null}
      {result.kind === 'consistent' ? <Compare proof={proof} again={again} /> : null}
      <table className="facts">
        <tbody>
          <Fact name="recorded as">
            <code>{entry.type}</code>
          </Fact>
          <Fact name="about">{entry.subject ?? 'no place'}</Fact>
          <Fact name="happened">{entry.happened ?? 'nobody said when'}</Fact>
          <Fact name="recorded">{sayTime(entry.recordedAt)}</Fact>
          {proof.seenBy.map(({ witness, at, entries }) => (
            <Fact key={witness} name="cosigned by">
              {witness}
              {at ? `, ${sayTime(at)}` : ''}, over {entries} entries
            </Fact>
          ))}
          {proof.time ? (
            <Fact name="stood at the latest">
              {sayTime(proof.time.statedAt)}, says {proof.time.authority}
            </Fact>
          ) : null}
        </tbody>
      </table>
      <details>
        <summary>What was recorded</summary>
        <pre className="print" tabIndex={0} aria-label="What was recorded">
          {JSON.stringify(entry.payload, null, 1)}
        </pre>
      </details>
      <details>
        <summary>How it was checked here</summary>
        <p>
          The bytes of the entry give the leaf <code>{proof.leafHex.slice(0, 16)}…</code>.{' '}
          {proof.steps} hashes lead from it to the root over all {head.size} entries of{' '}
          {sayLog(head.origin)}, and that root is signed by the key with the fingerprint{' '}
          {proof.fingerprint}
          {proof.keySince ? `, which this browser knows since ${sayTime(proof.keySince)}` : ''}.
          {result.kind === 'verified'
            ? ` You compared the fingerprint on ${sayTime(result.compared.comparedAt)}.`
            : ''}
        </p>
        {proof.time ? (
          <p>
            The time token is kept with the archive. This browser checked that it is over the same
            history; its signature is checked by the commands below.
          </p>
        ) : null}
        {proof.seenBy.length > 0 ? (
          <p>
            The cosignature holds for the key that this archive names for the witness. Ask the
            witness itself for its key before you rely on it.
          </p>
        ) : null}
      </details>
      <CheckWithout proof={proof} />
    </>
  );
}

function Fact({ name, children }: { name: string; children: React.ReactNode }) {
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>{children}</td>
    </tr>
  );
}

/** Only what comes another way than from the archive makes its key known. */
function Compare({ proof, again }: { proof: ProvenEntry; again: () => void }) {
  return (
    <FingerprintForm
      label="Fingerprint, from a printed record or the owner’s letter"
      hint="Typed once, this browser remembers that you compared it."
      fingerprint={proof.fingerprint}
      other={`The key that signed this has another fingerprint, ${proof.fingerprint}. Somebody else signed it, or yours is of an older key: ask the keeper.`}
      onSame={again}
    >
      <button type="submit" className="quiet">
        Compare
      </button>
    </FingerprintForm>
  );
}
