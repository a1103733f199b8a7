import './shards.css';
import { type ReactNode, useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import { pathOfRings, viewBoxOf } from '../drawing/svg-plane.js';
import { askAssembly, type Proposal, readTray, type Tray } from '../platform/api/shards.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Progress } from '../platform/Progress.js';
import { Shell } from '../platform/Shell.js';
import { Table } from '../platform/Table.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { useJob } from '../platform/use-job.js';
import { KeepPaper } from './KeepPaper.js';
import type { Laid } from './laid.js';
import { PicturesPaper, type ScaledPicture } from './PicturesPaper.js';
import { ShardPaper } from './ShardPaper.js';
import { ShardsDrawing } from './ShardsDrawing.js';
import { ToldPaper } from './ToldPaper.js';
import { TrayPaper } from './TrayPaper.js';
import { useLaid } from './use-laid.js';

/** The tray of a broken piece: pictures, a proposal, hands, and what is kept. */
export function ShardsRoom({ bench, mark }: { bench: Bench; mark: string }) {
  const { panelId, fullMark } = bench.panel;
  const piece = mark.slice(fullMark.length + 1);
  const found = useAnswer(piece === '' ? null : `shards ${panelId} ${piece}`, (signal) =>
    readTray(panelId, piece, signal),
  );
  return (
    <Shell mark={mark} sentence={<>{rich('the shards of {b}', { b: <b>{mark}</b> })}</>}>
      {found.value === undefined ? (
        <div className="scroll">
          <section className="paper">
            <h1>{mark}</h1>
            <p role={found.why ? 'alert' : 'status'}>
              {piece === ''
                ? say('Choose a piece on the bench; its shards lie in a tray of their own.')
                : (found.why ?? say('fetching the tray…'))}
            </p>
          </section>
        </div>
      ) : (
        <TrayTable bench={bench} piece={piece} tray={found.value} again={found.again} />
      )}
    </Shell>
  );
}

interface Shown {
  readonly assemblyId: string;
  readonly proposal: Proposal;
}

function shownOf({ assembly, kept }: Tray): Shown | null {
  if (assembly?.proposal) return { assemblyId: assembly.assemblyId, proposal: assembly.proposal };
  return kept === null ? null : { assemblyId: kept.assemblyId, proposal: kept.proposal };
}

function TrayTable({
  bench,
  piece,
  tray,
  again,
}: {
  bench: Bench;
  piece: string;
  tray: Tray;
  again: () => void;
}) {
  const shown = shownOf(tray);
  const waitsFor = tray.assembly?.proposal === null ? tray.assembly.jobId : null;
  const { progress, failed } = useJob(waitsFor, again, say('The search failed.'));
  const { busy, why, run } = useAct();
  const newest = [...tray.pictures].filter(
    ({ shard }, i, all) => all.findIndex((one) => one.shard === shard) === i,
  );
  const ask = (
    pictures: ScaledPicture[],
    isEitherFace: boolean,
    laid: readonly Laid[] = [],
    apart: readonly (readonly [string, string])[] = [],
  ) =>
    void run(async () => {
      const known = new Set(pictures.map(({ shard }) => shard));
      await askAssembly(bench.panel.panelId, piece, {
        pictures,
        isEitherFace,
        locked: laid
          .filter(({ shard, isLocked }) => isLocked && known.has(shard))
          .map(({ shard, pose }) => ({ shard, pose })),
        apart: apart
          .filter((pair) => pair.every((shard) => known.has(shard)))
          .map(([a, b]): [string, string] => [a, b]),
      });
      again();
    });
  const papers = {
    bench,
    piece,
    pictures: newest,
    scaleBefore: tray.assembly?.asked.pictures[0]?.pxPerMm ?? null,
    busy: busy || progress !== null,
    why: why ?? failed,
    onSent: again,
  };
  const searching =
    progress === null ? null : (
      <section className="paper" aria-busy="true" aria-label={say('The search')}>
        <Progress stage={progress.stage} ratio={progress.ratio} />
        <p className="hint">
          {say('Every edge is tried against every other; you may leave and come back.')}
        </p>
      </section>
    );
  if (shown === null)
    return (
      <Table
        papers={say('the tray')}
        startOpen
        drawing={<EmptyPiece outlineMm={tray.outlineMm} />}
        beside={
          <>
            {searching}
            <PicturesPaper {...papers} onAsk={ask} />
          </>
        }
      />
    );
  return (
    <LaidTable
      key={`${shown.assemblyId} ${tray.kept?.joiningId ?? ''}`}
      papers={papers}
      searching={searching}
      shown={shown}
      tray={tray}
      ask={ask}
      again={again}
    />
  );
}

type Papers = Omit<Parameters<typeof PicturesPaper>[0], 'onAsk'>;

function LaidTable({
  papers,
  searching,
  shown: { assemblyId, proposal },
  tray,
  ask,
  again,
}: {
  papers: Papers;
  searching: ReactNode;
  shown: Shown;
  tray: Tray;
  ask: (
    pictures: ScaledPicture[],
    isEitherFace: boolean,
    laid: readonly Laid[],
    apart: readonly (readonly [string, string])[],
  ) => void;
  again: () => void;
}) {
  const [chosen, setChosen] = useState<string | null>(null);
  const [isTogether, setTogether] = useState(false);
  const table = useLaid({ assemblyId, proposal, kept: tray.kept, isTogether });
  const scale = new Map(
    (tray.assembly?.asked.pictures ?? []).map(({ shard, pxPerMm }) => [shard, pxPerMm]),
  );
  const pictures = new Map(
    papers.pictures.flatMap((picture) => {
      const pxPerMm = scale.get(picture.shard);
      return pxPerMm === undefined ? [] : [[picture.shard, { ...picture, pxPerMm }] as const];
    }),
  );
  return (
    <Table
      papers={say('the tray')}
      drawing={
        <ShardsDrawing
          proposal={proposal}
          pictures={pictures}
          table={table}
          chosen={chosen}
          onChoose={setChosen}
        />
      }
      beside={
        <>
          {searching}
          {chosen === null ? null : (
            <ShardPaper
              proposal={proposal}
              table={table}
              shard={chosen}
              onLeave={() => {
                setChosen(null);
              }}
            />
          )}
          <ToldPaper told={table.told} />
          <TrayPaper
            proposal={proposal}
            table={table}
            chosen={chosen}
            isTogether={isTogether}
            onTogether={setTogether}
            onChoose={setChosen}
          />
          <KeepPaper
            bench={papers.bench}
            piece={papers.piece}
            assemblyId={assemblyId}
            kept={tray.kept}
            table={table}
            again={again}
          />
          <PicturesPaper
            {...papers}
            onAsk={(scaled, isEitherFace) => {
              ask(scaled, isEitherFace, table.laid, table.apart);
            }}
          />
        </>
      }
    />
  );
}

function EmptyPiece({ outlineMm }: { outlineMm: Tray['outlineMm'] }) {
  return (
    <svg
      className="shards-board"
      viewBox={viewBoxOf(outlineMm, 20)}
      role="img"
      aria-label={say('Outline of the piece; no shard is laid yet.')}
    >
      <path className="shards-outline" d={pathOfRings([outlineMm])} />
    </svg>
  );
}
