import './compare.css';
import { useMemo, useState } from 'react';
import { type Net, pointAlongMm, polylineLengthMm, sayNetChange } from '#libs/net';
import { ToBench } from '../bench/ToBench.js';
import type { Bench } from '../bench/use-bench.js';
import { NetLayers, netPoints, plainLook } from '../drawing/net-layers.js';
import { PairView } from '../drawing/PairView.js';
import type { PairWay } from '../drawing/pair-map.js';
import { boxOf } from '../drawing/plane.js';
import { readNet } from '../platform/api/nets.js';
import { Hold } from '../platform/Hold.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { goTo, useHere } from '../platform/navigate.js';
import { OneOf } from '../platform/OneOf.js';
import { pathOf } from '../platform/place.js';
import { Shell } from '../platform/Shell.js';
import { Table } from '../platform/Table.js';
import { useAnswer } from '../platform/use-answer.js';
import { useKeys } from '../platform/use-keys.js';
import { Word } from '../platform/Word.js';
import { ChangePaper } from './ChangePaper.js';
import { fates, overlaidLayer } from './change-layer.js';
import { changeLines } from './change-list.js';
import { pairOfThing, sayRevision, thingOfPair } from './pair-of-revisions.js';

const ways = ['overlaid', 'beside', 'swipe', 'blink'] as const;
type Way = (typeof ways)[number];
const wayWords: Readonly<Record<Way, string>> = {
  overlaid: say('overlaid'),
  beside: say('side by side'),
  swipe: say('swiped'),
  blink: say('one, then the other'),
};
const pairWay: Readonly<Record<Way, PairWay>> = {
  overlaid: 'over',
  beside: 'beside',
  swipe: 'swipe',
  blink: 'over',
};

/** Two revisions of the lead drawing, held against each other. */
export function CompareRoom({ bench }: { bench: Bench }) {
  const { panel, nets } = bench;
  const { place } = useHere();
  const pair = pairOfThing(place.on === 'mark' ? place.thing : null, nets);
  const both = useAnswer(pair ? `nets ${panel.panelId} ${pair.join()}` : null, (signal) =>
    Promise.all(pair!.map((revision) => readNet(panel.panelId, revision, signal))),
  );
  const [before, after] = both.value ?? [];
  if (!pair || !before || !after)
    return (
      <Shell mark={panel.fullMark} sentence={say('comparing two revisions')}>
        <div className="scroll">
          <section className="paper stack">
            <h1>{rich('Compare revisions of {mark}', { mark: panel.mark })}</h1>
            <p role="status">
              {pair
                ? (both.why ?? say('bringing both drawings…'))
                : say('There are not two revisions of one layer yet.')}
            </p>
            <ToBench mark={panel.fullMark} />
          </section>
        </div>
      </Shell>
    );
  return <Compared key={pair.join()} bench={bench} pair={pair} before={before} after={after} />;
}

function Compared({
  bench,
  pair,
  before,
  after,
}: {
  bench: Bench;
  pair: readonly [number, number];
  before: Net;
  after: Net;
}) {
  const { panel, nets } = bench;
  const [way, setWay] = useState<Way>('overlaid');
  const [held, setHeld] = useState(false);
  const [chosen, setChosen] = useState<string | null>(null);

  const change = useMemo(() => sayNetChange(before, after), [before, after]);
  const lines = useMemo(
    () =>
      changeLines(change, (leadId) => {
        const line = after.leads.find((lead) => lead.leadId === leadId)?.lineMm;
        return line ? pointAlongMm(line, polylineLengthMm(line) / 2) : null;
      }),
    [change, after],
  );
  const plan = useMemo(
    () => () => {
      const drawing = (net: Net) => {
        const layers = new NetLayers();
        layers.setNet(net);
        layers.setLook({ ...plainLook });
        return layers.layers;
      };
      const box = boxOf([...netPoints(before), ...netPoints(after)]);
      const places = lines.flatMap(({ key, words, xyMm }) => (xyMm ? [{ key, words, xyMm }] : []));
      return way === 'overlaid'
        ? { box, places, first: [overlaidLayer(fates(before, after, change))], second: [] }
        : { box, places, first: drawing(before), second: drawing(after) };
    },
    [before, after, change, lines, way],
  );
  const step = (by: number) => {
    if (lines.length === 0) return;
    const at = lines.findIndex(({ key }) => key === chosen);
    setChosen(lines[(at + by + lines.length) % lines.length]!.key);
  };
  useKeys({
    n: {
      down: () => {
        step(1);
      },
    },
    p: {
      down: () => {
        step(chosen === null ? 0 : -1);
      },
    },
    b: {
      down: () => {
        setWay('blink');
        setHeld(true);
      },
      up: () => {
        setHeld(false);
      },
    },
  });
  const options = nets.map((net) => [String(net.revision), sayRevision(net)] as const);
  const word = (index: 0 | 1, label: string) => (
    <Word
      label={label}
      value={String(pair[index])}
      options={options}
      onChoose={(value) => {
        const next = index === 0 ? [Number(value), pair[1]] : [pair[0], Number(value)];
        goTo(pathOf(panel.fullMark, 'compare', thingOfPair(next[0]!, next[1]!)));
      }}
    />
  );
  const names = [
    say('revision {pair}', { pair: pair[0] }),
    say('revision {pair}', { pair: pair[1] }),
  ] as const;
  return (
    <Shell
      mark={panel.fullMark}
      sentence={
        <>
          {rich('comparing {value} with {value2}', {
            value: word(0, say('Earlier revision')),
            value2: word(1, say('Later revision')),
          })}
        </>
      }
    >
      <Table
        papers={say('what changed')}
        drawing={
          <>
            <PairView
              plan={plan}
              way={pairWay[way]}
              side={way === 'overlaid' ? null : held ? 'first' : 'second'}
              names={names}
              label={say(
                'Lead drawings of {fullMark}, {names}. Keys: N next change, P the one before, hold B for the earlier drawing.',
                { fullMark: panel.fullMark, names: names.join(say(' and ')) },
              )}
              chosen={chosen}
            />
            {way === 'blink' ? (
              <div className="dock compare-dock">
                <Hold onHold={setHeld}>{rich('hold: {names}', { names: names[0] })}</Hold>
              </div>
            ) : null}
          </>
        }
        beside={
          <ChangePaper
            bench={bench}
            pair={pair}
            change={change}
            lines={lines}
            chosen={chosen}
            isOverlaid={way === 'overlaid'}
            onChoose={setChosen}
            ways={
              <OneOf
                legend={say('Shown')}
                options={ways}
                value={way}
                onValue={setWay}
                words={(value) => wayWords[value]}
              />
            }
          />
        }
      />
    </Shell>
  );
}
