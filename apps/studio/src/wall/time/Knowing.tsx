import { useState } from 'react';
import { say } from '../../platform/language/say.js';
import { dayText, readDay } from './days.js';

/** As known on a day of the archive's own history: never mixed with when things happened. */
export function Knowing({
  known,
  today,
  onKnown,
}: {
  known: string | null;
  today: number;
  onKnown: (known: string | null) => void;
}) {
  const [open, setOpen] = useState(false);
  if (known === null && !open)
    return (
      <p>
        {say('as known ')}
        <button
          type="button"
          className="word"
          onClick={() => {
            setOpen(true);
          }}
        >
          {say('now')}
        </button>
      </p>
    );
  return (
    <p className={known === null ? '' : 'strip-known'}>
      <label>
        {say('as known on ')}
        <input
          type="date"
          max={dayText(today)}
          value={known ?? ''}
          onChange={(event) => {
            if (readDay(event.target.value) !== null) onKnown(event.target.value);
          }}
        />
      </label>{' '}
      <button
        type="button"
        className="word"
        onClick={() => {
          setOpen(false);
          onKnown(null);
        }}
      >
        {say('now again')}
      </button>
    </p>
  );
}
