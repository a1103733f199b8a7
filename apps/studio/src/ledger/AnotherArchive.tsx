import { useEffect, useRef, useState } from 'react';
import { readFingerprint } from '#libs/ledger';
import { Field } from '../platform/Field.js';
import { Refusal } from '../platform/Refusal.js';
import { useSession } from '../platform/session.js';
import { keepCompared, rememberArchiveHere } from './kept-heads.js';

/** Another archive answers here than before: rightly, or somebody put one in its place. */
export function AnotherArchive({ before, again }: { before: string; again: () => void }) {
  const { state } = useSession();
  const { id, fingerprint } = state.archive;
  const [typed, setTyped] = useState('');
  const [why, setWhy] = useState<string>();
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
  const goOn = async () => {
    const reading = readFingerprint(typed);
    if (!reading.ok) setWhy(`${reading.reason}.`);
    else if (reading.fingerprint !== fingerprint)
      setWhy(
        `This archive’s fingerprint is ${fingerprint}. Yours is another: leave, and ask the keeper.`,
      );
    else {
      await keepCompared(id, { fingerprint, comparedAt: new Date().toISOString() });
      await rememberArchiveHere(id);
      again();
    }
  };
  return (
    <div className="stop-page">
      <main className="paper stop-paper stack" aria-labelledby="another">
        <div>
          <h1 id="another" ref={heading} tabIndex={-1}>
            Another archive answers at this address
          </h1>
          <p className="sub">Before, it was the archive {before}.</p>
        </div>
        <p>
          That is right when the studio began a new archive here. It is wrong when somebody put one
          in the place of yours. The fingerprint tells: it stands on printed records and in the
          keeper’s letter.
        </p>
        <form
          className="stack"
          onSubmit={(event) => {
            event.preventDefault();
            void goOn();
          }}
        >
          <Field label="Fingerprint, from paper or from the keeper" hint="28 letters and digits">
            {(ids) => (
              <input
                {...ids}
                required
                autoComplete="off"
                spellCheck={false}
                value={typed}
                onChange={(event) => {
                  setTyped(event.target.value);
                }}
              />
            )}
          </Field>
          <Refusal why={why} />
          <div className="row">
            <button type="submit">It is this archive, go on</button>
          </div>
        </form>
      </main>
    </div>
  );
}
