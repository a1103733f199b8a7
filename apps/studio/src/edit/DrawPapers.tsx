import { openDrawing } from '#libs/net';
import type { Bench } from '../bench/use-bench.js';
import { boxOf } from '../drawing/plane.js';
import { say } from '../platform/language/say.js';
import { goTo, setWords } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { ChosenPaper } from './ChosenPaper.js';
import type { DrawBoard } from './draw-board.js';
import { KeepPaper } from './KeepPaper.js';
import { KeysPaper } from './KeysPaper.js';
import { LeadToDraw } from './LeadToDraw.js';
import { NumberPaper } from './NumberPaper.js';
import { OvertakenPaper } from './OvertakenPaper.js';
import { ReviewPaper } from './ReviewPaper.js';
import type { DrawingDesk } from './use-drawing.js';
import type { HandActs } from './use-hand-acts.js';
import type { Review } from './use-review.js';
import type { useSave } from './use-save.js';

/** The papers beside the board: what is asked, chosen, drawn next, and keeping it. */
export function DrawPapers({
  bench,
  desk,
  hand,
  board,
  review,
  save,
  pieceId,
  notice,
  keysOn,
  onKeysOn,
}: {
  bench: Bench;
  desk: DrawingDesk;
  hand: HandActs;
  board: DrawBoard | null;
  /** null: the doubts are left for later */
  review: Review | null;
  save: ReturnType<typeof useSave>;
  /** the piece of glass that was tapped */
  pieceId: string | null;
  notice: string | null;
  keysOn: boolean;
  onKeysOn: (on: boolean) => void;
}) {
  const { panel, net } = bench;
  const { judged, history } = desk;
  const revision = panel.netRevision ?? 0;
  const signed = panel.signedRevision === revision;
  const unsaved = history.past.length > 0;
  const piece = judged?.net?.pieces.find((one) => one.pieceId === pieceId);
  return (
    <>
      {save.overtaken ? (
        <OvertakenPaper
          revision={revision}
          busy={save.busy}
          onTop={() => void save.putOnTop()}
          onGiveUp={() => void save.giveUp()}
        />
      ) : null}
      {hand.tool === 'draw' ? (
        <LeadToDraw plan={hand.plan} onPlan={hand.setPlan} onBoard={() => board?.focus()} />
      ) : null}
      {review ? (
        <ReviewPaper
          review={review}
          signed={signed && !unsaved}
          why={save.why}
          sign={
            judged?.net && !desk.judging
              ? {
                  words: unsaved
                    ? say('Keep and sign revision {revision}', { revision: revision + 1 })
                    : say('Sign revision {revision}', { revision }),
                  busy: save.busy,
                  go: () => {
                    const note = unsaved
                      ? (judged.change?.sentence ?? say('looked through'))
                      : null;
                    void save.sign(note).then((done) => {
                      if (done) goTo(pathOf(panel.fullMark));
                    });
                  },
                }
              : null
          }
          onLeave={() => {
            setWords({ doubts: null });
          }}
        />
      ) : null}
      {(hand.tool === 'move' || hand.tool === 'choose') && !review?.question ? (
        <ChosenPaper desk={desk} chosen={hand.chosen} onBoard={() => board?.focus()} />
      ) : null}
      {piece && judged?.net ? (
        <NumberPaper
          key={piece.pieceId}
          desk={desk}
          net={judged.net}
          pieceId={piece.pieceId}
          signed={bench.pieces.some((one) => !one.provisional && one.mark === piece.pieceId)}
        />
      ) : null}
      <KeepPaper
        desk={desk}
        revision={revision}
        signed={signed}
        busy={save.busy}
        why={save.why}
        notice={notice}
        onKeep={(note) => void save.keep(note)}
        onPlace={(xyMm) => board?.showPlace(xyMm, 20)}
        onWhole={() => board?.showBox(boxOf((judged?.net ?? net).outlineMm), true)}
        onThrowAway={() => {
          desk.startAgain(openDrawing(net));
        }}
      />
      <KeysPaper on={keysOn} onSwitch={onKeysOn} />
    </>
  );
}
