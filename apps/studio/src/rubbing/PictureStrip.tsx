import type { Media } from '../platform/api/media.js';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { noMarks, type PictureMarks, readMarks } from './picture-marks.js';

export const mostPictures = 12;

/** The pictures of the rubbing, each with what is still to do on it; they are read together. */
export function PictureStrip({
  panelMark,
  pictures,
  marks,
  used,
  shown,
  onShow,
  onUse,
}: {
  panelMark: string;
  pictures: readonly Media[];
  marks: Readonly<Record<string, PictureMarks>>;
  used: readonly string[];
  shown: string;
  onShow: (mediaId: string) => void;
  onUse: (mediaId: string, isUsed: boolean) => void;
}) {
  return (
    <div className="field">
      <ul className="pictures" aria-label={say('Pictures of this rubbing')}>
        {pictures.map((media, index) => {
          const isUsed = used.includes(media.mediaId);
          const state = sayState(media.mediaId, marks[media.mediaId] ?? noMarks, isUsed);
          return (
            <li key={media.mediaId}>
              <button
                type="button"
                className="frame"
                aria-pressed={media.mediaId === shown}
                aria-label={`${index + 1}: ${state}, ${media.fileName}`}
                onClick={() => {
                  onShow(media.mediaId);
                }}
              >
                {media.pyramid === 'ready' ? (
                  <img src={`/iiif/3/${media.mediaId}/full/!160,160/0/default.jpg`} alt="" />
                ) : (
                  <span className="no-face" />
                )}
                <span className="face-words">
                  {index + 1}: {state}
                </span>
              </button>
            </li>
          );
        })}
        <li>
          <Go className="frame send" to={pathOf(panelMark, 'send', 'rubbing')}>
            {say('send another')}
          </Go>
        </li>
      </ul>
      {pictures.length > 1 ? (
        <p className="row also">
          {used.includes(shown) ? (
            used.length > 1 ? (
              <button
                type="button"
                className="word"
                onClick={() => {
                  onUse(shown, false);
                }}
              >
                {say('leave this picture out')}
              </button>
            ) : null
          ) : used.length < mostPictures ? (
            <button
              type="button"
              className="word"
              onClick={() => {
                onUse(shown, true);
              }}
            >
              {say('use this picture too')}
            </button>
          ) : null}
          <span className="hint">
            {used.length > 1
              ? say(
                  '{used} pictures are joined to one drawing: each needs its own scale, and neighbours must overlap.',
                  { used: used.length },
                )
              : say('One picture is read.')}
          </span>
        </p>
      ) : null}
    </div>
  );
}

function sayState(mediaId: string, marks: PictureMarks, isUsed: boolean): string {
  if (!isUsed) return say('not used');
  const read = readMarks(mediaId, marks);
  if ('asked' in read) return 'ready';
  if (marks.way === null) return say('no scale yet');
  const tapped = marks.names.filter((name) => marks.taps[name]).length;
  return tapped < marks.names.length
    ? say('{tapped} of {names} marks', { tapped, names: marks.names.length })
    : say('missing: {missing}', { missing: read.missing });
}
