import { useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import type { Finding, FindingBody } from '../platform/api/findings.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { sayMeasure } from '../platform/say-measure.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { copyFinding, neighboursOf } from './copy-finding.js';
import type { FindingDesk } from './finding-desk.js';
import { termWords } from './term-look.js';

/** The same finding on its neighbours, or on pieces that are tapped or typed. */
export function CopyPaper({
  bench,
  finding,
  from,
  chosen,
  desk,
  onChosen,
  onClose,
}: {
  bench: Bench;
  finding: Finding;
  /** piece that the finding is in */
  from: string;
  chosen: ReadonlySet<string>;
  desk: FindingDesk;
  onChosen: (pieces: ReadonlySet<string>) => void;
  onClose: () => void;
}) {
  const { net, terms } = bench;
  const [typed, setTyped] = useState('');
  const beside = neighboursOf(net, from);
  const known = new Map(net.pieces.map((piece) => [piece.pieceId, piece]));
  const named = typed.split(/[\s,;]+/).filter((word) => word !== '' && word !== from);
  const unknown = named.filter((word) => !known.has(word));
  const targets = [...new Set([...chosen, ...named])].filter(
    (pieceId) => known.has(pieceId) && pieceId !== from,
  );
  const words = termWords(terms, finding.term);
  const toggle = (pieceId: string) => {
    const next = new Set(chosen);
    if (!next.delete(pieceId)) next.add(pieceId);
    onChosen(next);
  };
  const copy = () => {
    const source = known.get(from);
    if (!source) return;
    const bodies = targets.flatMap((pieceId) =>
      copyFinding(finding.geometry, source, known.get(pieceId)!).map(
        (geometry): FindingBody => ({
          term: finding.term,
          inPanel: pieceId,
          geometry: {
            kind: geometry.kind,
            xyMm: geometry.xyMm.map(([x, y]): [number, number] => [x, y]),
          },
          face: finding.face,
          layer: net.layer,
          ...(bench.traced || bench.panel.netRevision === null
            ? {}
            : { netRevision: bench.panel.netRevision }),
          happened: today(),
          note: [say('Copied from {from}.', { from }), finding.note].filter(Boolean).join(' '),
        }),
      ),
    );
    void desk
      .record(
        say('{count, plural, one {# copy} other {# copies}} of {words}', {
          count: bodies.length,
          words,
        }),
        bodies,
      )
      .then(bench.findingsAgain);
    onClose();
  };
  return (
    <section className="paper stack" aria-label={say('Copy a finding')}>
      <div>
        <h2>{say('The same on other pieces')}</h2>
        <p className="sub">
          {rich(
            '{words} in {from}, {measureText}. Each copy lies where this one lies from the number of its piece, and ends where the glass ends. Look at each of them: a copy is a finding too.',
            { words, from, measureText: sayMeasure(finding.measureText) || say('one place') },
          )}
        </p>
      </div>
      <div className="row" role="group" aria-label={say('Neighbours')}>
        {beside.map((pieceId) => (
          <button
            key={pieceId}
            type="button"
            className="quiet"
            aria-pressed={chosen.has(pieceId)}
            onClick={() => {
              toggle(pieceId);
            }}
          >
            {pieceId}
          </button>
        ))}
        {beside.every((pieceId) => chosen.has(pieceId)) ? null : (
          <button
            type="button"
            className="word"
            onClick={() => {
              onChosen(new Set([...chosen, ...beside]));
            }}
          >
            {say('all that touch it')}
          </button>
        )}
      </div>
      <TextField
        label={say('And these pieces')}
        hint={
          unknown.length > 0
            ? say('There is no {unknown} in this drawing.', { unknown: unknown.join(', ') })
            : say('Numbers, or tap them on the drawing.')
        }
        autoComplete="off"
        value={typed}
        onValue={setTyped}
      />
      <div className="row">
        <button type="button" disabled={targets.length === 0} onClick={copy}>
          {targets.length === 0
            ? say('Copy it')
            : say('Copy it to {targets, plural, one {# piece} other {# pieces}}', {
                targets: targets.length,
              })}
        </button>
        <button type="button" className="quiet" onClick={onClose}>
          {say('Leave it')}
        </button>
      </div>
    </section>
  );
}
