import { useEffect, useMemo, useRef, useState } from 'react';
import { compareNames } from '#libs/net';
import { BenchView } from '../bench/BenchView.js';
import { ToBench } from '../bench/ToBench.js';
import type { Bench } from '../bench/use-bench.js';
import { useSheets } from '../bench/use-sheets.js';
import type { BenchMap } from '../drawing/bench-map.js';
import { type NetLook, plainLook } from '../drawing/net-layers.js';
import { placeOfList } from '../phone/queue/kept-lists.js';
import { liftPieces, readSteps } from '../platform/api/custody.js';
import { Cautions } from '../platform/Cautions.js';
import { useKept } from '../platform/kept-value.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { Shell } from '../platform/Shell.js';
import { Table } from '../platform/Table.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { ApartPaper } from './ApartPaper.js';
import { heldLifts, isLifts, keptLifts, type Lifts, nextPiece, told } from './lift-states.js';
import { StaysWith } from './StaysWith.js';
import { UnderChoice } from './UnderChoice.js';
import './apart.css';

const ways = ['lifted', 'broken', 'with'] as const;
type Way = (typeof ways)[number];
const nothing = () => undefined;

/** A panel taken apart: each piece a tap on the drawing, or one great button after another. */
export function ApartRoom({ bench }: { bench: Bench }) {
  const { panel, net, traced } = bench;
  const steps = useAnswer(`steps ${panel.panelId}`, (signal) => readSteps(panel.panelId, signal));
  const [draft, setDraft] = useKept<Lifts>(placeOfList('lifts', panel.panelId), {}, isLifts);
  const [way, setWay] = useState<Way>('lifted');
  const [map, setMap] = useState<BenchMap | null>(null);
  const dock = useRef<HTMLElement>(null);
  const [partner, setPartner] = useState<string | null>(null);
  const [lying, setLying] = useState('');
  const seen = useMemo(
    () => (lying === '' ? [] : [{ mediaId: lying, opacity: 0.9, part: [0, 1] as const }]),
    [lying],
  );
  const under = useSheets(panel.placements, seen, []);
  const { busy, why, run } = useAct();
  const kept = useMemo(() => keptLifts(steps.value ?? []), [steps.value]);
  const held = useMemo(() => heldLifts(kept, draft), [kept, draft]);
  // The dock lies over the foot of the drawing: what is shown whole is shown above it.
  useEffect(() => {
    map?.setFoot((dock.current?.offsetHeight ?? 0) + 24);
  }, [map, way]);
  const look: NetLook = useMemo(
    () => ({
      ...plainLook,
      glass: lying === '' ? plainLook.glass : 0.25,
      selected: partner,
      lifted: new Map(Object.values(held).map(({ mark, is }) => [mark, is])),
    }),
    [held, lying, partner],
  );
  const pieces = net.pieces.map(({ pieceId }) => pieceId);
  const next = nextPiece(pieces, held);
  const waiting = Object.values(draft);
  const words: Readonly<Record<Way, string>> = {
    lifted: say('lifted whole'),
    broken: say('broke while lifted'),
    with: say('stays with another'),
  };
  const tell = (mark: string) => {
    if (way !== 'with') {
      setDraft(told(kept, draft, { mark, is: way }));
      return;
    }
    if (partner === null || partner === mark) {
      setPartner(partner === mark ? null : mark);
      return;
    }
    setDraft(told(kept, draft, { mark, is: 'with', with: partner }));
  };
  const record = () => {
    void run(async () => {
      await liftPieces(panel.panelId, { pieces: waiting, images: [], happened: today() });
      setDraft({});
      steps.again();
      bench.again();
    });
  };
  return (
    <Shell
      mark={panel.fullMark}
      sentence={<>{rich('taking {b} apart', { b: <b>{panel.fullMark}</b> })}</>}
    >
      {traced || panel.signedRevision === null ? (
        <div className="scroll">
          <section className="paper stack">
            <h1>{say('Taking {mark} apart', { mark: panel.fullMark })}</h1>
            <p>
              {say(
                'Sign the lead drawing first: pieces are lifted by their numbers, and the drawing is what they are put back by.',
              )}
            </p>
            <ToBench mark={panel.fullMark} />
          </section>
        </div>
      ) : (
        <Table
          papers={say('what was found')}
          drawing={
            <>
              <BenchView
                net={net}
                look={look}
                doubts={[]}
                findings={[]}
                selectedFinding={null}
                sheets={under.sheets}
                why={steps.why ?? under.why}
                focus={null}
                label={say('Pieces of {mark}: a tap says that one is off the lead.', {
                  mark: panel.fullMark,
                })}
                onMap={setMap}
                onFar={nothing}
                onFinding={nothing}
                onPiece={(pieceId) => {
                  if (pieceId !== null) tell(pieceId);
                }}
              />
              <section ref={dock} className="lift-dock paper" aria-label={say('Lifting')}>
                <p role="status">
                  {say('{lifted} of {pieces} lifted', {
                    lifted: Object.keys(held).length,
                    pieces: pieces.length,
                  })}
                  {waiting.length === 0
                    ? null
                    : say('; {waiting} only in this browser', { waiting: waiting.length })}
                </p>
                <OneOf
                  legend={say('A tap says')}
                  options={ways}
                  value={way}
                  onValue={(one) => {
                    setWay(one);
                    setPartner(null);
                  }}
                  words={(one) => words[one]}
                />
                {way === 'with' ? (
                  <StaysWith
                    pieces={pieces.toSorted(compareNames)}
                    partner={partner}
                    onPartner={setPartner}
                    onStays={tell}
                  />
                ) : null}
                <div className="lift-deeds">
                  {next === undefined || way === 'with' ? null : (
                    <button
                      type="button"
                      className="act"
                      onClick={() => {
                        tell(next);
                      }}
                    >
                      {way === 'lifted'
                        ? say('{piece} is lifted', { piece: next })
                        : say('{piece} broke', { piece: next })}
                    </button>
                  )}
                  <button
                    type="button"
                    className={next === undefined ? 'act' : 'quiet'}
                    disabled={busy || waiting.length === 0}
                    onClick={record}
                  >
                    {say('Keep it in the archive')}
                  </button>
                </div>
                <Refusal why={why} />
              </section>
            </>
          }
          beside={
            <>
              {steps.value === undefined ? null : (
                <ApartPaper
                  bench={bench}
                  steps={steps.value}
                  allLifted={next === undefined}
                  afterwards={() => {
                    steps.again();
                    bench.again();
                  }}
                />
              )}
              <UnderChoice panel={panel} value={lying} onValue={setLying} />
              <section className="paper">
                <Cautions keys={['lead-dust', 'asbestos-putty', 'broken-glass']} />
              </section>
            </>
          }
        />
      )}
    </Shell>
  );
}
