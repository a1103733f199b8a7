import { useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import type { ShardPicture } from '../platform/api/shards.js';
import { Cautions } from '../platform/Cautions.js';
import { useKept } from '../platform/kept-value.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { Refusal } from '../platform/Refusal.js';
import { sayFixed, sayRatio } from '../platform/say-number.js';
import { useSession } from '../platform/session.js';
import { today } from '../platform/today.js';
import { type SendState, send } from '../upload/sending.js';
import { nextShard } from './laid.js';
import { ScaleTaps } from './ScaleTaps.js';

export interface ScaledPicture {
  readonly shard: string;
  readonly mediaId: string;
  readonly pxPerMm: number;
}

const isScales = (value: unknown): value is Record<string, string> =>
  typeof value === 'object' && value !== null;

/** Light-box pictures of the shards, their scale, and the question how they lie. */
export function PicturesPaper({
  bench,
  piece,
  pictures,
  scaleBefore,
  busy,
  why,
  onAsk,
  onSent,
}: {
  bench: Bench;
  piece: string;
  /** the newest of each shard */
  pictures: readonly ShardPicture[];
  /** that the pictures were asked with */
  scaleBefore: number | null;
  busy: boolean;
  why: string | undefined;
  onAsk: (pictures: ScaledPicture[], isEitherFace: boolean) => void;
  onSent: () => void;
}) {
  // '' stands for all pictures that have no scale of their own
  const [scales, setScales] = useKept<Record<string, string>>(
    `scale of shards ${bench.panel.panelId} ${piece}`,
    { '': scaleBefore === null ? '' : String(scaleBefore) },
    isScales,
  );
  const [isEitherFace, setEitherFace] = useState(false);
  const [measured, setMeasured] = useState<string | null>(null);
  const scaleOf = (mediaId: string) => readNumber(scales[mediaId] ?? scales[''] ?? '');
  const scaled = pictures.flatMap(({ shard, mediaId }) => {
    const pxPerMm = scaleOf(mediaId);
    return pxPerMm !== undefined && pxPerMm > 0 ? [{ shard, mediaId, pxPerMm }] : [];
  });
  const onBench = pictures.find(({ mediaId }) => mediaId === measured);
  return (
    <section className="paper stack" aria-label={say('Pictures of the shards')}>
      <h2>{say('Pictures of the shards')}</h2>
      {pictures.length === 0 ? <HowToPhotograph /> : null}
      <SendShards bench={bench} piece={piece} pictures={pictures} onSent={onSent} />
      {pictures.length === 0 ? null : (
        <>
          <NumberField
            label={say('Scale: pixels in a millimetre')}
            value={scales[''] ?? ''}
            onValue={(text) => {
              setScales({ ...scales, '': text });
            }}
            hint={say('One camera on a stand gives all pictures the same.')}
          />
          <ul className="lines" aria-label={say('Pictures')}>
            {pictures.map(({ shard, mediaId, fileName }) => (
              <li key={mediaId}>
                <span className="shard-picture">
                  <img
                    src={`/iiif/3/${mediaId}/full/!160,160/0/default.jpg`}
                    alt=""
                    loading="lazy"
                  />
                  <span>
                    <b>{shard}</b> {fileName}
                    {scales[mediaId] === undefined ? null : (
                      <em>{say('{scale} px/mm', { scale: sayFixed(scaleOf(mediaId) ?? 0, 2) })}</em>
                    )}
                  </span>
                </span>
                <button
                  type="button"
                  className="word"
                  aria-expanded={mediaId === measured}
                  onClick={() => {
                    setMeasured(mediaId === measured ? null : mediaId);
                  }}
                >
                  {say('measure its scale')}
                </button>
              </li>
            ))}
          </ul>
          {onBench ? (
            <ScaleTaps
              key={onBench.mediaId}
              picture={onBench}
              onScale={(pxPerMm, isForAll) => {
                const text = String(Math.round(pxPerMm * 1000) / 1000);
                setScales(isForAll ? { '': text } : { ...scales, [onBench.mediaId]: text });
                setMeasured(null);
              }}
            />
          ) : null}
          <label className="tick">
            <input
              type="checkbox"
              checked={isEitherFace}
              onChange={(event) => {
                setEitherFace(event.target.checked);
              }}
            />
            <span>{say('some may lie with the other face up')}</span>
          </label>
          {scaled.length < pictures.length ? (
            <p className="hint">{say('Say the scale first; without it nothing fits.')}</p>
          ) : null}
          <Refusal why={why} />
          <p className="row">
            <button
              type="button"
              disabled={busy || scaled.length < pictures.length}
              onClick={() => {
                onAsk(scaled, isEitherFace);
              }}
            >
              {say('Find how they lie')}
            </button>
          </p>
          <p className="hint">{say('What is locked stays where it lies.')}</p>
        </>
      )}
      <Cautions keys={['broken-glass']} />
    </section>
  );
}

function HowToPhotograph() {
  return (
    <ol className="shards-how">
      <li>
        {say(
          'Lay one shard on a light box, painted face up, nothing else in the picture but bare light.',
        )}
      </li>
      <li>
        {say(
          'Camera straight above on a stand, and the same height for every shard: then one scale holds for all.',
        )}
      </li>
      <li>
        {say(
          'Photograph a ruler once at that height, or lay one beside the first shard and measure there.',
        )}
      </li>
      <li>
        {say(
          '8 pixels in a millimetre or more; the whole edge in the picture, with light all round it.',
        )}
      </li>
      <li>
        {say('Send them in the order of their numbers; each becomes the next shard of this piece.')}
      </li>
    </ol>
  );
}

/** Pictures become shards in the order in which they were chosen. */
function SendShards({
  bench,
  piece,
  pictures,
  onSent,
}: {
  bench: Bench;
  piece: string;
  pictures: readonly ShardPicture[];
  onSent: () => void;
}) {
  const { me } = useSession();
  const [sending, setSending] = useState<readonly { shard: string; state: SendState }[]>([]);
  const number = Number.parseInt(piece, 10);
  const start = (files: readonly File[]) => {
    const first = nextShard([
      ...pictures.map(({ shard }) => shard),
      ...sending.map(({ shard }) => shard),
    ]);
    const named = files
      .toSorted((a, b) => a.name.localeCompare(b.name, undefined, { numeric: true }))
      .map((file, i) => ({ file, shard: `${number}s${first + i}` }));
    setSending((before) => [
      ...before,
      ...named.map(({ shard }) => ({ shard, state: { is: 'here' } as const })),
    ]);
    for (const { file, shard } of named)
      send(
        file,
        {
          siteId: bench.panel.siteId,
          kind: 'photograph',
          light: 'transmitted',
          clockHour: null,
          elevationDeg: null,
          stage: 'during',
          face: 'inside',
          layer: 'front',
          subjects: [`${bench.panel.fullMark}.${shard}`],
          author: me.displayName,
          happened: today(),
          note: '',
        },
        (state) => {
          setSending((before) =>
            before.map((one) => (one.shard === shard ? { shard, state } : one)),
          );
          if (state.is === 'kept') onSent();
        },
      );
  };
  const under = sending.filter(({ state }) => state.is !== 'kept');
  return (
    <div className="stack">
      <div className="pick">
        <label className="act">
          <span>{say('Add pictures of shards')}</span>
          <input
            type="file"
            multiple
            accept="image/*,.dng,.heic,.heif,.tif,.tiff"
            onChange={(event) => {
              start([...(event.target.files ?? [])]);
              event.target.value = '';
            }}
          />
        </label>
      </div>
      {under.map(({ shard, state }) => (
        <p key={shard} role={state.is === 'refused' ? 'alert' : 'status'}>
          {state.is === 'refused'
            ? say('{shard} was not taken: {why}', { shard, why: state.why })
            : say('sending {shard}, {ratio}', {
                shard,
                ratio: sayRatio(state.is === 'sending' ? state.ratio : 0),
              })}
        </p>
      ))}
    </div>
  );
}
