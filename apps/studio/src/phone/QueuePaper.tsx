import { useState } from 'react';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { sayCount } from '../platform/say-number.js';
import { DiscardAct } from './DiscardAct.js';
import { LocalPicture } from './LocalPicture.js';
import { notInArchive } from './queue/not-in-archive.js';
import type { Picture } from './queue/picture.js';
import { mayDiscard } from './queue/picture-steps.js';
import { happen } from './queue/queue-store.js';
import type { SenderState } from './queue/sender.js';
import { sayJob, sayWhere } from './say-where.js';
import type { Queue } from './use-queue.js';

/** A list longer than this is shown a part at a time. */
const SHOWN = 30;

const senderWords: Readonly<Record<SenderState['is'], string>> = {
  resting: say('waiting for your word'),
  sending: say('sending'),
  'no-line': say('waiting for a line'),
  'signed-out': say('sign in, then they are sent'),
  elsewhere: say('another tab of this phone sends them'),
  stopped: say('sending stopped; open this page again'),
};

/** Every picture that this device knows, and where it lies. */
export function QueuePaper({
  queue,
  sender,
  archiveId,
}: {
  queue: Queue;
  sender: SenderState;
  archiveId: string | null;
}) {
  const [shown, setShown] = useState(SHOWN);
  const pictures = (queue.pictures ?? []).filter(({ state }) => state !== 'discarded');
  const here = pictures.filter(notInArchive).length;
  const proven = pictures.filter(({ state }) => state === 'proven').length;
  const others = pictures.filter(
    (picture) => archiveId !== null && picture.archiveId !== archiveId,
  );
  return (
    <section className="paper stack" aria-label={say('Where the pictures lie')}>
      <h2>
        {here === 0
          ? say('No picture lies only here')
          : say('{here} only on this phone', { here: sayCount(here) })}
      </h2>
      <p className="sub" data-here={here} data-proven={proven}>
        {rich('{proven, plural, one {# picture} other {# pictures}} proven in the archive{here}', {
          proven,
          here: here === 0 ? null : ` · ${senderWords[sender.is]}`,
        })}
      </p>
      {others.length === 0 ? null : (
        <p className="caution">
          {rich(
            '<b>{others, plural, one {# picture} other {# pictures}} for another archive.</b>They wait here until that archive is opened on this phone.',
            { b: (words) => <b>{words}</b>, others: others.length },
          )}
        </p>
      )}
      <ul className="lines queue" aria-label={say('Pictures')}>
        {pictures.slice(0, shown).map((picture) => (
          <PictureLine
            key={picture.id}
            picture={picture}
            ratio={sender.pictureId === picture.id && sender.is === 'sending' ? sender.ratio : null}
          />
        ))}
      </ul>
      {pictures.length > shown ? (
        <button
          type="button"
          className="quiet"
          onClick={() => {
            setShown(shown + SHOWN);
          }}
        >
          {say('{pictures} more', { pictures: sayCount(pictures.length - shown) })}
        </button>
      ) : null}
    </section>
  );
}

function PictureLine({ picture, ratio }: { picture: Picture; ratio: number | null }) {
  const { id, job, state, why, takenAt, hasBytes } = picture;
  const mayGo = state === 'refused' || state === 'held';
  return (
    <li data-state={state}>
      {hasBytes && state !== 'writing' ? (
        <LocalPicture id={id} />
      ) : (
        <span className="local-picture" />
      )}
      <div>
        <b>{job.mark}</b> <span className="quiet-line">{sayJob(job)}</span>
        <span className="quiet-line">{takenAt.slice(0, 16).replace('T', ' ')}</span>
        <span className={state === 'proven' ? 'kept' : 'where'}>{sayWhere(picture, ratio)}</span>
        {why === null ? null : <span className="refused">{why}</span>}
        {mayGo || (mayDiscard(picture) && state !== 'waiting') ? (
          <div className="row">
            {mayGo ? (
              <button
                type="button"
                className="quiet"
                onClick={() => {
                  const kind = state === 'held' ? 'photograph' : job.kind;
                  void happen(id, { kind: 'let-go', job: { ...job, kind } });
                }}
              >
                {state === 'held' ? say('Keep as a photograph') : say('Try again')}
              </button>
            ) : null}
            <DiscardAct picture={picture} words={say('Discard')} />
          </div>
        ) : null}
      </div>
    </li>
  );
}
