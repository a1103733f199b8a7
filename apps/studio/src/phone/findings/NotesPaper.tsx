import { useState } from 'react';
import { SPOKEN_TERMS } from '../../findings/spoken-terms.js';
import { termWords } from '../../findings/term-look.js';
import { rich } from '../../platform/language/rich.js';
import { say } from '../../platform/language/say.js';
import { newId } from '../../platform/new-id.js';
import { sayMeasure } from '../../platform/say-measure.js';
import { sayNoted } from '../say-where.js';
import { GiveUpAct } from './GiveUpAct.js';
import { noted } from './note-store.js';
import { isOnlyHere, mayGiveUp, type NotedFinding } from './noted.js';

/** A list longer than this is shown a part at a time. */
const SHOWN = 30;

/** Every finding that was written down on this device, and where it lies. */
export function NotesPaper({ notes }: { notes: readonly NotedFinding[] }) {
  const [shown, setShown] = useState(SHOWN);
  const known = notes.filter(({ state }) => state !== 'discarded');
  const here = known.filter(isOnlyHere).length;
  if (known.length === 0) return null;
  return (
    <section className="paper stack" aria-label={say('Where the findings lie')}>
      <h2>
        {here === 0
          ? say('All findings are in the archive')
          : say('{here, plural, one {# finding} other {# findings}} only on this phone', { here })}
      </h2>
      <ul className="lines queue" aria-label={say('Findings')}>
        {known.slice(0, shown).map((note) => (
          <NoteLine key={note.id} note={note} />
        ))}
      </ul>
      {known.length > shown ? (
        <button
          type="button"
          className="quiet"
          onClick={() => {
            setShown(shown + SHOWN);
          }}
        >
          {rich('{known} more', { known: known.length - shown })}
        </button>
      ) : null}
    </section>
  );
}

function NoteLine({ note }: { note: NotedFinding }) {
  const { id, mark, body, measureText, state, why, corrects, notedAt } = note;
  return (
    <li data-state={state}>
      <div>
        <b>{mark}</b>{' '}
        <span className="quiet-line">
          {[
            corrects === null ? null : say('correction'),
            termWords(SPOKEN_TERMS, body.term),
            sayMeasure(measureText),
          ]
            .filter(Boolean)
            .join(', ')}
        </span>
        {body.note === undefined ? null : <span className="quiet-line">{body.note}</span>}
        <span className="quiet-line">
          {rich('{value} UTC', { value: notedAt.slice(0, 16).replace('T', ' ') })}
        </span>
        <span className={state === 'proven' ? 'kept' : 'where'}>{sayNoted(note)}</span>
        {why === null ? null : <span className="refused">{why}</span>}
        {state === 'refused' || mayGiveUp(note) ? (
          <div className="row">
            {state === 'refused' ? (
              <button
                type="button"
                className="quiet"
                onClick={() => void noted(id, { kind: 'again', key: newId() })}
              >
                {say('Try again')}
              </button>
            ) : null}
            <GiveUpAct id={id} words={say('Discard')} />
          </div>
        ) : null}
      </div>
    </li>
  );
}
