import { useState } from 'react';
import { say } from '../../platform/language/say.js';
import { noted } from './note-store.js';

/** Gives up what was written down here; it lies nowhere else, so it is asked for twice. */
export function GiveUpAct({ id, words }: { id: string; words: string }) {
  const [asked, setAsked] = useState(false);
  return (
    <button
      type="button"
      className="quiet"
      onClick={() => {
        if (asked) void noted(id, { kind: 'discarded' });
        else setAsked(true);
      }}
    >
      {asked ? say('Yes, discard: it lies nowhere else') : words}
    </button>
  );
}
