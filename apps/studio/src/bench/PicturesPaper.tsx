import { type SubmitEvent, useRef, useState } from 'react';
import { type Media, sayMedia, withdrawMedia } from '../platform/api/media.js';
import { mayDo } from '../platform/api/state.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { sayEntry } from '../platform/say-entry.js';
import { useSession } from '../platform/session.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { OlderFoot } from './OlderFoot.js';
import type { Bench } from './use-bench.js';

/** The pictures of the panel by name; what is left of those that were withdrawn. */
export function PicturesPaper({ bench }: { bench: Bench }) {
  const { me } = useSession();
  const { older } = bench;
  const { media, siteId, counts } = bench.panel;
  const list = useRef<HTMLUListElement>(null);
  const keeper = mayDo(me, siteId, 'keeper');
  if (media.length === 0) return null;
  return (
    <section className="paper stack" aria-label={say('Pictures and documents')}>
      <h2>{say('Pictures and documents')}</h2>
      <ul
        ref={list}
        className="kept-pictures stack"
        {...(older ? { 'data-long': true, tabIndex: 0, 'aria-label': say('Pictures') } : {})}
      >
        {media.map((one) => (
          <PictureLine key={one.mediaId} media={one} keeper={keeper} again={bench.again} />
        ))}
      </ul>
      <OlderFoot older={older} shown={media.length} total={counts.media} list={list} />
    </section>
  );
}

function PictureLine({
  media,
  keeper,
  again,
}: {
  media: Media;
  keeper: boolean;
  again: () => void;
}) {
  const [asking, setAsking] = useState(false);
  return (
    <li className="stack detail" data-media={media.mediaId} tabIndex={-1}>
      <p>
        {media.fileName}: {sayMedia(media)}
        {media.author ? say(', by {author}', { author: media.author }) : ''}
      </p>
      {media.withdrawn ? (
        <p className="kept">
          {say('Withdrawn on {value}, {entrySeq}: ', {
            value: media.withdrawn.at.slice(0, 10),
            entrySeq: sayEntry(media.withdrawn.entrySeq),
          })}
          {media.withdrawn.reason}.{' '}
          {media.withdrawn.destroyedAt
            ? say('The bytes are destroyed.')
            : say('The bytes are being destroyed.')}
        </p>
      ) : asking ? (
        <WithdrawForm
          media={media}
          onDone={() => {
            setAsking(false);
            again();
          }}
          onLeave={() => {
            setAsking(false);
          }}
        />
      ) : keeper ? (
        <p className="row">
          <button
            type="button"
            className="word"
            aria-label={say('withdraw {fileName}', { fileName: media.fileName })}
            onClick={() => {
              setAsking(true);
            }}
          >
            {say('withdraw')}
          </button>
        </p>
      ) : null}
    </li>
  );
}

function WithdrawForm({
  media,
  onDone,
  onLeave,
}: {
  media: Media;
  onDone: () => void;
  onLeave: () => void;
}) {
  const [reason, setReason] = useState('');
  const [askedBy, setAskedBy] = useState('');
  const [alsoDossiers, setAlsoDossiers] = useState(false);
  const [alsoShared, setAlsoShared] = useState(false);
  const { busy, why, field, run } = useAct();
  const submit = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await withdrawMedia(media.mediaId, { reason, askedBy, alsoDossiers, alsoShared });
      onDone();
    });
  };
  return (
    <form className="stack" onSubmit={submit}>
      <div className="caution" role="note">
        <p>
          {rich(
            '<b>This cannot be undone.</b>The file is destroyed in every store, with all pictures made from it. Its digest, the reason and all that was recorded of it stay; lead drawings read from it stay too. Dossiers handed out and backups elsewhere are not reached.',
            { b: (words) => <b>{words}</b> },
          )}
        </p>
      </div>
      <TextField
        label={say('Why is it withdrawn?')}
        hint={say('Stays in the ledger and stands in the picture’s place.')}
        required
        value={reason}
        onValue={setReason}
      />
      <TextField
        label={say('Who asked for it?')}
        hint={say('Kept sealed; it can be erased later.')}
        required
        value={askedBy}
        onValue={setAskedBy}
      />
      <label className="tick">
        {rich('{input}destroy the dossiers kept here that may hold it, too', {
          input: (
            <input
              type="checkbox"
              checked={alsoDossiers}
              onChange={(event) => {
                setAlsoDossiers(event.target.checked);
              }}
            />
          ),
        })}
      </label>
      {field === 'alsoShared' || alsoShared ? (
        <label className="tick">
          {rich('{input}withdraw it from the other records as well', {
            input: (
              <input
                type="checkbox"
                checked={alsoShared}
                onChange={(event) => {
                  setAlsoShared(event.target.checked);
                }}
              />
            ),
          })}
        </label>
      ) : null}
      <div className="row">
        <button type="submit" disabled={busy}>
          {say('Destroy the file')}
        </button>
        <button type="button" className="quiet" onClick={onLeave}>
          {say('Keep it')}
        </button>
      </div>
      <Refusal why={why} />
    </form>
  );
}
