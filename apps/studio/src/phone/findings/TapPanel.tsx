import { type KeyboardEvent, type MouseEvent, useId, useRef, useState } from 'react';
import { areaPatternSvg, type FindingTerm, findingSvg } from '#libs/vocabulary';
import { type Box, boxOf, isInside, type Xy } from '../../drawing/plane.js';
import { pathOfRings, placeOf } from '../../drawing/svg-plane.js';
import { spokenTerm } from '../../findings/spoken-terms.js';
import { say } from '../../platform/language/say.js';
import type { KnownPanel, KnownPiece } from './known-panel.js';

export type Kind = 'point' | 'line' | 'area';

/** Round a piece, so that its neighbours are seen, mm. */
const roundMm = 12;

/**
 * The panel under the thumb: the first tap takes a piece and brings it near, the next ones draw. Keys: arrows
 * aim, Enter taps there, Backspace takes the last point back.
 */
export function TapPanel({
  panel,
  term,
  kind,
  xyMm,
  piece,
  onXy,
  onPiece,
}: {
  panel: KnownPanel;
  term: FindingTerm;
  kind: Kind;
  /** what is drawn so far */
  xyMm: readonly Xy[];
  piece: KnownPiece | null;
  onXy: (xyMm: readonly Xy[]) => void;
  onPiece: (piece: KnownPiece | null) => void;
}) {
  const svg = useRef<SVGSVGElement>(null);
  const [aim, setAim] = useState<Xy | null>(null);
  const id = useId();
  const near = piece && grown(boxOf(piece.centreRingMm), roundMm);
  const box = near ?? grown(boxOf(panel.outlineMm), 6);
  const [width, height] = [box.maxX - box.minX, box.maxY - box.minY];
  const unit = Math.max(width, height) / 100;

  const tapAt = (at: Xy) => {
    if (piece === null) {
      const hit = panel.pieces.find(({ centreRingMm }) => isInside(at, centreRingMm));
      if (hit) {
        onPiece(hit);
        setAim(hit.labelMm);
        return;
      }
      // Before there is a drawing a finding may lie on the panel alone.
      if (panel.pieces.length > 0) return;
    }
    const point: Xy = [toTenth(at[0]), toTenth(at[1])];
    onXy(kind === 'point' ? [point] : [...xyMm, point]);
  };
  const tap = (event: MouseEvent) => {
    const place = svg.current && placeOf(svg.current, event);
    if (!place) return;
    setAim(null);
    tapAt(place);
  };
  const hear = (event: KeyboardEvent) => {
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[
      event.key
    ];
    const at: Xy = aim ?? [box.minX + width / 2, box.minY + height / 2];
    const mm = unit * (event.shiftKey ? 0.5 : 4);
    if (step) setAim([at[0] + step[0]! * mm, at[1] + step[1]! * mm]);
    else if (event.key === 'Enter' || event.key === ' ') tapAt(at);
    else if (event.key === 'Backspace') onXy(xyMm.slice(0, -1));
    else if (event.key === 'Escape') onPiece(null);
    else return;
    event.preventDefault();
  };
  return (
    <svg
      ref={svg}
      className="tap-panel"
      viewBox={`${box.minX} ${box.minY} ${width} ${height}`}
      role="application"
      tabIndex={0}
      aria-label={
        piece === null
          ? say('Panel {mark}, {pieces} pieces. Arrow keys aim, Enter takes the piece there.', {
              mark: panel.mark,
              pieces: panel.pieces.length,
            })
          : say(
              'Piece {pieceId}. Arrow keys aim, Enter draws there, Backspace takes the last point back, Escape shows the whole panel.',
              { pieceId: piece.pieceId },
            )
      }
      onClick={tap}
      onKeyDown={hear}
    >
      <path className="ground" d={pathOfRings([panel.outlineMm])} />
      {panel.pieces.map((one) => (
        <path
          key={one.pieceId}
          className="glass"
          data-taken={one.pieceId === piece?.pieceId}
          d={pathOfRings(one.glassMm)}
        />
      ))}
      {/* The number of the piece that is drawn on would lie under the drawing. */}
      {panel.pieces
        .filter((one) => one.pieceId !== piece?.pieceId)
        .map((one) => (
          <text
            key={one.pieceId}
            x={one.labelMm[0]}
            y={one.labelMm[1]}
            fontSize={Math.min(one.labelRadiusMm, 5 * unit)}
          >
            {one.pieceId}
          </text>
        ))}
      {panel.findings.map((finding) => (
        <Sign
          key={finding.findingId}
          term={spokenTerm(finding.term)}
          kind={finding.geometry.kind}
          xyMm={finding.geometry.xyMm}
          id={id}
        />
      ))}
      {xyMm.length >= { point: 1, line: 2, area: 3 }[kind] ? (
        <Sign term={term} kind={kind} xyMm={xyMm} id={id} />
      ) : null}
      {xyMm.map(([x, y], index) => (
        <circle key={`${index} ${x} ${y}`} className="tapped" cx={x} cy={y} r={1.1 * unit} />
      ))}
      {aim === null ? null : (
        <path
          className="aim"
          strokeWidth={0.5 * unit}
          d={`M${aim[0] - 4 * unit} ${aim[1]}h${8 * unit}M${aim[0]} ${aim[1] - 4 * unit}v${8 * unit}`}
        />
      )}
    </svg>
  );
}

/** A finding with the hatch of its term, made by the vocabulary as it is for print. */
function Sign({
  term,
  kind,
  xyMm,
  id,
}: {
  term: FindingTerm | undefined;
  kind: Kind;
  xyMm: readonly Xy[];
  id: string;
}) {
  if (!term) return null;
  const html = `<defs>${areaPatternSvg(term, id)}</defs>${findingSvg(term, kind, xyMm, id)}`;
  // Made by our own vocabulary from numbers; nothing that a person typed is in it.
  return <g dangerouslySetInnerHTML={{ __html: html }} />;
}

const grown = (box: Box, byMm: number): Box => ({
  minX: box.minX - byMm,
  minY: box.minY - byMm,
  maxX: box.maxX + byMm,
  maxY: box.maxY + byMm,
});

const toTenth = (mm: number) => Math.round(mm * 10) / 10;
