import { useRef, useState } from 'react';
import { OlderFoot } from '../bench/OlderFoot.js';
import type { OlderPictures } from '../bench/use-older-pictures.js';
import { sayMedia } from '../platform/api/media.js';
import type { Panel } from '../platform/api/panels.js';
import { Field } from '../platform/Field.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { sendOne } from '../upload/send-one.js';

/** Pictures that show a test: chosen among those of the panel, or sent from here. */
export function TestPictures({
  siteId,
  subject,
  panel,
  older,
  chosen,
  onChosen,
}: {
  siteId: string;
  subject: string;
  /** on which the test was made; undefined: a site or a window */
  panel: Panel | undefined;
  older: OlderPictures | null;
  /** mediaIds */
  chosen: readonly string[];
  onChosen: (chosen: readonly string[]) => void;
}) {
  const [sent, setSent] = useState<readonly { mediaId: string; name: string }[]>([]);
  const { busy, why, run } = useAct();
  const list = useRef<HTMLDivElement>(null);
  const media = panel?.media ?? [];
  const known = media
    .filter(({ kind, withdrawn }) => kind === 'photograph' && withdrawn === null)
    .map((one) => ({ mediaId: one.mediaId, name: sayMedia(one) }));
  const all = [...known, ...sent.filter((one) => known.every((k) => k.mediaId !== one.mediaId))];
  const toggle = (mediaId: string) => {
    onChosen(
      chosen.includes(mediaId) ? chosen.filter((one) => one !== mediaId) : [...chosen, mediaId],
    );
  };
  const take = (file: File) => {
    void run(async () => {
      const mediaId = await sendOne(file, {
        siteId,
        kind: 'photograph',
        light: null,
        clockHour: null,
        elevationDeg: null,
        stage: 'during',
        face: null,
        layer: null,
        subjects: [subject],
        author: '',
        happened: today(),
        note: '',
      });
      setSent((before) => [...before, { mediaId, name: file.name }]);
      onChosen([...chosen, mediaId]);
    });
  };
  return (
    <fieldset className="field">
      <legend>{say('Pictures of the test')}</legend>
      {all.length === 0 ? null : (
        <div ref={list} className="test-pictures" data-long={older !== null}>
          {all.map(({ mediaId, name }) => (
            <button
              key={mediaId}
              data-media={mediaId}
              type="button"
              className="quiet"
              aria-pressed={chosen.includes(mediaId)}
              onClick={() => {
                toggle(mediaId);
              }}
            >
              <TestPicture mediaId={mediaId} />
              <small>{name}</small>
            </button>
          ))}
        </div>
      )}
      <OlderFoot
        older={older}
        shown={media.filter(({ kind }) => kind !== 'document').length}
        total={panel?.counts.pictures ?? 0}
        list={list}
      />
      <Field label={busy ? say('sending the picture…') : say('Send a picture of it')}>
        {(ids) => (
          <input
            {...ids}
            type="file"
            accept="image/*"
            disabled={busy}
            onChange={({ target }) => {
              const [file] = target.files ?? [];
              if (file) take(file);
              target.value = '';
            }}
          />
        )}
      </Field>
      <Refusal why={why} />
    </fieldset>
  );
}

/** Small, without words of its own: its name stands beside it. */
export const TestPicture = ({ mediaId }: { mediaId: string }) => (
  <img
    src={`/iiif/3/${mediaId}/full/!240,240/0/default.jpg`}
    alt=""
    loading="lazy"
    width={96}
    height={72}
  />
);
