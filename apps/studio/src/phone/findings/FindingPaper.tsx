import { type SubmitEvent, useState } from 'react';
import { FINDING_TERMS, type FindingTerm, findingTerm } from '#libs/vocabulary';
import { TermPicker } from '../../findings/TermPicker.js';
import { termWords } from '../../findings/term-look.js';
import type { Finding } from '../../platform/api/findings.js';
import { Field } from '../../platform/Field.js';
import { OneOf } from '../../platform/OneOf.js';
import { Refusal } from '../../platform/Refusal.js';
import { today } from '../../platform/today.js';
import { useAct } from '../../platform/use-act.js';
import type { KnownPanel } from './known-panel.js';
import { type Draft, measureOfDraft, missingOfDraft, noteDown } from './note-down.js';
import { TapPanel } from './TapPanel.js';

/** One finding of one panel: term, place, words; written down on this device, with a line or without. */
export function FindingPaper({ panel }: { panel: KnownPanel }) {
  const [draft, setDraft] = useState<Draft | null>(null);
  const [last, setLast] = useState<{ readonly term: FindingTerm; readonly mark: string } | null>(
    null,
  );
  const { busy, why, run } = useAct();
  const begin = (term: FindingTerm) => {
    setDraft({
      term,
      kind: term.geometries[0] ?? 'point',
      xyMm: [],
      piece: null,
      face: panel.face,
      note: '',
      happened: today(),
      corrects: null,
    });
  };
  if (draft === null)
    return (
      <>
        <h1>What do you see?</h1>
        {last === null ? null : (
          <div className="row">
            <p className="kept" role="status">
              {last.term.label} at {last.mark} is written down on this phone.
            </p>
            <button
              type="button"
              className="quiet"
              onClick={() => {
                begin(last.term);
              }}
            >
              {last.term.label} once more
            </button>
          </div>
        )}
        <TermPicker terms={FINDING_TERMS} onPick={begin} />
        <FoundBefore
          panel={panel}
          onCorrect={(finding) => {
            setDraft(draftOf(finding, panel));
          }}
        />
      </>
    );
  const { term, kind, xyMm, piece, corrects } = draft;
  const missing = missingOfDraft(draft, panel);
  const put = (change: Partial<Draft>) => {
    setDraft({ ...draft, ...change });
  };
  const submit = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await noteDown(draft, panel);
      const where = piece === null ? panel.mark : `${panel.mark}.${piece.pieceId}`;
      setLast({ term, mark: where });
      setDraft(null);
    });
  };
  return (
    <form className="stack" onSubmit={submit} aria-label={`Write down: ${term.label}`}>
      <div>
        <h1>{term.label}</h1>
        <p className="sub">{corrects === null ? term.definition : 'Correct what was recorded'}</p>
      </div>
      <TapPanel
        panel={panel}
        term={term}
        kind={kind}
        xyMm={xyMm}
        piece={piece}
        onXy={(next) => {
          put({ xyMm: next });
        }}
        onPiece={(next) => {
          put({ piece: next, xyMm: [] });
        }}
      />
      <output className="live" aria-live="polite">
        {[piece === null ? null : `piece ${piece.pieceId}`, measureOfDraft(draft), missing]
          .filter((words) => words !== null && words !== '')
          .join(' · ')}
      </output>
      <div className="row">
        <button
          type="button"
          className="quiet"
          disabled={xyMm.length === 0}
          onClick={() => {
            put({ xyMm: xyMm.slice(0, -1) });
          }}
        >
          Take a point back
        </button>
        {piece === null ? null : (
          <button
            type="button"
            className="quiet"
            onClick={() => {
              put({ piece: null, xyMm: [] });
            }}
          >
            Another piece
          </button>
        )}
      </div>
      {term.geometries.length > 1 ? (
        <OneOf
          legend="Draw it as"
          options={term.geometries}
          value={kind}
          onValue={(next) => {
            put({ kind: next, xyMm: [] });
          }}
          words={(value) => ({ point: 'a place', line: 'a line', area: 'an outline' })[value]}
        />
      ) : null}
      <OneOf
        legend="Seen on the face"
        options={['inside', 'outside'] as const}
        value={draft.face}
        onValue={(face) => {
          put({ face });
        }}
      />
      <Field label="Note">
        {(ids) => (
          <input
            {...ids}
            maxLength={500}
            value={draft.note}
            onChange={(event) => {
              put({ note: event.target.value });
            }}
          />
        )}
      </Field>
      <Field label="Seen on" hint="2026-11-25, 2019, or 1998~ for about">
        {(ids) => (
          <input
            {...ids}
            value={draft.happened}
            onChange={(event) => {
              put({ happened: event.target.value });
            }}
          />
        )}
      </Field>
      <Refusal why={why} />
      <button type="submit" className="camera" disabled={busy || missing !== null}>
        Write it down
      </button>
      <button
        type="button"
        className="quiet"
        onClick={() => {
          setDraft(null);
        }}
      >
        Leave it
      </button>
    </form>
  );
}

function FoundBefore({
  panel,
  onCorrect,
}: {
  panel: KnownPanel;
  onCorrect: (finding: Finding) => void;
}) {
  const { findings } = panel;
  return (
    <section className="stack" aria-label="Found before">
      <h2>Found before</h2>
      {findings.length === 0 ? (
        <p className="sub">Nothing was recorded of this panel.</p>
      ) : (
        <ul className="lines">
          {findings.map((finding) => (
            <li key={finding.findingId}>
              <span>
                {termWords(FINDING_TERMS, finding.term)}
                {finding.inPanel === null ? '' : ` in ${finding.inPanel}`}, {finding.measureText}
                {finding.note === null ? '' : `: ${finding.note}`}
              </span>
              <button
                type="button"
                className="word"
                aria-label={`correct ${termWords(FINDING_TERMS, finding.term)} in ${finding.inPanel ?? 'the panel'}`}
                onClick={() => {
                  onCorrect(finding);
                }}
              >
                correct
              </button>
            </li>
          ))}
        </ul>
      )}
      <p className="hint">As it stood on {panel.readAt.slice(0, 16).replace('T', ' ')} UTC.</p>
    </section>
  );
}

function draftOf(finding: Finding, panel: KnownPanel): Draft | null {
  const term = findingTerm(finding.term);
  if (!term) return null;
  return {
    term,
    kind: finding.geometry.kind,
    xyMm: finding.geometry.xyMm,
    piece: panel.pieces.find(({ pieceId }) => pieceId === finding.inPanel) ?? null,
    face: finding.face,
    note: finding.note ?? '',
    happened: finding.happened ?? '',
    corrects: finding,
  };
}
