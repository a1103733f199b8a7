import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import type { ArchiveComparison } from './compare-archive.js';
import { StopPage, StopSection } from './StopPage.js';
import { fileNameOf, readHead, saveText, sayLog, sayTime } from './say-head.js';

type Refused = Extract<ArchiveComparison, { kind: 'refused' }>['logs'][number];

/** The calm stop: what was kept, what came, what to do. Nothing of the archive is shown behind it. */
export function RefusedArchive({ logs, again }: { logs: readonly Refused[]; again: () => void }) {
  return (
    <StopPage
      title={say('Altered: this archive cannot prove its history')}
      sub={say(
        'This browser remembers how far the history went when it was last here. What the archive shows now did not grow from that.',
      )}
    >
      {logs.map((log) => (
        <RefusedLog key={log.kept.logId} log={log} />
      ))}
      <StopSection title={say('What is safe')}>
        <p>
          {say(
            'What this browser kept: with it the keeper can tell what was changed. Pictures and notes of your own, where you have them.',
          )}
        </p>
      </StopSection>
      <StopSection title={say('What to do')}>
        <ol className="steps">
          <li>{say('Enter nothing more, and delete nothing from phone or camera.')}</li>
          <li>
            {rich(
              'Save the kept checkpoint and give it to the keeper. With it {code} names what was changed.',
              { code: <code>mullion admin check --known FILE</code> },
            )}
          </li>
          <li>
            {say(
              'The keeper compares with the backup. The archive was shown the kept checkpoint: had it come back from a backup, it would say so here and let you on.',
            )}
          </li>
        </ol>
        <div className="row">
          <button
            type="button"
            onClick={() => {
              for (const { kept } of logs) saveText(fileNameOf(kept.origin, kept.size), kept.note);
            }}
          >
            {say('Save the kept checkpoint')}
          </button>
          <button type="button" className="quiet" onClick={again}>
            {say('Ask the archive again')}
          </button>
        </div>
      </StopSection>
    </StopPage>
  );
}

function RefusedLog({ log: { kept, came, reason } }: { log: Refused }) {
  const head = came === undefined ? undefined : readHead(came);
  const keptHead = readHead(kept.note);
  return (
    <section
      className="stack"
      aria-label={say('History of {origin}', { origin: sayLog(kept.origin) })}
    >
      <p role="alert" className="refused">
        {reason}
      </p>
      <table className="facts both">
        <caption>{say('History of {origin}', { origin: sayLog(kept.origin) })}</caption>
        <thead>
          <tr>
            <td />
            <th scope="col">{say('kept here')}</th>
            <th scope="col">{say('came now')}</th>
          </tr>
        </thead>
        <tbody>
          <tr>
            <th scope="row">{say('entries')}</th>
            <td>{kept.size}</td>
            <td>{head?.size ?? say('none')}</td>
          </tr>
          <tr>
            <th scope="row">{say('seen')}</th>
            <td>{sayTime(kept.seenAt)}</td>
            <td>{say('now')}</td>
          </tr>
          <tr>
            <th scope="row">{say('root')}</th>
            <td className="root">{keptHead?.root ?? ''}</td>
            <td className="root">{head?.root ?? say('none')}</td>
          </tr>
        </tbody>
      </table>
    </section>
  );
}
