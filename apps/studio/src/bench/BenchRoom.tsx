import { useMemo, useState } from 'react';
import { RevisionsPaper } from '../compare/RevisionsPaper.js';
import type { BenchMap } from '../drawing/bench-map.js';
import type { DrawnFinding } from '../drawing/findings-layer.js';
import { asHomography } from '../drawing/homography.js';
import { type LeadLook, type NetLook, plainLook } from '../drawing/net-layers.js';
import { FindingsPaper } from '../findings/FindingsPaper.js';
import { FindPaper } from '../findings/FindPaper.js';
import { TracePaper } from '../findings/TracePaper.js';
import { termSign } from '../findings/term-look.js';
import { goTo, setWords, useHere } from '../platform/navigate.js';
import { type Act, pathOf } from '../platform/place.js';
import { Shell } from '../platform/Shell.js';
import { Table } from '../platform/Table.js';
import { BenchSentence } from './BenchSentence.js';
import { BenchView } from './BenchView.js';
import { CarryOverPaper } from './CarryOverPaper.js';
import { DoubtsPaper } from './DoubtsPaper.js';
import { PanelPaper } from './PanelPaper.js';
import { PhotoStrip } from './PhotoStrip.js';
import { PicturesPaper } from './PicturesPaper.js';
import { PiecePaper } from './PiecePaper.js';
import { doubtsOf } from './panel-record.js';
import { SizesPaper } from './SizesPaper.js';
import { TermDock } from './TermDock.js';
import type { Bench } from './use-bench.js';

/** The working view of one panel: the drawing in millimetres and the papers beside it. */
export function BenchRoom({ bench, mark, act }: { bench: Bench; mark: string; act: Act | null }) {
  const { panel, net, findings, terms } = bench;
  const { words, place } = useHere();
  const [map, setMap] = useState<BenchMap | null>(null);
  const [selectedFinding, setSelectedFinding] = useState<string | null>(null);
  const [doubt, setDoubt] = useState<string | null>(null);

  const piece = mark.startsWith(`${panel.fullMark}.`)
    ? mark.slice(panel.fullMark.length + 1)
    : null;
  const inNet = piece === null ? undefined : net.pieces.find((known) => known.pieceId === piece);
  const placement = choosePlacement(bench, words.get('photo'));
  const strength = placement ? clamp01(Number(words.get('under') ?? '70') / 100) : 0;
  const leads = (words.get('leads') ?? 'bands') as LeadLook;
  const showDoubts = words.get('doubts') === 'yes';

  const look: NetLook = useMemo(
    () => ({
      ...plainLook,
      glass: 1 - strength,
      leads,
      traced: bench.traced,
      selected: inNet ? inNet.pieceId : null,
      doubts: showDoubts,
      doubt,
    }),
    [strength, leads, bench.traced, inNet, showDoubts, doubt],
  );
  const drawn: readonly DrawnFinding[] = useMemo(
    () =>
      words.get('findings') === 'no'
        ? []
        : findings
            .filter((finding) => finding.state === 'recorded')
            .map((finding) => ({
              findingId: finding.findingId,
              kind: finding.geometry.kind,
              xyMm: finding.geometry.xyMm,
              sign: termSign(terms, finding.term),
              otherFace: finding.face !== net.face,
            })),
    [findings, terms, net.face, words],
  );
  const picture = useMemo(
    () =>
      placement
        ? { mediaId: placement.mediaId, imageFromPanel: asHomography(placement.imageFromPanel) }
        : null,
    [placement],
  );
  const doubts = useMemo(() => doubtsOf(net), [net]);
  const doubtAt = doubts.find((candidate) => candidate.key === doubt);
  const focus = doubtAt
    ? { key: `doubt ${doubtAt.key}`, points: [doubtAt.xyMm] }
    : inNet
      ? { key: `piece ${inNet.pieceId}`, points: inNet.centreRingMm }
      : null;

  const thing = place.on === 'mark' ? place.thing : null;
  return (
    <Shell
      mark={mark}
      sentence={<BenchSentence bench={bench} placement={placement} leads={leads} />}
    >
      <Table
        papers={
          act === 'find' || act === 'trace' ? 'the sheet' : `the record of ${piece ?? panel.mark}`
        }
        startOpen={act === 'measure' || (act === 'find' && thing === null)}
        drawing={
          <>
            <BenchView
              net={net}
              look={look}
              doubts={doubts}
              findings={drawn}
              selectedFinding={selectedFinding}
              picture={picture}
              strength={strength}
              focus={focus}
              label={`Lead drawing of ${panel.fullMark}, ${net.pieces.length} pieces. Arrow keys move it, plus and minus zoom.`}
              onMap={setMap}
              onFar={() => {
                const window_ = panel.fullMark.split('.').slice(0, 2).join('.');
                if (act === null) goTo(`${pathOf(window_)}?panel=${panel.mark}`);
              }}
              onFinding={setSelectedFinding}
              onPiece={(pieceId) => {
                setDoubt(null);
                setSelectedFinding(null);
                if (act === null)
                  goTo(
                    pathOf(pieceId === null ? panel.fullMark : `${panel.fullMark}.${pieceId}`) +
                      window.location.search,
                  );
              }}
            />
            {act === null ? <TermDock terms={terms} mark={mark} /> : null}
            <PhotoStrip
              bench={bench}
              chosen={placement?.mediaId ?? null}
              strength={strength}
              busy={act !== null}
            />
          </>
        }
        beside={
          act === 'find' ? (
            <FindPaper
              key={thing}
              bench={bench}
              map={map}
              term={thing}
              mark={mark}
              pictureId={placement?.mediaId ?? null}
            />
          ) : act === 'trace' ? (
            <TracePaper bench={bench} map={map} />
          ) : act === 'measure' ? (
            <SizesPaper bench={bench} />
          ) : (
            <>
              {piece !== null && inNet ? (
                <PiecePaper bench={bench} inNet={inNet} />
              ) : (
                <PanelPaper bench={bench} />
              )}
              {showDoubts && piece === null ? (
                <DoubtsPaper
                  doubts={doubts}
                  chosen={doubt}
                  draw={`${pathOf(panel.fullMark, 'draw')}?doubts=yes`}
                  found={
                    bench.nets.some((one) => one.revision === panel.netRevision && one.reading)
                      ? pathOf(panel.fullMark, 'found', 'leads')
                      : null
                  }
                  onChoose={setDoubt}
                  onClose={() => {
                    setDoubt(null);
                    setWords({ doubts: null });
                  }}
                />
              ) : null}
              <CarryOverPaper bench={bench} />
              {piece === null ? <RevisionsPaper bench={bench} /> : null}
              {piece === null ? <PicturesPaper bench={bench} /> : null}
              <FindingsPaper
                bench={bench}
                piece={piece}
                selected={selectedFinding}
                onSelect={setSelectedFinding}
              />
            </>
          )
        }
      />
    </Shell>
  );
}

const clamp01 = (value: number) => (Number.isFinite(value) ? Math.min(1, Math.max(0, value)) : 0.7);

function choosePlacement({ panel }: Bench, wanted: string | null) {
  if (wanted === 'none') return null;
  const chosen = panel.placements.find((placement) => placement.mediaId === wanted);
  return chosen ?? panel.placements[0] ?? null;
}
