import { useMemo, useState } from 'react';
import { measurePerPiece, type PieceShare, pieceShareText } from '#libs/vocabulary';
import type { Bench } from '../bench/use-bench.js';
import { Proven } from '../ledger/Proven.js';
import { type Finding, withdrawFinding } from '../platform/api/findings.js';
import { Figure } from '../platform/figure/Figure.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { sayEntry } from '../platform/say-entry.js';
import { sayMeasure } from '../platform/say-measure.js';
import { sayAreaMm2 } from '../platform/say-number.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { Swatch } from './Swatch.js';
import { termWords } from './term-look.js';

/** What was found here: the key of the drawing and the list in one. */
export function FindingsPaper({
  bench,
  piece,
  selected,
  onSelect,
  onCopy,
}: {
  bench: Bench;
  /** number of the piece that is looked at; null: the whole panel */
  piece: string | null;
  selected: string | null;
  onSelect: (findingId: string | null) => void;
  /** the same on other pieces */
  onCopy: (finding: Finding) => void;
}) {
  const { panel, terms, net } = bench;
  const { findings } = bench;
  const recorded = useMemo(() => findings.filter(({ state }) => state === 'recorded'), [findings]);
  // One that spans pieces is listed with each of them.
  const shares = useMemo(
    () =>
      new Map(
        recorded.map(({ findingId, geometry }) => [
          findingId,
          measurePerPiece(geometry, net.pieces),
        ]),
      ),
    [recorded, net],
  );
  const here = recorded.filter(
    ({ inPanel, findingId }) =>
      piece === null ||
      inPanel === piece ||
      findingId === selected ||
      shares.get(findingId)?.some(({ pieceId }) => pieceId === piece),
  );
  const mark = piece === null ? panel.fullMark : `${panel.fullMark}.${piece}`;
  return (
    <article className="paper" aria-label={say('Findings')}>
      <h2>{say('Found here')}</h2>
      {here.length === 0 ? <p className="sub">{say('Nothing recorded yet.')}</p> : null}
      <ul className="lines">
        {here.map((finding) => (
          <li key={finding.findingId}>
            <Swatch
              term={terms.find((term) => term.key === finding.term)}
              kind={finding.geometry.kind}
            />
            <button
              type="button"
              className="word"
              aria-expanded={finding.findingId === selected}
              aria-label={nameOf(terms, finding, shares.get(finding.findingId) ?? [])}
              onClick={() => {
                onSelect(finding.findingId === selected ? null : finding.findingId);
              }}
            >
              {termWords(terms, finding.term)}
              {finding.inPanel && finding.inPanel !== piece
                ? say(' in {inPanel}', { inPanel: finding.inPanel })
                : ''}
            </button>
            <span>{sayMeasure(finding.measureText)}</span>
          </li>
        ))}
      </ul>
      {here
        .filter((finding) => finding.findingId === selected)
        .map((finding) => (
          <FindingDetail
            key={finding.findingId}
            finding={finding}
            bench={bench}
            shares={shares.get(finding.findingId) ?? []}
            onCopy={onCopy}
            onGone={() => {
              onSelect(null);
            }}
          />
        ))}
      <p className="row">
        <Go className="act quiet" to={pathOf(mark, 'find') + window.location.search}>
          {say('record another')}
        </Go>
      </p>
    </article>
  );
}

/** Name of a drawn thing for who cannot see it: 'crack in 26, 61 mm, seen on the inside'. */
function nameOf(
  terms: Bench['terms'],
  { term, inPanel, measureText, face }: Finding,
  shares: readonly PieceShare[],
): string {
  const where =
    shares.length > 1
      ? say(' in {shares}', { shares: shares.map(({ pieceId }) => pieceId).join(', ') })
      : inPanel === null
        ? ''
        : say(' in {inPanel}', { inPanel });
  const size = measureText === '' ? '' : `, ${sayMeasure(measureText)}`;
  return say('{terms}{where}{size}, seen on the {face}', {
    terms: termWords(terms, term),
    where,
    size,
    face: sayWord(face),
  });
}

/** Points of the line or outline as drawn, and the glass that its share is taken of. */
function measuredFrom({ geometry, inPanel }: Finding, { net }: Bench) {
  const piece = net.pieces.find(({ pieceId }) => pieceId === inPanel);
  return [
    [say('points as drawn'), String(geometry.xyMm.length)] as const,
    ...(piece && geometry.kind === 'area'
      ? [
          [
            say('glass of {piece} that is seen', { piece: piece.pieceId }),
            sayAreaMm2(piece.sightAreaMm2),
          ] as const,
        ]
      : []),
  ];
}

function FindingDetail({
  finding,
  bench,
  shares,
  onCopy,
  onGone,
}: {
  finding: Finding;
  bench: Bench;
  shares: readonly PieceShare[];
  onCopy: (finding: Finding) => void;
  onGone: () => void;
}) {
  const [withdrawing, setWithdrawing] = useState(false);
  const [because, setBecause] = useState('');
  const { busy, why, run } = useAct();
  return (
    <div className="stack detail">
      <p>
        {rich('{note}Seen on the {face}', {
          note: finding.note ? `“${finding.note}” ` : '',
          face: sayWord(finding.face),
        })}
        {finding.happened ? `, ${finding.happened}` : ''}.
      </p>
      {finding.measureText === '' ? null : (
        <div>
          <Figure
            kind="finding-measure"
            of={say('its measure')}
            inputs={measuredFrom(finding, bench)}
            entry={{ line: bench.panel.siteId, place: finding.entrySeq }}
          >
            {sayMeasure(finding.measureText)}
          </Figure>
        </div>
      )}
      {shares.length > 1 ? (
        <p>
          {say('On each piece: {pieceShareText}.', {
            pieceShareText: shares.map((share) => sayMeasure(pieceShareText(share))).join('; '),
          })}
        </p>
      ) : null}
      <p className="kept">
        {say('In the archive, {entrySeq}. ', { entrySeq: sayEntry(finding.entrySeq) })}
        <Proven line={bench.panel.siteId} place={finding.entrySeq} />
      </p>
      {withdrawing ? (
        <form
          className="stack"
          onSubmit={(event) => {
            event.preventDefault();
            void run(async () => {
              await withdrawFinding(finding.findingId, because, finding.version);
              onGone();
              bench.again();
            });
          }}
        >
          <TextField
            label={say('Why is it withdrawn?')}
            hint={say('The finding and the reason stay in the ledger.')}
            required
            value={because}
            onValue={setBecause}
          />
          <div className="row">
            <button type="submit" disabled={busy}>
              {say('Withdraw it')}
            </button>
            <button
              type="button"
              className="quiet"
              onClick={() => {
                setWithdrawing(false);
              }}
            >
              {say('Keep it')}
            </button>
          </div>
          <Refusal why={why} />
        </form>
      ) : (
        <p className="row also">
          <button
            type="button"
            className="word"
            onClick={() => {
              setWithdrawing(true);
            }}
          >
            {say('withdraw this finding')}
          </button>
          {shares.length > 0 ? (
            <button
              type="button"
              className="word"
              aria-keyshortcuts="C"
              onClick={() => {
                onCopy(finding);
              }}
            >
              {say('the same on other pieces')}
            </button>
          ) : null}
        </p>
      )}
    </div>
  );
}
