import type { Bench } from '../bench/use-bench.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { goTo } from '../platform/navigate.js';
import { OneOf } from '../platform/OneOf.js';
import { pathOf } from '../platform/place.js';
import { TextField } from '../platform/TextField.js';
import type { DraftKind } from './finding-draft.js';
import { NumbersForm } from './NumbersForm.js';
import { TermPicker } from './TermPicker.js';
import type { FindingHand } from './use-finding.js';

const howTo: Readonly<Record<DraftKind, string>> = {
  line: say('Draw along it in one stroke, or tap along it and tap the last point again.'),
  area: say('Draw round it, paint it, or tap a whole piece; more strokes add to it or take away.'),
  point: say('Tap the place.'),
};
const asWords: Readonly<Record<DraftKind, string>> = {
  point: say('a place'),
  line: say('a line'),
  area: say('an area'),
};

/** What is said of the finding that is being drawn: face, date, note, evidence; or the choice of a term. */
export function FindPaper({
  bench,
  finding,
  mark,
  hasPicture,
  onDone,
}: {
  bench: Bench;
  finding: FindingHand;
  mark: string;
  /** a picture lies under the drawing, offered as evidence */
  hasPicture: boolean;
  onDone: () => void;
}) {
  const { term, kind, said, say: tell, sketch, words } = finding;
  if (!term)
    return (
      <section className="paper stack">
        <h2>{say('What do you see?')}</h2>
        <TermPicker
          terms={bench.terms}
          onPick={(picked) => {
            goTo(pathOf(mark, 'find', picked.key) + window.location.search);
          }}
        />
        <p className="row">
          <button type="button" className="quiet" onClick={onDone}>
            {say('Back to the bench')}
          </button>
        </p>
      </section>
    );
  return (
    <section className="paper stack" aria-label={say('Record: {label}', { label: term.label })}>
      <div>
        <h2>{term.label}</h2>
        <p className="sub">{term.definition}</p>
      </div>
      <p className="live">{words}</p>
      {term.geometries.length > 1 ? (
        <OneOf
          legend={say('Draw it as')}
          options={term.geometries}
          value={kind}
          onValue={finding.setKind}
          words={(value) => asWords[value]}
        />
      ) : null}
      <p className="hint">
        {rich(
          '{kind} Two fingers, or the right button, push the drawing. By keys: arrows move it under the cross, Enter sets a point, Enter once more records it.{kind2}',
          {
            kind: howTo[kind],
            kind2: kind === 'area' ? '' : say(' The next one records the one before.'),
          },
        )}
      </p>
      <NumbersForm finding={finding} />
      <OneOf
        legend={say('Seen on the face')}
        options={['inside', 'outside'] as const}
        value={said.face}
        onValue={(face) => {
          tell({ face });
        }}
      />
      <TextField
        label={say('Note')}
        hint={say('For this one only; the next begins without.')}
        rows={2}
        value={said.note}
        onValue={(value) => {
          tell({ note: value });
        }}
      />
      <TextField
        label={say('Seen on')}
        hint={say('2026-11-25, 2019, or 1998~ for about')}
        value={said.happened}
        onValue={(value) => {
          tell({ happened: value });
        }}
      />
      {hasPicture ? (
        <label className="tick">
          {rich('{input}The picture under the drawing shows it', {
            input: (
              <input
                type="checkbox"
                checked={said.isShown}
                onChange={(event) => {
                  tell({ isShown: event.target.checked });
                }}
              />
            ),
          })}
        </label>
      ) : null}
      <div className="row">
        <button type="button" disabled={!finding.canRecord} onClick={sketch.record}>
          {say('Record this finding')}
        </button>
        <button type="button" className="quiet" onClick={onDone}>
          {say('Done')}
        </button>
      </div>
    </section>
  );
}
