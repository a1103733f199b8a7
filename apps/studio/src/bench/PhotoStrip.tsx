import { useRef } from 'react';
import { Proven } from '../ledger/Proven.js';
import { sayMedia } from '../platform/api/media.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { setWords, useHere } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { sayEntry } from '../platform/say-entry.js';
import { OlderFoot } from './OlderFoot.js';
import { SheetControls } from './SheetControls.js';
import { StageChoice } from './StageChoice.js';
import { stagesOf } from './stages-of.js';
import type { Bench } from './use-bench.js';
import type { Stack } from './use-stack.js';

/**
 * The pictures of the panel as a stack: one lies under the drawing, another may be laid over it. Of many,
 * those of one stage of the work are shown where the address says so.
 */
export function PhotoStrip({
  bench,
  stack,
  busy,
}: {
  bench: Bench;
  stack: Stack;
  /** something is being drawn: a small screen has no room for the strip */
  busy: boolean;
}) {
  const { panel, older } = bench;
  const list = useRef<HTMLUListElement>(null);
  const chosen = stack.under?.mediaId ?? null;
  const over = stack.over?.mediaId ?? null;
  const pictures = panel.media.filter((media) => media.kind !== 'document');
  const stages = stagesOf(pictures);
  const asked = useHere().words.get('stage');
  const stage = stages.find(([one]) => one === asked)?.[0] ?? null;
  const ofStage = stage === null ? pictures : pictures.filter((one) => one.stage === stage);
  const laid = new Set(panel.placements.map((placement) => placement.mediaId));
  return (
    <aside className="strip" data-busy={busy} aria-label={say('Pictures of this panel')}>
      {stages.length === 0 ? null : (
        <StageChoice
          stages={stages}
          stage={stage}
          older={older}
          shown={pictures.length}
          total={panel.counts.pictures}
        />
      )}
      <ul ref={list} tabIndex={0} aria-label={say('Pictures')}>
        {ofStage.map((media) => {
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
                <span className="no-face">{media.withdrawn ? say('withdrawn') : null}</span>
              )}
              <span className="face-words">
                {words}
                {media.withdrawn ? (
                  <em>{rich('withdrawn: {reason}', { reason: media.withdrawn.reason })}</em>
                ) : null}
                {media.withdrawn || laid.has(media.mediaId) ? null : (
                  <em>{say('not laid under the drawing yet')}</em>
                )}
              </span>
            </>
          );
          return (
            <li key={media.mediaId} data-media={media.mediaId} tabIndex={-1}>
              {laid.has(media.mediaId) ? (
                <>
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
                  {chosen === null || media.mediaId === chosen ? null : (
                    <button
                      type="button"
                      className="frame lay-over"
                      aria-pressed={media.mediaId === over}
                      onClick={() => {
                        setWords({ over: media.mediaId === over ? null : media.mediaId });
                      }}
                    >
                      {media.mediaId === over ? say('lies over it') : say('lay over')}
                      <span className="unseen">: {words}</span>
                    </button>
                  )}
                </>
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
            {say('send pictures')}
          </Go>
        </li>
      </ul>
      <OlderFoot
        older={older}
        shown={pictures.length}
        total={panel.counts.pictures}
        list={list}
        onGround
      />
      <SheetControls stack={stack} />
      {pictures
        .filter(({ mediaId }) => mediaId === chosen)
        .map(({ mediaId, siteId, entrySeq }) => (
          <p key={mediaId} className="strip-proof on-ground">
            {rich('In the archive, {entrySeq}. {proven}', {
              entrySeq: sayEntry(entrySeq),
              proven: <Proven line={siteId} place={entrySeq} />,
            })}
          </p>
        ))}
    </aside>
  );
}
