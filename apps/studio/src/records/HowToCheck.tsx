import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { useSession } from '../platform/session.js';

/** Plainly: how anybody can check a record or a dossier, and what a check cannot say. */
export function HowToCheck() {
  const { state } = useSession();
  return (
    <section className="paper stack" aria-label={say('How to check it')}>
      <div>
        <h2>{say('How to check it')}</h2>
        <p className="sub">{say('Without trusting this program or its keeper.')}</p>
      </div>
      <ol className="steps">
        <li>
          {rich(
            'Unzip the dossier. Its {code} names every file with its digest; any BagIt tool checks it.',
            { code: <code>manifest-sha256.txt</code> },
          )}
        </li>
        <li>
          {rich(
            'Run {code}. It recomputes every digest, the tree over all entries of the ledger, and the signature of the last checkpoint.',
            { code: <code>mullion verify dossier.zip</code> },
          )}
        </li>
        <li>
          {rich(
            'Compare the fingerprint with one that reached you another way: a printed record of that time, the owner’s letter.{output}',
            { output: <output className="print">{state.archive.fingerprint}</output> },
          )}
        </li>
      </ol>
      <p>
        {rich(
          'Three answers are possible: <b>altered</b>; <b>consistent with itself, key not known to you</b>; <b>verified against the fingerprint you gave</b>. Only the third one says that nobody rewrote it.',
          { b: (words) => <b>{words}</b> },
        )}
      </p>
    </section>
  );
}
