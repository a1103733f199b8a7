import { type SubmitEvent, useMemo, useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import { identity } from '../drawing/homography.js';
import { PictureLayer } from '../drawing/picture-layer.js';
import type { Xy } from '../drawing/plane.js';
import { TapBoardView } from '../drawing/TapBoardView.js';
import { type Media, sayMedia } from '../platform/api/media.js';
import type { Rubbing } from '../platform/api/panels.js';
import { extractNet } from '../platform/api/rubbings.js';
import { NumberField } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { Shell } from '../platform/Shell.js';
import { Table } from '../platform/Table.js';
import { useAct } from '../platform/use-act.js';
import { Word } from '../platform/Word.js';
import { ExtractionPaper } from './ExtractionPaper.js';
import {
  distanceNames,
  readControl,
  type ScaleWay,
  scaleWayHints,
  scaleWays,
  scaleWayWords,
  tapNames,
} from './mark-plan.js';
import { usePyramid } from './use-pyramid.js';

/** Tap the marks on the picture of the rubbing, type what was measured, have it traced. */
export function MarksRoom({
  bench,
  rubbing,
  pictures,
  onList,
}: {
  bench: Bench;
  rubbing: Rubbing;
  pictures: readonly Media[];
  onList: () => void;
}) {
  const { panel } = bench;
  const [mediaId, setMediaId] = useState(pictures.at(-1)?.mediaId ?? '');
  const [way, setWay] = useState<ScaleWay>('known-places');
  const [known, setKnown] = useState(4);
  const [taps, setTaps] = useState<Readonly<Record<string, Xy>>>({});
  const [places, setPlaces] = useState<Readonly<Record<string, readonly [string, string]>>>({});
  const [distances, setDistances] = useState<Readonly<Record<string, string>>>({});
  const [active, setActive] = useState(0);
  const [jobId, setJobId] = useState<string | null>(null);
  const { pyramid, why: noPicture } = usePyramid(mediaId === '' ? null : mediaId);
  const { busy, why, run } = useAct();

  const names = tapNames(way, known);
  const points = names.map((name) => ({ name, xy: taps[name] ?? null }));
  const tapped = points.filter((point) => point.xy !== null).length;
  const control = readControl(way, names, places, distances);
  const plan = useMemo(
    () =>
      pyramid
        ? {
            box: { minX: 0, minY: 0, maxX: pyramid.widthPx, maxY: pyramid.heightPx },
            layers: () => [new PictureLayer(pyramid, identity)],
            nudge: 1,
          }
        : null,
    [pyramid],
  );
  const trace = (event: SubmitEvent) => {
    event.preventDefault();
    if (!('control' in control)) return;
    void run(async () => {
      const { jobId: started } = await extractNet(rubbing.rubbingId, {
        mediaId,
        control: control.control,
        taps: points.flatMap((point) => (point.xy ? [[...point.xy]] : [])),
      });
      setJobId(started);
    });
  };
  const setPlace = (name: string, axis: 0 | 1, value: string) => {
    const before = places[name] ?? ['', ''];
    setPlaces({ ...places, [name]: axis === 0 ? [value, before[1]] : [before[0], value] });
  };
  return (
    <Shell
      mark={panel.fullMark}
      sentence={
        <>
          setting the marks on{' '}
          {pictures.length > 1 ? (
            <Word
              label="Picture of the rubbing"
              value={mediaId}
              options={pictures.map((media) => [media.mediaId, media.fileName] as const)}
              onChoose={(value) => {
                setMediaId(value);
                setTaps({});
              }}
            />
          ) : (
            <b>{pictures[0] ? `the ${sayMedia(pictures[0])}` : ''}</b>
          )}
        </>
      }
    >
      <Table
        papers="the marks"
        startOpen={tapped >= names.length}
        drawing={
          plan ? (
            <>
              <TapBoardView
                plan={plan}
                points={points}
                active={active}
                label="Picture of the rubbing"
                onActive={setActive}
                onPoint={(index, [x, y]) => {
                  const name = names[index];
                  if (name === undefined) return;
                  const next = { ...taps, [name]: [round(x), round(y)] as const };
                  setTaps(next);
                  if (!taps[name]) {
                    const open = names.findIndex((candidate) => !next[candidate]);
                    if (open >= 0) setActive(open);
                  }
                }}
              />
              <p className="tap-next" role="status">
                {tapped < names.length
                  ? `tap mark ${names[active] ?? ''}`
                  : 'all marks are set; drag or nudge them until the loupe is on the cross'}
              </p>
            </>
          ) : (
            <p className="over-drawing" role="status">
              {noPicture ?? 'opening the picture…'}
            </p>
          )
        }
        beside={
          jobId !== null ? (
            <ExtractionPaper
              bench={bench}
              jobId={jobId}
              onBack={() => {
                setJobId(null);
              }}
            />
          ) : (
            <form className="paper stack" onSubmit={trace}>
              <div>
                <h2>Marks</h2>
                <p className="sub">{scaleWayHints[way]}</p>
              </div>
              <OneOf
                legend="The scale comes from"
                options={scaleWays}
                value={way}
                words={(value) => scaleWayWords[value]}
                onValue={(value) => {
                  setWay(value);
                  setTaps({});
                  setActive(0);
                }}
              />
              <ul className="marks" aria-label="Marks">
                {names.map((name, index) => (
                  <li key={name} data-active={index === active}>
                    <button
                      type="button"
                      className="quiet"
                      aria-pressed={index === active}
                      onClick={() => {
                        setActive(index);
                      }}
                    >
                      {name}
                    </button>
                    <span className="mark-tap">
                      {taps[name]
                        ? `${taps[name][0].toFixed(1)}, ${taps[name][1].toFixed(1)} px`
                        : 'not tapped'}
                    </span>
                    {way === 'known-places' ? (
                      <>
                        <input
                          aria-label={`${name}: mm from the left edge`}
                          inputMode="text"
                          placeholder="x mm"
                          value={places[name]?.[0] ?? ''}
                          onChange={(event) => {
                            setPlace(name, 0, event.target.value);
                          }}
                        />
                        <input
                          aria-label={`${name}: mm from the top edge`}
                          inputMode="text"
                          placeholder="y mm"
                          value={places[name]?.[1] ?? ''}
                          onChange={(event) => {
                            setPlace(name, 1, event.target.value);
                          }}
                        />
                      </>
                    ) : null}
                  </li>
                ))}
              </ul>
              {way === 'known-places' && known < 12 ? (
                <p className="row">
                  <button
                    type="button"
                    className="word"
                    onClick={() => {
                      setKnown(known + 1);
                    }}
                  >
                    one more mark
                  </button>
                </p>
              ) : null}
              {way === 'known-places' ? null : (
                <div className="two">
                  {distanceNames[way].map((name) => (
                    <NumberField
                      key={name}
                      label={name === 'length' ? 'Length, mm' : `${name}, mm`}
                      value={distances[name] ?? ''}
                      onValue={(value) => {
                        setDistances({ ...distances, [name]: value });
                      }}
                    />
                  ))}
                </div>
              )}
              <Refusal why={why} />
              <div className="row">
                <button
                  type="submit"
                  disabled={busy || tapped < names.length || !('control' in control)}
                >
                  Trace the leads
                </button>
                <button type="button" className="quiet" onClick={onList}>
                  All rubbings
                </button>
              </div>
              <p className="hint" role="status">
                {tapped < names.length
                  ? `still to tap: ${points
                      .filter((point) => !point.xy)
                      .map((point) => point.name)
                      .join(', ')}`
                  : 'missing' in control
                    ? `still missing: ${control.missing}`
                    : 'Tracing takes up to half a minute. You may leave; it goes on.'}
              </p>
            </form>
          )
        }
      />
    </Shell>
  );
}

const round = (value: number) => Math.round(value * 100) / 100;
