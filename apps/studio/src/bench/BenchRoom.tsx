import { useEffect, useMemo, useState } from 'react';
import { measurePerPiece } from '#libs/vocabulary';
import type { BenchMap } from '../drawing/bench-map.js';
import { DividingLine } from '../drawing/DividingLine.js';
import { type LeadLook, type NetLook, plainLook } from '../drawing/net-layers.js';
import { CopyPaper } from '../findings/CopyPaper.js';
import { FindDock } from '../findings/FindDock.js';
import { FindingsPaper } from '../findings/FindingsPaper.js';
import { FindPaper } from '../findings/FindPaper.js';
import { isEmpty } from '../findings/finding-draft.js';
import { TermKeys } from '../findings/TermKeys.js';
import { TracePaper } from '../findings/TracePaper.js';
import { useFinding } from '../findings/use-finding.js';
import { useTermKeys } from '../findings/use-term-keys.js';
import type { Finding } from '../platform/api/findings.js';
import { sayMedia } from '../platform/api/media.js';
import { useKept } from '../platform/kept-value.js';
import { say } from '../platform/language/say.js';
import { goTo, setWords, useHere } from '../platform/navigate.js';
import { type Act, pathOf } from '../platform/place.js';
import { Shell } from '../platform/Shell.js';
import { Table } from '../platform/Table.js';
import { TechniquePaper } from '../technique/TechniquePaper.js';
import { BenchKeysPaper } from './BenchKeysPaper.js';
import { BenchPapers } from './BenchPapers.js';
import { BenchSentence } from './BenchSentence.js';
import { BenchView } from './BenchView.js';
import { drawnFindings } from './drawn-findings.js';
import { PhotoStrip } from './PhotoStrip.js';
import { doubtsOf } from './panel-record.js';
import { SizesPaper } from './SizesPaper.js';
import { TermDock } from './TermDock.js';
import type { Bench } from './use-bench.js';
import { useBenchKeys } from './use-bench-keys.js';
import { useRecentTerms } from './use-recent-terms.js';
import { useSheets } from './use-sheets.js';
import { useStack } from './use-stack.js';

/** Height of the drawing hand's dock over the foot of the drawing, with air. */
const FOOT_PX = 190;

interface Copying {
  readonly finding: Finding;
  /** the piece that has most of it */
  readonly from: string;
  readonly pieces: ReadonlySet<string>;
}

/** The working view of one panel: the drawing in millimetres and the papers beside it. */
export function BenchRoom({ bench, mark, act }: { bench: Bench; mark: string; act: Act | null }) {
  const { panel, net, findings, terms } = bench;
  const { words, place } = useHere();
  const [map, setMap] = useState<BenchMap | null>(null);
  const [selected, setSelected] = useState<string | null>(null);
  const [copying, setCopying] = useState<Copying>();
  const [doubt, setDoubt] = useState<string | null>(null);
  const [keysOn, switchKeys] = useKept('bench keys', true, (value) => typeof value === 'boolean');
  const [recent, keepRecent] = useRecentTerms();
  const stack = useStack(bench);
  const { sheets, why } = useSheets(panel.placements, stack.seen, stack.ready);

  const piece = mark.startsWith(`${panel.fullMark}.`)
    ? mark.slice(panel.fullMark.length + 1)
    : null;
  const inNet = piece === null ? undefined : net.pieces.find((known) => known.pieceId === piece);
  const leads = (words.get('leads') ?? 'bands') as LeadLook;
  const showDoubts = words.get('doubts') === 'yes';
  const thing = place.on === 'mark' ? place.thing : null;
  const term = act === 'find' ? (terms.find(({ key }) => key === thing) ?? null) : null;
  const finding = useFinding(bench, map, term, stack.under?.mediaId ?? null);
  const keep = window.location.search;

  const findTerm = (key: string) => {
    // A finished drawing of the term before is not lost: it is recorded, as by the next stroke.
    if (finding.canRecord) finding.sketch.record();
    setCopying(undefined);
    goTo(pathOf(mark, 'find', key) + keep);
  };
  const termKey = term?.key ?? null;
  useEffect(() => {
    if (termKey === null) return;
    keepRecent(termKey);
    // The drawing has the keyboard, so that Enter and the arrows draw.
    map?.map.getTargetElement()?.focus({ preventScroll: true });
    // eslint-disable-next-line react-hooks/exhaustive-deps
  }, [termKey, map]);
  useEffect(() => {
    map?.setFoot(termKey === null ? 0 : FOOT_PX);
  }, [map, termKey]);
  const done = () => {
    if (copying) setCopying(undefined);
    else if (act !== 'find') setSelected(null);
    else if (!isEmpty(finding.sketch.draft)) finding.sketch.clear();
    else goTo(pathOf(mark) + keep);
  };
  const undo = () => {
    void finding.desk.undo().then(bench.findingsAgain);
  };
  const startCopy = (source: Finding) => {
    const from = measurePerPiece(source.geometry, net.pieces)[0]?.pieceId;
    if (from !== undefined) setCopying({ finding: source, from, pieces: new Set() });
  };
  const chosenFinding = findings.find(({ findingId }) => findingId === selected);
  const waitingGroup = useTermKeys(
    terms,
    ({ key }) => {
      findTerm(key);
    },
    keysOn && (act === null || act === 'find'),
  );
  useBenchKeys({
    on: keysOn,
    stack,
    finding,
    onUndo: undo,
    onAgain: () => {
      if (recent[0] !== undefined && act === null) findTerm(recent[0]);
    },
    onCopy: () => {
      if (chosenFinding) startCopy(chosenFinding);
    },
    onDone: done,
  });

  const look: NetLook = useMemo(
    () => ({
      ...plainLook,
      glass: 1 - stack.strength,
      leads,
      traced: bench.traced,
      selected: inNet ? inNet.pieceId : null,
      chosen: copying?.pieces ?? plainLook.chosen,
      doubts: showDoubts,
      doubt,
    }),
    [stack.strength, leads, bench.traced, inNet, copying, showDoubts, doubt],
  );
  const drawn = useMemo(
    () =>
      words.get('findings') === 'no'
        ? []
        : drawnFindings(findings, finding.state.items, terms, net.face),
    [findings, finding.state.items, terms, net.face, words],
  );
  const doubts = useMemo(() => doubtsOf(net), [net]);
  const doubtAt = doubts.find((candidate) => candidate.key === doubt);
  const focus = doubtAt
    ? { key: `doubt ${doubtAt.key}`, points: [doubtAt.xyMm] }
    : chosenFinding && act === null
      ? { key: `finding ${chosenFinding.findingId}`, points: chosenFinding.geometry.xyMm }
      : inNet
        ? { key: `piece ${inNet.pieceId}`, points: inNet.centreRingMm }
        : null;
  const findingsPaper = (
    <FindingsPaper
      bench={bench}
      piece={piece}
      selected={selected}
      onSelect={setSelected}
      onCopy={startCopy}
    />
  );

  return (
    <Shell mark={mark} sentence={<BenchSentence bench={bench} stack={stack} leads={leads} />}>
      <Table
        papers={
          act === 'find' || act === 'trace'
            ? say('the sheet')
            : say('the record of {piece}', { piece: piece ?? panel.mark })
        }
        startOpen={act === 'measure' || act === 'made' || (act === 'find' && thing === null)}
        drawing={
          <>
            <BenchView
              net={net}
              look={look}
              doubts={doubts}
              findings={drawn}
              selectedFinding={selected}
              sheets={sheets}
              why={why}
              focus={focus}
              label={say(
                'Lead drawing of {fullMark}, {pieces} pieces. Arrow keys move it, plus and minus zoom.',
                { fullMark: panel.fullMark, pieces: net.pieces.length },
              )}
              onMap={setMap}
              onFar={() => {
                const window_ = panel.fullMark.split('.').slice(0, 2).join('.');
                if (act === null) goTo(`${pathOf(window_)}?panel=${panel.mark}`);
              }}
              onFinding={setSelected}
              onPiece={(pieceId) => {
                if (copying) {
                  if (pieceId !== null)
                    setCopying({ ...copying, pieces: toggled(copying.pieces, pieceId) });
                  return;
                }
                setDoubt(null);
                setSelected(null);
                if (act === null)
                  goTo(
                    pathOf(pieceId === null ? panel.fullMark : `${panel.fullMark}.${pieceId}`) +
                      window.location.search,
                  );
              }}
            />
            {stack.under && stack.over && stack.way === 'swipe' && !stack.isHeld ? (
              <DividingLine
                percent={Math.round(stack.ratio * 100)}
                names={[sayMedia(stack.under), sayMedia(stack.over)]}
                onPercent={(percent) => {
                  setWords({ by: String(percent) });
                }}
              />
            ) : null}
            {act === null ? <TermDock terms={terms} recent={recent} mark={mark} /> : null}
            {term ? (
              <div className="find-foot">
                <FindDock
                  finding={finding}
                  terms={<TermDock terms={terms} recent={recent} mark={mark} current={term.key} />}
                  onUndo={undo}
                  onDone={done}
                />
              </div>
            ) : null}
            <TermKeys terms={terms} group={waitingGroup} />
            <PhotoStrip bench={bench} stack={stack} busy={act !== null} />
          </>
        }
        beside={
          copying ? (
            <>
              <CopyPaper
                bench={bench}
                finding={copying.finding}
                from={copying.from}
                chosen={copying.pieces}
                desk={finding.desk}
                onChosen={(pieces) => {
                  setCopying({ ...copying, pieces });
                }}
                onClose={() => {
                  setCopying(undefined);
                }}
              />
              {findingsPaper}
            </>
          ) : act === 'find' ? (
            <>
              <FindPaper
                bench={bench}
                finding={finding}
                mark={mark}
                hasPicture={stack.under !== null}
                onDone={done}
              />
              {term ? findingsPaper : null}
              <BenchKeysPaper on={keysOn} onSwitch={switchKeys} />
            </>
          ) : act === 'trace' ? (
            <TracePaper bench={bench} map={map} />
          ) : act === 'made' && inNet ? (
            <TechniquePaper bench={bench} inNet={inNet} />
          ) : act === 'measure' ? (
            <SizesPaper bench={bench} />
          ) : (
            <BenchPapers
              bench={bench}
              piece={piece}
              inNet={inNet}
              doubts={showDoubts && piece === null ? doubts : null}
              doubt={doubt}
              onDoubt={setDoubt}
            >
              {findingsPaper}
              <BenchKeysPaper on={keysOn} onSwitch={switchKeys} />
            </BenchPapers>
          )
        }
      />
    </Shell>
  );
}

function toggled(pieces: ReadonlySet<string>, pieceId: string): ReadonlySet<string> {
  const next = new Set(pieces);
  if (!next.delete(pieceId)) next.add(pieceId);
  return next;
}
