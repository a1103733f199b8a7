import { parseOrigin } from '#libs/ledger';
import type { Epoch } from './compare-log.js';
import { StopPage, StopSection } from './StopPage.js';
import { fileNameOf, saveText, sayLog, sayTime } from './say-head.js';

/**
 * A restore from a backup that says of itself what it lost: no attack, but nobody should miss it. Where
 * the archive tells of another history in place of the one seen here, it is called altered.
 */
export function RestoredArchive({ epochs, goOn }: { epochs: readonly Epoch[]; goOn: () => void }) {
  const isBackup = epochs.some(({ said }) => said.payload.restored !== null);
  const isOther = epochs.some(({ said }) => isOtherHistory(said.payload.lost));
  return (
    <StopPage
      title={
        isOther
          ? 'Altered: this archive tells of another history'
          : isBackup
            ? 'This archive came back from a backup'
            : 'This archive was set back'
      }
      sub={
        isOther
          ? 'It says so itself, signed by the key that this browser knows. What was there before was changed, taken out, or written anew beside it.'
          : 'It says so itself, signed by the key that this browser knows. What was entered last is not in it any more.'
      }
    >
      {epochs.map((epoch) => (
        <Loss key={epoch.kept.logId} epoch={epoch} />
      ))}
      <StopSection title="What is safe">
        <p>
          {isOther
            ? 'Nothing can be said of single entries: any of them may differ from what was there. Ask the keeper how this came about before you rely on any.'
            : 'What was entered before that, as far as the archive says. This browser remembers how far the history went, not each entry: dossiers and printed records can be held against it.'}{' '}
          Pictures that you sent from here are on this device as long as you did not delete them.
        </p>
      </StopSection>
      <StopSection title="What to do">
        <ol className="steps">
          <li>Compare with your notes what you entered last, and enter again what is missing.</li>
          <li>Send the pictures of those days again; the archive takes none of them twice.</li>
          <li>
            Save the kept checkpoint and give it to the keeper. Should an old disk turn up with the
            lost entries, it proves that they are those.
          </li>
        </ol>
        <div className="row">
          <button type="button" onClick={goOn}>
            I have read this, go on
          </button>
          <button
            type="button"
            className="quiet"
            onClick={() => {
              for (const { kept } of epochs)
                saveText(fileNameOf(kept.origin, kept.size), kept.note);
            }}
          >
            Save the kept checkpoint
          </button>
        </div>
      </StopSection>
    </StopPage>
  );
}

function Loss({ epoch: { kept, head, said } }: { epoch: Epoch }) {
  const { before, known, lost } = said.payload;
  const name = `History of ${sayLog(kept.origin)}`;
  const epoch = parseOrigin(head.origin)?.epoch ?? 1;
  return (
    <section className="stack stop-section" aria-label={name}>
      <table className="facts">
        <caption>{name}</caption>
        <tbody>
          <tr>
            <th scope="row">lost</th>
            <td>
              <b>{sayLost(lost)}</b>
            </td>
          </tr>
          <tr>
            <th scope="row">seen by this browser</th>
            <td>
              {kept.size} entries, on {sayTime(kept.seenAt)}
            </td>
          </tr>
          <tr>
            <th scope="row">closed with</th>
            <td>{before.size} entries</td>
          </tr>
          <tr>
            <th scope="row">goes on as</th>
            <td>
              epoch {epoch}, begun on {sayTime(said.recordedAt)}
            </td>
          </tr>
        </tbody>
      </table>
      <p>
        What is entered from here on is cited with its epoch, “entry 7 of epoch {epoch}”, so that no
        two entries have one name.
      </p>
      <details>
        <summary>What the archive wrote down of it</summary>
        <pre className="print" tabIndex={0} aria-label="What the archive wrote down of it">
          {`entry ${said.seq} of ${head.origin}\nknown    ${known.size} entries of ${known.origin}\nclosed   ${before.size} entries, root ${before.rootHash}\n\n${known.note}`}
        </pre>
      </details>
    </section>
  );
}

interface Lost {
  readonly from: number;
  readonly to: number;
}

const isOtherHistory = ({ from, to }: Lost): boolean => to <= from;

function sayLost({ from, to }: Lost): string {
  if (isOtherHistory({ from, to }))
    return 'the two histories differ; the archive cannot say since which entry';
  return to === from + 1
    ? `entry ${from}, one entry`
    : `entries ${from} to ${to - 1}, ${to - from} in all`;
}
