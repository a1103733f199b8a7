import { type SubmitEvent, useState } from 'react';
import { entryName } from '#libs/ledger';
import { type Media, sayMedia, withdrawMedia } from '../platform/api/media.js';
import { mayDo } from '../platform/api/state.js';
import { Field } from '../platform/Field.js';
import { Refusal } from '../platform/Refusal.js';
import { useSession } from '../platform/session.js';
import { useAct } from '../platform/use-act.js';
import type { Bench } from './use-bench.js';

/** The pictures of the panel by name; what is left of those that were withdrawn. */
export function PicturesPaper({ bench }: { bench: Bench }) {
  const { me } = useSession();
  const { media, siteId } = bench.panel;
  const keeper = mayDo(me, siteId, 'keeper');
  if (media.length === 0) return null;
  return (
    <section className="paper stack" aria-label="Pictures and documents">
      <h2>Pictures and documents</h2>
      {media.map((one) => (
        <PictureLine key={one.mediaId} media={one} keeper={keeper} again={bench.again} />
      ))}
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
    <div className="stack detail">
      <p>
        {media.fileName}: {sayMedia(media)}
        {media.author ? `, by ${media.author}` : ''}
      </p>
      {media.withdrawn ? (
        <p className="kept">
          Withdrawn on {media.withdrawn.at.slice(0, 10)}, {entryName(media.withdrawn.entrySeq)}:{' '}
          {media.withdrawn.reason}.{' '}
          {media.withdrawn.destroyedAt
            ? 'The bytes are destroyed.'
            : 'The bytes are being destroyed.'}
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
            aria-label={`withdraw ${media.fileName}`}
            onClick={() => {
              setAsking(true);
            }}
          >
            withdraw
          </button>
        </p>
      ) : null}
    </div>
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
          <b>This cannot be undone.</b>
          The file is destroyed in every store, with all pictures made from it. Its digest, the
          reason and all that was recorded of it stay; lead drawings read from it stay too. Dossiers
          handed out and backups elsewhere are not reached.
        </p>
      </div>
      <Field
        label="Why is it withdrawn?"
        hint="Stays in the ledger and stands in the picture’s place."
      >
        {(ids) => (
          <input
            {...ids}
            required
            value={reason}
            onChange={(event) => {
              setReason(event.target.value);
            }}
          />
        )}
      </Field>
      <Field label="Who asked for it?" hint="Kept sealed; it can be erased later.">
        {(ids) => (
          <input
            {...ids}
            required
            value={askedBy}
            onChange={(event) => {
              setAskedBy(event.target.value);
            }}
          />
        )}
      </Field>
      <label className="tick">
        <input
          type="checkbox"
          checked={alsoDossiers}
          onChange={(event) => {
            setAlsoDossiers(event.target.checked);
          }}
        />
        destroy the dossiers kept here that may hold it, too
      </label>
      {field === 'alsoShared' || alsoShared ? (
        <label className="tick">
          <input
            type="checkbox"
            checked={alsoShared}
            onChange={(event) => {
              setAlsoShared(event.target.checked);
            }}
          />
          withdraw it from the other records as well
        </label>
      ) : null}
      <div className="row">
        <button type="submit" disabled={busy}>
          Destroy the file
        </button>
        <button type="button" className="quiet" onClick={onLeave}>
          Keep it
        </button>
      </div>
      <Refusal why={why} />
    </form>
  );
}
