import { useState } from 'react';
import { say } from '../platform/language/say.js';
import { removeCopy } from './queue/device-room.js';
import type { Picture } from './queue/picture.js';
import { mayDiscard } from './queue/picture-steps.js';
import { happen } from './queue/queue-store.js';

/** Gives a picture up that was not sent yet; it lies nowhere else, so it is asked for twice. */
export function DiscardAct({
  picture,
  words,
  onDone,
}: {
  picture: Picture;
  words: string;
  onDone?: () => void;
}) {
  const [asked, setAsked] = useState(false);
  const [why, setWhy] = useState<string | null>(null);
  const discard = async () => {
    const after = await happen(picture.id, { kind: 'discarded' });
    if (after?.state === 'discarded') {
      await removeCopy(picture.id);
      onDone?.();
    } else setWhy(say('It is on its way into the archive already; describe it there.'));
  };
  if (why !== null) return <p role="status">{why}</p>;
  if (!mayDiscard(picture) && picture.state !== 'waiting') return null;
  return (
    <button
      type="button"
      className="quiet"
      onClick={() => {
        if (asked) void discard();
        else setAsked(true);
      }}
    >
      {asked ? say('Yes, discard: it lies nowhere else') : words}
    </button>
  );
}
