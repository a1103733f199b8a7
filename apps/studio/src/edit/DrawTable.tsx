import { useEffect, useMemo, useRef, useState } from 'react';
import type { Drawing, History } from '#libs/net';
import { ScaleBar } from '../bench/ScaleBar.js';
import type { Bench } from '../bench/use-bench.js';
import { pieceAt } from '../drawing/net-geometry.js';
import { PictureStrength } from '../drawing/PictureStrength.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { setWords, useHere } from '../platform/navigate.js';
import { Shell } from '../platform/Shell.js';
import { useSession } from '../platform/session.js';
import { Table } from '../platform/Table.js';
import { Word } from '../platform/Word.js';
import { boardKeys, dockActs } from './board-acts.js';
import { DrawBoardView } from './DrawBoardView.js';
import { DrawPapers } from './DrawPapers.js';
import type { DrawBoard } from './draw-board.js';
import { EvidenceView } from './EvidenceView.js';
import { handPaperId } from './hand.js';
import { dropWork, keepWork } from './kept-work.js';
import { ToolDock } from './ToolDock.js';
import { useDrawing } from './use-drawing.js';
import { useHandActs } from './use-hand-acts.js';
import { useKeys } from './use-keys.js';
import { useReview } from './use-review.js';
import { useSave } from './use-save.js';
import { pictureChoices, useUnderPicture } from './use-under-picture.js';

export interface Begun {
  readonly history: History<Drawing>;
  /** the revision that the work was begun on */
  readonly on: number;
}

/** The board and the papers beside it. */
export function DrawTable({
  bench,
  begun,
  notKept,
}: {
  bench: Bench;
  begun: Begun | null;
  /** why this browser keeps no unsaved work */
  notKept: string | null;
}) {
  const { panel, net } = bench;
  const { me } = useSession();
  const { words } = useHere();
  const revision = panel.netRevision ?? 0;
  const desk = useDrawing(net, begun?.history ?? null);
  const { drawing, history, judged } = desk;
  const [board, setBoard] = useState<DrawBoard | null>(null);
  const [resolution, setResolution] = useState(1);
  const [blink, setBlink] = useState(false);
  const [keysOn, setKeysOn] = useState(true);
  const [pieceId, setPieceId] = useState<string | null>(null);
  const reviewing = words.get('doubts') === 'yes';

  const hand = useHandActs(desk, board, firstPlan(bench));
  const review = useReview(desk, ({ xyMm, radiusMm }) => {
    hand.take('draw');
    board?.showPlace(xyMm, radiusMm);
  });
  const question = reviewing ? review.question : null;
  const save = useSave(bench, me.personId, desk);

  const choices = pictureChoices(bench);
  const wanted = words.get('photo') ?? '';
  const photo = choices.some(([key]) => key === wanted) ? wanted : (choices[0]?.[0] ?? 'none');
  const { make, why: noPicture } = useUnderPicture(bench, photo);
  const strength = make ? clamp01(Number(words.get('under') ?? '100') / 100) : 0;

  // What is undone to the end can be redone after a reload too.
  const unsaved = history.past.length + history.future.length > 0;
  const hadWork = useRef(begun !== null);
  useEffect(() => {
    // What another visit kept and could not be opened here stays where it is.
    if (!unsaved && !hadWork.current) return;
    hadWork.current = true;
    const kept = unsaved
      ? keepWork(me.personId, panel.panelId, { revision, history })
      : dropWork(me.personId, panel.panelId);
    // Quiet on failure: the room has said already that this browser keeps nothing.
    kept.catch(() => undefined);
  }, [unsaved, history, me.personId, panel.panelId, revision]);

  const questionKey = question?.key ?? null;
  useEffect(() => {
    if (!board || !question) return;
    board.showPlace(question.xyMm, question.radiusMm);
    // The key says when it is another question.
    // eslint-disable-next-line react-hooks/exhaustive-deps
  }, [board, questionKey]);

  const pieces = judged?.net?.pieces ?? net.pieces;
  const numbers = useMemo(
    () =>
      pieces.map((piece) => ({
        text: piece.pieceId,
        xyMm: piece.labelMm,
        radiusMm: piece.labelRadiusMm,
      })),
    [pieces],
  );
  const troubles = useMemo(
    () => (judged && judged.drawing === drawing ? judged.troubles : []),
    [judged, drawing],
  );
  const scene = useMemo(
    () => ({
      drawing,
      chosen: question?.leadId
        ? { leads: new Set([question.leadId]), joints: hand.chosen.joints }
        : hand.chosen,
      tool: hand.tool,
      numbers,
      troubles,
      ring: question ? { xyMm: question.xyMm, radiusMm: Math.min(question.radiusMm, 30) } : null,
      glass: 1 - strength,
      hidden: blink,
    }),
    [drawing, question, hand.chosen, hand.tool, numbers, troubles, strength, blink],
  );
  const acts = dockActs({
    desk,
    hand,
    board,
    blink,
    setBlink,
    reviewing,
    asked: question !== null,
    doubts: review.left,
    onReview: () => {
      hand.take('move');
      setWords({ doubts: reviewing ? null : 'yes' });
    },
  });
  useKeys(
    boardKeys({
      acts,
      hand,
      board,
      setBlink,
      answers: reviewing ? review.answers : [],
      onPaper: () => {
        document.getElementById(handPaperId)?.querySelector('select')?.focus();
      },
    }),
    keysOn,
  );
  const outline = judged?.net?.outlineMm ?? net.outlineMm;
  const signed = panel.signedRevision === revision;
  return (
    <Shell
      mark={panel.fullMark}
      sentence={
        <>
          {rich('drawing by hand from revision {revision}{signed}, over {word}; from {b}', {
            revision,
            signed: signed ? say(', signed') : '',
            word: (
              <Word
                label={say('Picture under the drawing')}
                value={photo}
                options={choices}
                onChoose={(value) => {
                  setWords({ photo: value });
                }}
              />
            ),
            b: <b>{sayWord(net.face)}</b>,
          })}
        </>
      }
    >
      <Table
        papers={say('the drawing')}
        drawing={
          <>
            <DrawBoardView
              scene={scene}
              outline={outline}
              picture={make}
              strength={strength}
              label={say(
                'Drawing of {fullMark}, {size} leads. Comma and full stop step from lead to lead, arrow keys move what is chosen or aim, Enter taps where they aim.',
                { fullMark: panel.fullMark, size: drawing.leads.size },
              )}
              onBoard={setBoard}
              events={{
                onChoose: (chosen, xyMm) => {
                  hand.setChosen(chosen);
                  const empty = chosen.leads.size + chosen.joints.size === 0;
                  const at = judged?.net ?? net;
                  setPieceId(empty && xyMm ? (pieceAt(at, xyMm)?.pieceId ?? null) : null);
                },
                onAct: (name, made) => desk.act(name, made),
                onLine: (line, ended) => {
                  hand.line(line, ended, question);
                },
                onCut: hand.cut,
                onView: setResolution,
              }}
            />
            {noPicture ? (
              <p className="over-drawing" role="status">
                {noPicture}
              </p>
            ) : null}
            <div className="board-top">
              {make ? <PictureStrength strength={strength} /> : null}
              {desk.refused ? (
                <p className="board-refused" role="alert">
                  {desk.refused}
                </p>
              ) : null}
            </div>
            {question && make && hand.tool === 'move' ? (
              <EvidenceView
                make={make}
                xyMm={question.xyMm}
                radiusMm={Math.min(question.radiusMm, 40)}
              />
            ) : null}
            <ToolDock
              acts={acts}
              keysOn={keysOn}
              label={say('Drawing by hand')}
              where={question && hand.tool === 'move' ? 'desk' : 'everywhere'}
            />
            {question && hand.tool === 'move' ? (
              <ToolDock acts={review.answers} keysOn={false} label={say('Answers')} where="phone" />
            ) : null}
            <ScaleBar resolutionMmPerPx={resolution} />
          </>
        }
        beside={
          <DrawPapers
            bench={bench}
            desk={desk}
            hand={hand}
            board={board}
            review={reviewing ? review : null}
            save={save}
            pieceId={pieceId}
            notice={sayBegun(begun, revision, words.get('kept'), notKept)}
            keysOn={keysOn}
            onKeysOn={setKeysOn}
          />
        }
      />
    </Shell>
  );
}

/** Drawn leads are at first as wide as most came of the panel. */
function firstPlan({ net }: Bench) {
  const most = [...net.widthClasses].sort((a, b) => b.leads - a.leads)[0];
  return { kind: 'came' as const, width: (most?.widthMm ?? 6).toFixed(1) };
}

function sayBegun(
  begun: Begun | null,
  revision: number,
  kept: string | null,
  notKept: string | null,
): string | null {
  if (begun)
    return begun.on === revision
      ? say('Your work of last time was in this browser and is here again.')
      : say('Your work, begun on revision {on}, lies on top of revision {revision}.', {
          on: begun.on,
          revision,
        });
  if (notKept) return say('This browser keeps no unsaved work ({notKept}).', { notKept });
  return kept === String(revision) ? say('Revision {kept} is in the archive.', { kept }) : null;
}

const clamp01 = (value: number) => (Number.isFinite(value) ? Math.min(1, Math.max(0, value)) : 1);
