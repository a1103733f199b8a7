import { useEffect, useRef } from 'react';
import { useSession } from '../platform/session.js';
import { FingerprintForm } from './FingerprintForm.js';
import { rememberArchiveHere } from './kept-heads.js';

/** Another archive answers here than before: rightly, or somebody put one in its place. */
export function AnotherArchive({ before, again }: { before: string; again: () => void }) {
  const { state } = useSession();
  const { id, fingerprint } = state.archive;
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
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
        <FingerprintForm
          label="Fingerprint, from paper or from the keeper"
          hint="28 letters and digits"
          fingerprint={fingerprint}
          other={`This archive’s fingerprint is ${fingerprint}. Yours is another: leave, and ask the keeper.`}
          onSame={async () => {
            await rememberArchiveHere(id);
            again();
          }}
        >
          <button type="submit">It is this archive, go on</button>
        </FingerprintForm>
      </main>
    </div>
  );
}
