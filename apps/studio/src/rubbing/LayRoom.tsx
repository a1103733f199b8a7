import { useMemo, useState } from 'react';
import { ToBench } from '../bench/ToBench.js';
import type { Bench } from '../bench/use-bench.js';
import { identity } from '../drawing/homography.js';
import { jointNear } from '../drawing/net-geometry.js';
import { NetLayers, netPoints, plainLook } from '../drawing/net-layers.js';
import { PictureLayer } from '../drawing/picture-layer.js';
import { boxOf, type Xy } from '../drawing/plane.js';
import { TapBoardView } from '../drawing/TapBoardView.js';
import { readMedia, sayMedia } from '../platform/api/media.js';
import type { Placement } from '../platform/api/panels.js';
import { layPicture } from '../platform/api/placements.js';
import { Why } from '../platform/figure/Figure.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { useHere } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { Shell } from '../platform/Shell.js';
import { sayFixed } from '../platform/say-number.js';
import { Table } from '../platform/Table.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { usePyramid } from './use-pyramid.js';

interface Pair {
  readonly picture: Xy | null;
  readonly panel: Xy | null;
}
const none: Pair = { picture: null, panel: null };
const least = 4;

/** Lay a picture under the drawing: the same four or more places tapped on both. */
export function LayRoom({ bench }: { bench: Bench }) {
  const { panel, net } = bench;
  const { place } = useHere();
  const mediaId = place.on === 'mark' ? place.thing : null;
  const known = panel.media.find((candidate) => candidate.mediaId === mediaId);
  // An old one of a panel with very many, by its address.
  const read = useAnswer(known || mediaId === null ? null : `media ${mediaId}`, (signal) =>
    readMedia(mediaId ?? '', signal),
  );
  const media = known ?? read.value;
  const before = panel.placements.find((placement) => placement.mediaId === mediaId);
  const [pairs, setPairs] = useState<readonly Pair[]>(() =>
    before && before.points.length > 0
      ? before.points.map((point) => ({ picture: point.imageXyPx, panel: point.panelXyMm }))
      : [none, none, none, none],
  );
  const [active, setActive] = useState(0);
  const [side, setSide] = useState<'picture' | 'panel'>('picture');
  const [laid, setLaid] = useState<Placement | null>(null);
  const { pyramid, why: noPicture } = usePyramid(mediaId);
  const { busy, why, run } = useAct();

  const picturePlan = useMemo(
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
  const netPlan = useMemo(
    () => ({
      box: boxOf(netPoints(net)),
      layers: () => {
        const drawing = new NetLayers();
        drawing.setNet(net);
        drawing.setLook({ ...plainLook });
        return drawing.layers;
      },
      snap: (xy: Xy, reach: number) => jointNear(net, xy, reach),
      nudge: 0.1,
    }),
    [net],
  );
  const whole = pairs.filter((pair) => pair.picture && pair.panel);
  const worstMm = laid ? Math.max(...laid.points.map((point) => point.residualMm)) : 0;
  const name = (index: number) => String(index + 1);
  const worst = (index: number) => laid !== null && laid.worst === index;

  const set = (which: 'picture' | 'panel', index: number, xy: Xy) => {
    setLaid(null);
    setPairs((all) => all.map((pair, at) => (at === index ? { ...pair, [which]: xy } : pair)));
    const other = which === 'picture' ? 'panel' : 'picture';
    const fresh = pairs[index]?.[which] === null;
    if (!fresh) return;
    if (pairs[index]?.[other] === null) setSide(other);
    else {
      const open = pairs.findIndex((pair, at) => at !== index && (!pair.picture || !pair.panel));
      if (open >= 0) setActive(open);
      setSide('picture');
    }
  };
  const board = (which: 'picture' | 'panel') => {
    const plan = which === 'picture' ? picturePlan : netPlan;
    if (!plan)
      return (
        <p className="over-drawing" role="status">
          {noPicture ?? say('opening the picture…')}
        </p>
      );
    return (
      <TapBoardView
        plan={plan}
        active={active}
        points={pairs.map((pair, index) => ({
          name: name(index),
          xy: pair[which],
          worst: worst(index),
        }))}
        label={which === 'picture' ? say('The picture') : say('The lead drawing')}
        onActive={setActive}
        onPoint={(index, xy) => {
          set(which, index, xy);
        }}
      />
    );
  };
  return (
    <Shell
      mark={panel.fullMark}
      sentence={
        <>
          {rich('laying the picture in {b} under the lead drawing', {
            b: <b>{media ? sayMedia(media) : ''}</b>,
          })}
        </>
      }
    >
      <Table
        papers={say('the points')}
        drawing={
          <div className="boards" data-side={side}>
            <div className="switch" role="group" aria-label={say('Side')}>
              {(['picture', 'panel'] as const).map((which) => (
                <button
                  key={which}
                  type="button"
                  className="quiet"
                  aria-pressed={which === side}
                  onClick={() => {
                    setSide(which);
                  }}
                >
                  {which === 'picture' ? say('picture') : say('drawing')}
                </button>
              ))}
            </div>
            <div className="board" data-which="picture">
              {board('picture')}
            </div>
            <div className="board" data-which="panel">
              {board('panel')}
            </div>
            <p className="tap-next" role="status">
              {whole.length === pairs.length
                ? say('all points are set')
                : say('point {active}: tap it {side}', {
                    active: name(active),
                    side:
                      side === 'picture'
                        ? say('on the picture')
                        : say('on the drawing; it snaps to a joint'),
                  })}
            </p>
          </div>
        }
        beside={
          <section className="paper stack">
            <div>
              <h2>{say('Matching places')}</h2>
              <p className="sub">
                {say(
                  'Four or more, far apart and not on one line. Joints of leads are best: the drawing snaps to them.',
                )}
              </p>
            </div>
            <ul className="marks" aria-label={say('Points')}>
              {pairs.map((pair, index) => (
                <li key={name(index)} data-active={index === active}>
                  <button
                    type="button"
                    className="quiet"
                    aria-pressed={index === active}
                    onClick={() => {
                      setActive(index);
                    }}
                  >
                    {name(index)}
                  </button>
                  <span className="mark-tap">
                    {!pair.picture || !pair.panel
                      ? say('to tap: {Boolean}', {
                          Boolean: [
                            ...(pair.picture ? [] : [say('picture')]),
                            ...(pair.panel ? [] : [say('drawing')]),
                          ].join(', '),
                        })
                      : laid?.points[index]
                        ? say('{value} mm off{index}', {
                            value: sayFixed(laid.points[index].residualMm, 1),
                            index: worst(index) ? say(', the worst') : '',
                          })
                        : say('set on both')}
                  </span>
                  {pairs.length > least ? (
                    <button
                      type="button"
                      className="word"
                      onClick={() => {
                        setPairs(pairs.filter((_, at) => at !== index));
                        setActive(0);
                        setLaid(null);
                      }}
                    >
                      {say('leave out')}
                    </button>
                  ) : null}
                </li>
              ))}
            </ul>
            <p className="row">
              <button
                type="button"
                className="word"
                onClick={() => {
                  setPairs([...pairs, none]);
                  setActive(pairs.length);
                  setSide('picture');
                }}
              >
                {say('one more point')}
              </button>
            </p>
            {laid ? (
              <p className="kept" role="status">
                {say('Laid under the drawing; the points agree within {value} mm{points}', {
                  value: sayFixed(worstMm, 1),
                  points:
                    laid.points.length <= 4
                      ? say('. Four points always agree: a fifth tells how good it is.')
                      : '.',
                })}{' '}
                <Why
                  kind="placement"
                  of={say('how well it lies')}
                  inputs={[[say('points'), String(laid.points.length)]]}
                />
              </p>
            ) : null}
            <Refusal why={why} />
            <div className="row">
              {laid ? (
                <Go className="act" to={`${pathOf(panel.fullMark)}?photo=${laid.mediaId}`}>
                  {say('See it on the bench')}
                </Go>
              ) : (
                <button
                  type="button"
                  disabled={busy || whole.length < least || mediaId === null}
                  onClick={() => {
                    void run(async () => {
                      setLaid(
                        await layPicture(
                          panel.panelId,
                          mediaId ?? '',
                          whole.map((pair) => ({
                            imageXyPx: [...pair.picture!],
                            panelXyMm: [...pair.panel!],
                          })),
                          before?.version,
                        ),
                      );
                      bench.again();
                    });
                  }}
                >
                  {say('Lay it under the drawing')}
                </button>
              )}
              <ToBench mark={panel.fullMark} />
            </div>
          </section>
        }
      />
    </Shell>
  );
}
