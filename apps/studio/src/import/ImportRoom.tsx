import './import.css';
import { type DragEvent, useMemo, useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import { NetLayers, netPoints, plainLook } from '../drawing/net-layers.js';
import { PairView } from '../drawing/PairView.js';
import { boxOf } from '../drawing/plane.js';
import { type CartoonAsked, type CartoonRead, checkCartoon } from '../platform/api/cartoons.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Shell } from '../platform/Shell.js';
import { Table } from '../platform/Table.js';
import { useAnswer } from '../platform/use-answer.js';
import { CartoonPaper } from './CartoonPaper.js';
import { RepairsPaper } from './RepairsPaper.js';

/** A cartoon of new work from another program: what it holds, what was put right, and take it. */
export function ImportRoom({ bench }: { bench: Bench }) {
  const { panel } = bench;
  const [asked, setAsked] = useState<{ body: CartoonAsked; turn: number } | null>(null);
  const [chosen, setChosen] = useState<number | null>(null);
  const [over, setOver] = useState(false);
  const read = useAnswer(asked ? `cartoon ${asked.turn}` : null, (signal) =>
    checkCartoon(panel.panelId, asked!.body, signal),
  );
  const ask = (body: CartoonAsked) => {
    setChosen(null);
    setAsked((before) => ({ body, turn: (before?.turn ?? 0) + 1 }));
  };
  const take = async (file: File) => {
    ask({ fileName: file.name, text: await file.text() });
  };
  const drop = (event: DragEvent) => {
    event.preventDefault();
    setOver(false);
    const file = event.dataTransfer.files[0];
    if (file) void take(file);
  };
  return (
    <Shell
      mark={panel.fullMark}
      sentence={
        <>{rich('taking a cartoon in as the drawing of {b}', { b: <b>{panel.mark}</b> })}</>
      }
    >
      <Table
        papers={say('the cartoon')}
        startOpen
        drawing={
          <div
            className="drop"
            data-over={over}
            onDragOver={(event) => {
              event.preventDefault();
              setOver(true);
            }}
            onDragLeave={() => {
              setOver(false);
            }}
            onDrop={drop}
          >
            {read.value ? (
              <Cartoon read={read.value} chosen={chosen === null ? null : String(chosen)} />
            ) : (
              <p className="over-drawing" role="status">
                {asked
                  ? read.why
                    ? say('this file could not be taken')
                    : say('reading the cartoon…')
                  : say('drop an SVG, DXF or GeoJSON file here')}
              </p>
            )}
          </div>
        }
        beside={
          <>
            <CartoonPaper
              bench={bench}
              asked={asked?.body ?? null}
              read={read.value ?? null}
              why={read.why}
              onFile={(file) => {
                void take(file);
              }}
              onAsk={ask}
            />
            {read.value ? (
              <RepairsPaper
                key={asked?.turn}
                bench={bench}
                asked={asked!.body}
                read={read.value}
                chosen={chosen}
                onChoose={setChosen}
              />
            ) : null}
          </>
        }
      />
    </Shell>
  );
}

function Cartoon({ read, chosen }: { read: CartoonRead; chosen: string | null }) {
  const plan = useMemo(
    () => () => {
      const layers = new NetLayers();
      layers.setNet(read.net);
      layers.setLook({ ...plainLook });
      return {
        box: boxOf(netPoints(read.net)),
        first: layers.layers,
        second: [],
        places: read.repairs.flatMap(({ xyMm, sentence }, index) =>
          xyMm ? [{ key: String(index), xyMm, words: sentence }] : [],
        ),
      };
    },
    [read],
  );
  return (
    <PairView
      plan={plan}
      way="over"
      side={null}
      names={[say('the cartoon'), '']}
      chosen={chosen}
      label={say('The cartoon as a lead drawing, {pieces} pieces', {
        pieces: read.net.pieces.length,
      })}
    />
  );
}
