import './phone.css';
import { useEffect, useState } from 'react';
import { keepShell } from '../offline/shell.js';
import { DemoBanner } from '../platform/DemoBanner.js';
import { Go } from '../platform/Go.js';
import { GroundChoice, LanguageChoice } from '../platform/language/MannerChoice.js';
import { say } from '../platform/language/say.js';
import { setWords, useHere } from '../platform/navigate.js';
import { OneOf } from '../platform/OneOf.js';
import { CapturePaper } from './CapturePaper.js';
import { BothPaper } from './findings/BothPaper.js';
import { FindPaper } from './findings/FindPaper.js';
import { NotesPaper } from './findings/NotesPaper.js';
import { useNotes } from './findings/use-notes.js';
import { KeepingPaper } from './KeepingPaper.js';
import { NewerVersion } from './NewerVersion.js';
import { QueuePaper } from './QueuePaper.js';
import { usePhoneSession } from './use-phone-session.js';
import { useQueue, useSender } from './use-queue.js';

const lines = {
  looking: say('looking for the archive…'),
  connected: say('connected'),
  'no-line': say('no line: pictures and findings wait here'),
  'signed-out': say('not signed in: pictures and findings wait here'),
} as const;

const tasks = ['photographs', 'findings'] as const;

/** Photographs and findings from this device: kept here, sent and proven, with a line or without. */
export function PhoneRoom() {
  const session = usePhoneSession();
  const queue = useQueue();
  const sender = useSender(session.person, session.is === 'connected');
  const notes = useNotes(session.person, session.is === 'connected');
  const [busy, setBusy] = useState(false);
  const { words } = useHere();
  const task = tasks.find((one) => one === words.get('task')) ?? 'photographs';
  useEffect(keepShell, []);
  const { person } = session;
  const changed = notes.filter(({ state }) => state === 'conflict');
  const isSending = sender.is === 'sending';
  const panels =
    person !== null && session.panels?.archiveId === person.archiveId ? session.panels : null;
  return (
    <div className="phone-page">
      {person?.isDemo ? <DemoBanner /> : null}
      <header className="phone-bar">
        <p>
          <b>{person?.me.displayName ?? 'Mullion'}</b>
          <span role="status">{lines[session.is]}</span>
        </p>
        {changed[0] === undefined ? null : (
          <button
            type="button"
            className="word alarm"
            onClick={() => {
              document.querySelector('.both')?.scrollIntoView({ block: 'start' });
            }}
          >
            {say('look at {changed, plural, one {# finding} other {# findings}}', {
              changed: changed.length,
            })}
          </button>
        )}
        {session.is === 'no-line' ? null : (
          <Go className="word" to="/">
            {session.is === 'signed-out' ? say('sign in') : say('wall')}
          </Go>
        )}
      </header>
      <main className="phone-papers">
        <NewerVersion isMidWork={busy || isSending} />
        {queue.why === null ? null : (
          <p className="paper" role="alert">
            {queue.why}
          </p>
        )}
        {session.why === null ? null : (
          <p className="paper refused" role="alert">
            {session.why}
          </p>
        )}
        {changed.map((note) => (
          <BothPaper key={note.id} note={note} />
        ))}
        {person === null ? (
          <section className="paper stack">
            <h1>{say('Photographs')}</h1>
            <p>
              {session.is === 'looking'
                ? say('Looking for the archive…')
                : say(
                    'Nobody has signed in on this phone yet. Do it once while the archive can be reached; afterwards everything here works without a line.',
                  )}
            </p>
            {session.is === 'signed-out' ? (
              <Go className="act" to="/">
                {say('Sign in')}
              </Go>
            ) : null}
          </section>
        ) : (
          <div className="paper task">
            <OneOf
              legend={say('What is done here')}
              options={tasks}
              value={task}
              onValue={(value) => {
                setWords({ task: value });
              }}
            />
          </div>
        )}
        {person === null ? null : task === 'findings' ? (
          <FindPaper
            person={person}
            panels={panels}
            startMark={words.get('mark')}
            isConnected={session.is === 'connected'}
            turn={notes.filter(({ state }) => state === 'proven').length}
          />
        ) : (
          <CapturePaper
            person={person}
            panels={panels}
            startMark={words.get('mark')}
            room={queue.room}
            isConnected={session.is === 'connected'}
            onBusy={setBusy}
          />
        )}
        <NotesPaper notes={notes} />
        <QueuePaper queue={queue} sender={sender} archiveId={person?.archiveId ?? null} />
        <KeepingPaper queue={queue} notes={notes} archiveId={person?.archiveId ?? null} />
        <section className="paper">
          <GroundChoice />
        </section>
        <LanguageChoice />
      </main>
    </div>
  );
}
