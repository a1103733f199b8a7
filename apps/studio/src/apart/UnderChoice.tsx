import { type Media, sayMedia } from '../platform/api/media.js';
import type { Panel } from '../platform/api/panels.js';
import { Field } from '../platform/Field.js';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';

/** Pictures of a panel that can lie under its drawing: those that somebody laid there, rubbings first. */
export const laidPictures = ({ media, placements }: Panel): readonly Media[] => {
  const laid = new Set(placements.map(({ mediaId }) => mediaId));
  return media
    .filter(({ mediaId, withdrawn }) => laid.has(mediaId) && withdrawn === null)
    .toSorted((a, b) => Number(b.kind === 'rubbing') - Number(a.kind === 'rubbing'));
};

/** Which picture lies under the drawing while pieces are lifted: the working rubbing, or how it looked before. */
export function UnderChoice({
  panel,
  value,
  onValue,
}: {
  panel: Panel;
  /** mediaId; '' for the drawing alone */
  value: string;
  onValue: (mediaId: string) => void;
}) {
  const laid = laidPictures(panel);
  return (
    <section className="paper apart">
      <h1>{say('Under the drawing')}</h1>
      {laid.length === 0 ? (
        <p>{say('No rubbing and no picture is laid on this panel yet.')}</p>
      ) : (
        <Field label={say('Rubbing or picture under the drawing')}>
          {(ids) => (
            <select
              {...ids}
              value={value}
              onChange={({ target }) => {
                onValue(target.value);
              }}
            >
              <option value="">{say('none: the drawing alone')}</option>
              {laid.map((media) => (
                <option key={media.mediaId} value={media.mediaId}>
                  {sayMedia(media)}
                </option>
              ))}
            </select>
          )}
        </Field>
      )}
      <p className="row also">
        <Go className="word" to={pathOf(panel.fullMark, 'send')}>
          {say('photograph the pieces as they lie')}
        </Go>
      </p>
    </section>
  );
}
