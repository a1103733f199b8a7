import { useSession } from '../platform/session.js';

/** Plainly: how anybody can check a record or a dossier, and what a check cannot say. */
export function HowToCheck() {
  const { state } = useSession();
  return (
    <section className="paper stack" aria-label="How to check it">
      <div>
        <h2>How to check it</h2>
        <p className="sub">Without trusting this program or its keeper.</p>
      </div>
      <ol className="steps">
        <li>
          Unzip the dossier. Its <code>manifest-sha256.txt</code> names every file with its digest;
          any BagIt tool checks it.
        </li>
        <li>
          Run <code>mullion verify dossier.zip</code>. It recomputes every digest, the tree over all
          entries of the ledger, and the signature of the last checkpoint.
        </li>
        <li>
          Compare the fingerprint with one that reached you another way: a printed record of that
          time, the owner’s letter.
          <output className="print">{state.archive.fingerprint}</output>
        </li>
      </ol>
      <p>
        Three answers are possible: <b>altered</b>;{' '}
        <b>consistent with itself, key not known to you</b>;{' '}
        <b>verified against the fingerprint you gave</b>. Only the third one says that nobody
        rewrote it.
      </p>
    </section>
  );
}
