import { type SubmitEvent, useState } from 'react';
import type { FindingTerm } from '#libs/vocabulary';
import { SPOKEN_TERMS, spokenTerm } from '../../findings/spoken-terms.js';
import { TermPicker } from '../../findings/TermPicker.js';
import { termWords } from '../../findings/term-look.js';
import type { Finding } from '../../platform/api/findings.js';
import { Why } from '../../platform/figure/Figure.js';
import { rich } from '../../platform/language/rich.js';
import { say } from '../../platform/language/say.js';
import { OneOf } from '../../platform/OneOf.js';
import { Refusal } from '../../platform/Refusal.js';
import { sayMeasure } from '../../platform/say-measure.js';
import { TextField } from '../../platform/TextField.js';
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
        <h1>{say('What do you see?')}</h1>
        {last === null ? null : (
          <div className="row">
            <p className="kept" role="status">
              {rich('{label} at {mark} is written down on this phone.', {
                label: last.term.label,
                mark: last.mark,
              })}
            </p>
            <button
              type="button"
              className="quiet"
              onClick={() => {
                begin(last.term);
              }}
            >
              {rich('{label} once more', { label: last.term.label })}
            </button>
          </div>
        )}
        <TermPicker terms={SPOKEN_TERMS} onPick={begin} />
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
    <form
      className="stack"
      onSubmit={submit}
      aria-label={say('Write down: {label}', { label: term.label })}
    >
      <div>
        <h1>{term.label}</h1>
        <p className="sub">
          {corrects === null ? term.definition : say('Correct what was recorded')}
        </p>
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
        {[
          piece === null ? null : say('piece {pieceId}', { pieceId: piece.pieceId }),
          measureOfDraft(draft),
          missing,
        ]
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
          {say('Take a point back')}
        </button>
        {piece === null ? null : (
          <button
            type="button"
            className="quiet"
            onClick={() => {
              put({ piece: null, xyMm: [] });
            }}
          >
            {say('Another piece')}
          </button>
        )}
      </div>
      {term.geometries.length > 1 ? (
        <OneOf
          legend={say('Draw it as')}
          options={term.geometries}
          value={kind}
          onValue={(next) => {
            put({ kind: next, xyMm: [] });
          }}
          words={(value) =>
            ({ point: say('a place'), line: say('a line'), area: say('an outline') })[value]
          }
        />
      ) : null}
      <OneOf
        legend={say('Seen on the face')}
        options={['inside', 'outside'] as const}
        value={draft.face}
        onValue={(face) => {
          put({ face });
        }}
      />
      <TextField
        label={say('Note')}
        maxLength={500}
        value={draft.note}
        onValue={(value) => {
          put({ note: value });
        }}
      />
      <TextField
        label={say('Seen on')}
        hint={say('2026-11-25, 2019, or 1998~ for about')}
        value={draft.happened}
        onValue={(value) => {
          put({ happened: value });
        }}
      />
      <Refusal why={why} />
      <button type="submit" className="camera" disabled={busy || missing !== null}>
        {say('Write it down')}
      </button>
      <button
        type="button"
        className="quiet"
        onClick={() => {
          setDraft(null);
        }}
      >
        {say('Leave it')}
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
    <section className="stack" aria-label={say('Found before')}>
      <h2>{say('Found before')}</h2>
      {findings.length === 0 ? (
        <p className="sub">{say('Nothing was recorded of this panel.')}</p>
      ) : (
        <ul className="lines">
          {findings.map((finding) => (
            <li key={finding.findingId}>
              <span>
                {termWords(SPOKEN_TERMS, finding.term)}
                {finding.inPanel === null ? '' : say(' in {inPanel}', { inPanel: finding.inPanel })}
                , {sayMeasure(finding.measureText)}{' '}
                <Why kind="finding-measure" of={termWords(SPOKEN_TERMS, finding.term)} />
                {finding.note === null ? '' : `: ${finding.note}`}
              </span>
              <button
                type="button"
                className="word"
                aria-label={say('correct {term} in {inPanel}', {
                  term: termWords(SPOKEN_TERMS, finding.term),
                  inPanel: finding.inPanel ?? say('the panel'),
                })}
                onClick={() => {
                  onCorrect(finding);
                }}
              >
                {say('correct')}
              </button>
            </li>
          ))}
        </ul>
      )}
      <p className="hint">
        {rich('As it stood on {value} UTC.', {
          value: panel.readAt.slice(0, 16).replace('T', ' '),
        })}
      </p>
    </section>
  );
}

function draftOf(finding: Finding, panel: KnownPanel): Draft | null {
  const term = spokenTerm(finding.term);
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
