import { parseOrigin } from '#libs/ledger';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
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
          ? say('Altered: this archive tells of another history')
          : isBackup
            ? say('This archive came back from a backup')
            : say('This archive was set back')
      }
      sub={
        isOther
          ? say(
              'It says so itself, signed by the key that this browser knows. What was there before was changed, taken out, or written anew beside it.',
            )
          : say(
              'It says so itself, signed by the key that this browser knows. What was entered last is not in it any more.',
            )
      }
    >
      {epochs.map((epoch) => (
        <Loss key={epoch.kept.logId} epoch={epoch} />
      ))}
      <StopSection title={say('What is safe')}>
        <p>
          {say(
            '{isOther} Pictures that you sent from here are on this device as long as you did not delete them.',
            {
              isOther: isOther
                ? say(
                    'Nothing can be said of single entries: any of them may differ from what was there. Ask the keeper how this came about before you rely on any.',
                  )
                : say(
                    'What was entered before that, as far as the archive says. This browser remembers how far the history went, not each entry: dossiers and printed records can be held against it.',
                  ),
            },
          )}
        </p>
      </StopSection>
      <StopSection title={say('What to do')}>
        <ol className="steps">
          <li>
            {say('Compare with your notes what you entered last, and enter again what is missing.')}
          </li>
          <li>
            {say('Send the pictures of those days again; the archive takes none of them twice.')}
          </li>
          <li>
            {say(
              'Save the kept checkpoint and give it to the keeper. Should an old disk turn up with the lost entries, it proves that they are those.',
            )}
          </li>
        </ol>
        <div className="row">
          <button type="button" onClick={goOn}>
            {say('I have read this, go on')}
          </button>
          <button
            type="button"
            className="quiet"
            onClick={() => {
              for (const { kept } of epochs)
                saveText(fileNameOf(kept.origin, kept.size), kept.note);
            }}
          >
            {say('Save the kept checkpoint')}
          </button>
        </div>
      </StopSection>
    </StopPage>
  );
}

function Loss({ epoch: { kept, head, said } }: { epoch: Epoch }) {
  const { before, known, lost } = said.payload;
  const name = say('History of {origin}', { origin: sayLog(kept.origin) });
  const epoch = parseOrigin(head.origin)?.epoch ?? 1;
  return (
    <section className="stack stop-section" aria-label={name}>
      <table className="facts">
        <caption>{name}</caption>
        <tbody>
          <tr>
            <th scope="row">{say('lost')}</th>
            <td>
              <b>{sayLost(lost)}</b>
            </td>
          </tr>
          <tr>
            <th scope="row">{say('seen by this browser')}</th>
            <td>
              {rich('{size} entries, on {seenAt}', {
                size: kept.size,
                seenAt: sayTime(kept.seenAt),
              })}
            </td>
          </tr>
          <tr>
            <th scope="row">{say('closed with')}</th>
            <td>{rich('{size} entries', { size: before.size })}</td>
          </tr>
          <tr>
            <th scope="row">{say('goes on as')}</th>
            <td>
              {rich('epoch {epoch}, begun on {recordedAt}', {
                epoch,
                recordedAt: sayTime(said.recordedAt),
              })}
            </td>
          </tr>
        </tbody>
      </table>
      <p>
        {rich(
          'What is entered from here on is cited with its epoch, “entry 7 of epoch {epoch}”, so that no two entries have one name.',
          { epoch },
        )}
      </p>
      <details>
        <summary>{say('What the archive wrote down of it')}</summary>
        <pre className="print" tabIndex={0} aria-label={say('What the archive wrote down of it')}>
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
    return say('the two histories differ; the archive cannot say since which entry');
  return to === from + 1
    ? say('entry {from}, one entry', { from })
    : say('entries {from} to {to}, {to2} in all', { from, to: to - 1, to2: to - from });
}
