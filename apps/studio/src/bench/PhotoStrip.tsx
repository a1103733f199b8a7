import { entryName } from '#libs/ledger';
import { PictureStrength } from '../drawing/PictureStrength.js';
import { Proven } from '../ledger/Proven.js';
import { sayMedia } from '../platform/api/media.js';
import { Go } from '../platform/Go.js';
import { setWords } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import type { Bench } from './use-bench.js';

/** The pictures of the panel: choose the one that lies under the drawing, and how strongly it shines. */
export function PhotoStrip({
  bench,
  chosen,
  strength,
  busy,
}: {
  bench: Bench;
  chosen: string | null;
  strength: number;
  /** something is being drawn: a small screen has no room for the strip */
  busy: boolean;
}) {
  const { panel } = bench;
  const pictures = panel.media.filter((media) => media.kind !== 'document');
  const laid = new Set(panel.placements.map((placement) => placement.mediaId));
  return (
    <aside className="strip" data-busy={busy} aria-label="Pictures of this panel">
      <ul tabIndex={0} aria-label="Pictures">
        {pictures.map((media) => {
          const words = sayMedia(media);
          const face = (
            <>
              {media.pyramid === 'ready' ? (
                <img
                  src={`/iiif/3/${media.mediaId}/full/!160,160/0/default.jpg`}
                  alt=""
                  loading="lazy"
                />
              ) : (
                <span className="no-face">{media.withdrawn ? 'withdrawn' : null}</span>
              )}
              <span className="face-words">
                {words}
                {media.withdrawn ? <em>withdrawn: {media.withdrawn.reason}</em> : null}
                {media.withdrawn || laid.has(media.mediaId) ? null : (
                  <em>not laid under the drawing yet</em>
                )}
              </span>
            </>
          );
          return (
            <li key={media.mediaId}>
              {laid.has(media.mediaId) ? (
                <button
                  type="button"
                  className="frame"
                  aria-pressed={media.mediaId === chosen}
                  onClick={() => {
                    setWords({ photo: media.mediaId === chosen ? 'none' : media.mediaId });
                  }}
                >
                  {face}
                </button>
              ) : media.withdrawn ? (
                <div className="frame">{face}</div>
              ) : (
                <Go className="frame" to={pathOf(panel.fullMark, 'lay', media.mediaId)}>
                  {face}
                </Go>
              )}
            </li>
          );
        })}
        <li>
          <Go className="frame send" to={pathOf(panel.fullMark, 'send')}>
            send pictures
          </Go>
        </li>
      </ul>
      {chosen === null ? null : <PictureStrength strength={strength} />}
      {pictures
        .filter(({ mediaId }) => mediaId === chosen)
        .map(({ mediaId, siteId, entrySeq }) => (
          <p key={mediaId} className="strip-proof on-ground">
            In the archive, {entryName(entrySeq)}. <Proven line={siteId} place={entrySeq} />
          </p>
        ))}
    </aside>
  );
}
