import { useState } from 'react';
import { entryName } from '#libs/ledger';
import type { Bench } from '../bench/use-bench.js';
import { Proven } from '../ledger/Proven.js';
import { type Finding, withdrawFinding } from '../platform/api/findings.js';
import { Field } from '../platform/Field.js';
import { Go } from '../platform/Go.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { useAct } from '../platform/use-act.js';
import { Swatch } from './Swatch.js';
import { termWords } from './term-look.js';

/** What was found here: the key of the drawing and the list in one. */
export function FindingsPaper({
  bench,
  piece,
  selected,
  onSelect,
}: {
  bench: Bench;
  /** number of the piece that is looked at; null: the whole panel */
  piece: string | null;
  selected: string | null;
  onSelect: (findingId: string | null) => void;
}) {
  const { panel, terms } = bench;
  const here = bench.findings.filter(
    (finding) =>
      finding.state === 'recorded' &&
      (piece === null || finding.inPanel === piece || finding.findingId === selected),
  );
  const mark = piece === null ? panel.fullMark : `${panel.fullMark}.${piece}`;
  return (
    <article className="paper" aria-label="Findings">
      <h2>Found here</h2>
      {here.length === 0 ? <p className="sub">Nothing recorded yet.</p> : null}
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
              onClick={() => {
                onSelect(finding.findingId === selected ? null : finding.findingId);
              }}
            >
              {termWords(terms, finding.term)}
              {finding.inPanel && finding.inPanel !== piece ? ` in ${finding.inPanel}` : ''}
            </button>
            <span>{finding.measureText}</span>
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
            onGone={() => {
              onSelect(null);
            }}
          />
        ))}
      <p className="row">
        <Go className="act quiet" to={pathOf(mark, 'find') + window.location.search}>
          record another
        </Go>
      </p>
    </article>
  );
}

function FindingDetail({
  finding,
  bench,
  onGone,
}: {
  finding: Finding;
  bench: Bench;
  onGone: () => void;
}) {
  const [withdrawing, setWithdrawing] = useState(false);
  const [because, setBecause] = useState('');
  const { busy, why, run } = useAct();
  return (
    <div className="stack detail">
      <p>
        {finding.note ? `“${finding.note}” ` : ''}
        Seen on the {finding.face}
        {finding.happened ? `, ${finding.happened}` : ''}.
      </p>
      <p className="kept">
        In the archive, {entryName(finding.entrySeq)}.{' '}
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
          <Field label="Why is it withdrawn?" hint="The finding and the reason stay in the ledger.">
            {(ids) => (
              <input
                {...ids}
                required
                value={because}
                onChange={(event) => {
                  setBecause(event.target.value);
                }}
              />
            )}
          </Field>
          <div className="row">
            <button type="submit" disabled={busy}>
              Withdraw it
            </button>
            <button
              type="button"
              className="quiet"
              onClick={() => {
                setWithdrawing(false);
              }}
            >
              Keep it
            </button>
          </div>
          <Refusal why={why} />
        </form>
      ) : (
        <p className="row">
          <button
            type="button"
            className="word"
            onClick={() => {
              setWithdrawing(true);
            }}
          >
            withdraw this finding
          </button>
        </p>
      )}
    </div>
  );
}
