import { useEffect, useRef } from 'react';
import type { Epoch } from './compare-log.js';
import { sayLog, sayTime } from './say-head.js';

/** A restore from a backup that says of itself what it lost. No attack: but nobody should miss it. */
export function RestoredArchive({ epochs, goOn }: { epochs: readonly Epoch[]; goOn: () => void }) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
  return (
    <div className="stop-page">
      <main className="paper stop-paper stack" aria-labelledby="restored">
        <div>
          <h1 id="restored" ref={heading} tabIndex={-1}>
            This archive was restored from a backup
          </h1>
          <p className="sub">
            It says so itself, signed by the key that this browser knows. What was entered after the
            backup is not in it any more.
          </p>
        </div>
        {epochs.map(({ kept, head, said }) => (
          <section key={kept.logId} aria-label={`History of ${sayLog(kept.origin)}`}>
            <h2>History of {sayLog(kept.origin)}</h2>
            <p>
              This browser had seen {kept.size} entries, the last time on {sayTime(kept.seenAt)}.
              The history was begun anew on {sayTime(said.recordedAt)} and has {head.size} entries
              since.
            </p>
            <pre className="print" tabIndex={0} aria-label="What the archive says of it">
              {JSON.stringify(said.payload, null, 1)}
            </pre>
          </section>
        ))}
        <p>
          Compare with your own notes what you entered last, and enter again what is missing. Your
          own pictures are still on your phone.
        </p>
        <div className="row">
          <button type="button" onClick={goOn}>
            I have read this, go on
          </button>
        </div>
      </main>
    </div>
  );
}
