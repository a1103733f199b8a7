import './found.css';
import { useMemo, useRef, useState } from 'react';
import { ToBench } from '../bench/ToBench.js';
import type { Bench } from '../bench/use-bench.js';
import { PairView } from '../drawing/PairView.js';
import type { PairMap } from '../drawing/pair-map.js';
import type { Xy } from '../drawing/plane.js';
import { readStages, type Stage, stagePicture } from '../platform/api/stages.js';
import { Go } from '../platform/Go.js';
import { Hold } from '../platform/Hold.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { goTo, useHere } from '../platform/navigate.js';
import { OneOf } from '../platform/OneOf.js';
import { pathOf } from '../platform/place.js';
import { Shell } from '../platform/Shell.js';
import { Table } from '../platform/Table.js';
import { useAnswer } from '../platform/use-answer.js';
import { useKeys } from '../platform/use-keys.js';
import { stageLayers } from './stage-layers.js';

const ways = ['alone', 'swipe', 'beside'] as const;
type Way = (typeof ways)[number];
const wayWords: Readonly<Record<Way, string>> = {
  alone: say('this stage'),
  swipe: say('swiped with the next'),
  beside: say('beside the next'),
};

/** How the drawing was found in the wax: a picture of every stage, held against its neighbour. */
export function FoundRoom({ bench }: { bench: Bench }) {
  const { panel, nets } = bench;
  const { words } = useHere();
  const wanted = Number(words.get('revision') ?? panel.netRevision ?? 0);
  const summary = nets.find(({ revision }) => revision === wanted);
  const read = summary?.reading?.revision ?? null;
  const stages = useAnswer(read ? `stages ${panel.panelId} ${read}` : null, (signal) =>
    readStages(panel.panelId, read ?? 0, signal),
  );
  const items = stages.value ?? [];
  if (items.length === 0)
    return (
      <Shell mark={panel.fullMark} sentence={say('how the drawing was found')}>
        <div className="scroll">
          <section className="paper stack">
            <h1>{say('How was this found?')}</h1>
            <p role="status">
              {stages.why ??
                (read
                  ? stages.value
                    ? say(
                        'No stages were kept of this reading. Read the rubbing again to see them.',
                      )
                    : say('bringing the stages…')
                  : say('No drawing of this panel was read from a rubbing.'))}
            </p>
            <ToBench mark={panel.fullMark} />
          </section>
        </div>
      </Shell>
    );
  return <Stages key={read} bench={bench} revision={read ?? 0} items={items} />;
}

function Stages({
  bench,
  revision,
  items,
}: {
  bench: Bench;
  revision: number;
  items: readonly Stage[];
}) {
  const { panel } = bench;
  const { place, words } = useHere();
  const key = place.on === 'mark' ? place.thing : null;
  const index = Math.max(
    0,
    items.findIndex((stage) => stage.key === key),
  );
  const here = items[index]!;
  const next = items[index + 1] ?? items[index - 1] ?? here;
  const [way, setWay] = useState<Way>('alone');
  const [held, setHeld] = useState(false);
  const at = words.get('at');

  const step = (to: number) => {
    const stage = items[to];
    if (stage) goTo(pathOf(panel.fullMark, 'found', stage.key) + window.location.search);
  };
  useKeys({
    ...Object.fromEntries(
      items.map((_, to) => [
        String(to + 1),
        {
          down: () => {
            step(to);
          },
        },
      ]),
    ),
    n: {
      down: () => {
        step(index + 1);
      },
    },
    p: {
      down: () => {
        step(index - 1);
      },
    },
    b: {
      down: () => {
        setHeld(true);
      },
      up: () => {
        setHeld(false);
      },
    },
  });
  const plan = useMemo(
    () => () =>
      stageLayers([here, next], (stage) => stagePicture(panel.panelId, revision, stage.key)),
    [here, next, panel.panelId, revision],
  );
  const focused = useRef(false);
  const focus = (map: PairMap | null) => {
    const point = at?.split(',').map(Number);
    // Once: afterwards a person looks where they like.
    if (!map || focused.current || point?.length !== 2 || !point.every(Number.isFinite)) return;
    focused.current = true;
    map.showPlace([[point[0]!, point[1]!] as Xy]);
  };
  return (
    <Shell
      mark={panel.fullMark}
      sentence={
        <>
          {rich('how the drawing of {b} was found, stage {index} of {items}: ', {
            b: <b>{panel.mark}</b>,
            index: index + 1,
            items: items.length,
          })}
          <b>{sayWord(here.title)}</b>
        </>
      }
    >
      <Table
        papers={say('the stages')}
        drawing={
          <>
            <PairView
              plan={plan}
              way={way === 'alone' ? 'over' : way}
              side={held ? 'second' : 'first'}
              names={[sayWord(here.title), sayWord(next.title)]}
              withScale={here.imageFromPanel !== null}
              label={say(
                'Stage {index}: {title}. Keys: N next stage, P the one before, hold B to see the next.',
                { index: index + 1, title: sayWord(here.title) },
              )}
              onMap={focus}
            />
            <div className="dock stage-dock">
              <button
                type="button"
                className="quiet"
                disabled={index === 0}
                onClick={() => {
                  step(index - 1);
                }}
              >
                {say('before')}
              </button>
              {way === 'alone' ? (
                <Hold onHold={setHeld}>
                  {rich('hold: {title}', { title: sayWord(next.title) })}
                </Hold>
              ) : null}
              <button
                type="button"
                disabled={index === items.length - 1}
                onClick={() => {
                  step(index + 1);
                }}
              >
                {say('after')}
              </button>
            </div>
          </>
        }
        beside={
          <section className="paper stack">
            <div>
              <h2>
                {index + 1}. {sayWord(here.title)}
              </h2>
              <p className="caption">{here.caption}</p>
            </div>
            <OneOf
              legend={say('Shown')}
              options={ways}
              value={way}
              onValue={setWay}
              words={(value) => wayWords[value]}
            />
            <ol className="stages" aria-label={say('Stages')}>
              {items.map((stage, to) => (
                <li key={stage.key}>
                  <button
                    type="button"
                    className="frame"
                    aria-pressed={to === index}
                    onClick={() => {
                      step(to);
                    }}
                  >
                    <img
                      src={stagePicture(panel.panelId, revision, stage.key)}
                      alt=""
                      loading="lazy"
                    />
                    <span>
                      {to + 1}. {sayWord(stage.title)}
                    </span>
                  </button>
                </li>
              ))}
            </ol>
            <p className="hint keys">
              {rich(
                '{kbd}–{kbd2} a stage, {kbd3} next, {kbd4} before, hold {kbd5} to see the next one in its place',
                {
                  kbd: <kbd>1</kbd>,
                  kbd2: <kbd>{items.length}</kbd>,
                  kbd3: <kbd>N</kbd>,
                  kbd4: <kbd>P</kbd>,
                  kbd5: <kbd>B</kbd>,
                },
              )}
            </p>
            <div className="row">
              <Go className="act quiet" to={`${pathOf(panel.fullMark)}?doubts=yes`}>
                {say('Back to the bench')}
              </Go>
            </div>
          </section>
        }
      />
    </Shell>
  );
}
