import { useMemo, useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import { identity } from '../drawing/homography.js';
import { PictureLayer } from '../drawing/picture-layer.js';
import type { Xy } from '../drawing/plane.js';
import { TapBoardView } from '../drawing/TapBoardView.js';
import type { Media } from '../platform/api/media.js';
import { readNet } from '../platform/api/nets.js';
import { type Rubbing, readPanel } from '../platform/api/panels.js';
import { extractNet, type Surface } from '../platform/api/rubbings.js';
import { say } from '../platform/language/say.js';
import { readNumber } from '../platform/NumberField.js';
import { Shell } from '../platform/Shell.js';
import { Table } from '../platform/Table.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { Word } from '../platform/Word.js';
import { MarksPaper } from './MarksPaper.js';
import { PictureStrip } from './PictureStrip.js';
import { fitOnPicture } from './picture-fit.js';
import { noMarks, readMarks, sayMark } from './picture-marks.js';
import { ReadingPaper } from './ReadingPaper.js';
import { sayRubbing } from './say-rubbing.js';
import { useMarks } from './use-marks.js';
import { usePyramid } from './use-pyramid.js';

/** Tap the marks on each picture of the rubbing, type what was measured, have the leads read. */
export function MarksRoom({
  bench,
  rubbings,
  rubbing,
  pictures,
  onRubbing,
  onList,
}: {
  bench: Bench;
  rubbings: readonly Rubbing[];
  rubbing: Rubbing;
  pictures: readonly Media[];
  onRubbing: (rubbingId: string) => void;
  onList: () => void;
}) {
  const { panel } = bench;
  const newest = pictures.at(-1)?.mediaId ?? '';
  const { marks, used, setMarks, setUsed } = useMarks(rubbing.rubbingId, [newest]);
  const reading = pictures.filter(({ mediaId }) => used.includes(mediaId));
  const [shown, setShown] = useState(reading.at(-1)?.mediaId ?? newest);
  const [active, setActive] = useState(0);
  const [job, setJob] = useState<{ jobId: string; revision: number | null } | null>(null);
  const { pyramid, why: noPicture } = usePyramid(shown === '' ? null : shown);
  const acting = useAct();

  const here = marks[shown] ?? noMarks;
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
  const asked = reading.map(({ mediaId }, index) => ({
    index,
    ...readMarks(mediaId, marks[mediaId] ?? noMarks),
  }));
  const missing = asked.flatMap((one) =>
    'missing' in one
      ? [
          reading.length > 1
            ? say('picture {index}: {missing}', { index: one.index + 1, missing: one.missing })
            : one.missing,
        ]
      : [],
  )[0];
  const read = (surface: Surface) => {
    void acting.run(async () => {
      const { jobId } = await extractNet(
        rubbing.rubbingId,
        asked.flatMap((one) => ('asked' in one ? [one.asked] : [])),
        surface,
      );
      setJob({ jobId, revision: null });
    });
  };
  const tap = (index: number, [x, y]: Xy) => {
    const name = here.names[index];
    if (name === undefined || job !== null) return;
    const taps = { ...here.taps, [name]: [round(x), round(y)] as const };
    setMarks(shown, (before) => ({ ...before, taps }));
    const open = here.names.findIndex((candidate) => !taps[candidate]);
    if (!here.taps[name] && open >= 0) setActive(open);
  };
  const found = useAnswer(
    job?.revision ? `read ${panel.panelId} ${job.revision}` : null,
    (signal) =>
      Promise.all([
        readPanel(panel.panelId, signal),
        readNet(panel.panelId, job?.revision ?? 0, signal),
      ]),
  );
  const fit = useMemo(
    () => (found.value ? fitOnPicture(found.value[0].placements, found.value[1], shown) : null),
    [found.value, shown],
  );
  const board = useMemo(
    () => ({
      points: here.names.map((name) => ({ name, xy: here.taps[name] ?? null })),
      lines: here.lengths.flatMap(({ from, to, mm }) => {
        const [a, b] = [here.taps[from], here.taps[to]];
        const value = readNumber(mm);
        return a && b && value !== undefined ? [{ from: a, to: b, words: `${value} mm` }] : [];
      }),
    }),
    [here],
  );
  const strip = (
    <PictureStrip
      panelMark={panel.fullMark}
      pictures={pictures}
      marks={marks}
      used={used}
      shown={shown}
      onShow={(mediaId) => {
        setShown(mediaId);
        setActive(0);
      }}
      onUse={setUsed}
    />
  );
  return (
    <Shell
      mark={panel.fullMark}
      sentence={
        <>
          {say('setting the marks on ')}
          {rubbings.length > 1 ? (
            <Word
              label={say('Rubbing')}
              value={rubbing.rubbingId}
              options={rubbings.map((one) => [one.rubbingId, sayRubbing(one)] as const)}
              onChoose={onRubbing}
            />
          ) : (
            <b>{say('the rubbing, {rubbing}', { rubbing: sayRubbing(rubbing) })}</b>
          )}
        </>
      }
    >
      <Table
        papers={say('the marks')}
        startOpen={here.way === null}
        drawing={
          plan ? (
            <>
              <TapBoardView
                plan={plan}
                points={fit?.points ?? board.points}
                lines={fit?.lines ?? board.lines}
                active={fit ? -1 : active}
                label={say('Picture of the rubbing')}
                onActive={setActive}
                onPoint={tap}
              />
              <p className="tap-next" role="status">
                {fit?.words ?? sayNext(here.way === null, here.names, here.taps, active)}
              </p>
            </>
          ) : (
            <p className="over-drawing" role="status">
              {noPicture ?? say('opening the picture…')}
            </p>
          )
        }
        beside={
          job !== null ? (
            <ReadingPaper
              bench={bench}
              rubbing={rubbing}
              jobId={job.jobId}
              strip={reading.length > 1 ? strip : null}
              onDone={(revision) => {
                setJob({ ...job, revision });
              }}
              onBack={() => {
                setJob(null);
              }}
            />
          ) : (
            <MarksPaper
              bench={bench}
              rubbing={rubbing}
              strip={strip}
              marks={here}
              active={active}
              onActive={setActive}
              onMarks={(next) => {
                setMarks(shown, () => next);
              }}
              missing={missing ?? null}
              acting={acting}
              onRead={read}
              onList={onList}
            />
          )
        }
      />
    </Shell>
  );
}

function sayNext(
  isOpen: boolean,
  names: readonly string[],
  taps: Readonly<Record<string, Xy>>,
  active: number,
): string {
  if (isOpen) return say('say first where the scale comes from');
  if (names.length === 0) return say('nothing to tap in this picture');
  if (names.some((name) => !taps[name]))
    return say('tap {active}', { active: sayMark(names[active] ?? names[0]!) });
  return say('all marks are set; drag or nudge them until the loupe is on the cross');
}

const round = (value: number) => Math.round(value * 100) / 100;
