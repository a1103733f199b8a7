import { say } from '../platform/language/say.js';
import { NumberField } from '../platform/NumberField.js';
import { neededLengths } from './mark-plan.js';
import { openPair, type PictureMarks, spareLengths, withLength } from './picture-marks.js';

/** The lengths that were measured between marks, as a tape gives them. */
export function LengthList({
  marks,
  onMarks,
}: {
  marks: PictureMarks;
  onMarks: (marks: PictureMarks) => void;
}) {
  const { lengths, way } = marks;
  if (lengths.length === 0) return null;
  if (way === 'any-lengths') return <AnyLengths marks={marks} onMarks={onMarks} />;
  return (
    <div className="three">
      {lengths.map(({ from, to, mm }, index) => (
        <NumberField
          key={`${from} ${to}`}
          label={way === 'ruler' ? say('Length, mm') : `${from}${to}, mm`}
          value={mm}
          onValue={(value) => {
            onMarks(withLength(marks, index, { mm: value }));
          }}
        />
      ))}
    </div>
  );
}

function AnyLengths({
  marks,
  onMarks,
}: {
  marks: PictureMarks;
  onMarks: (marks: PictureMarks) => void;
}) {
  const { lengths, names } = marks;
  const open = openPair(marks);
  const spare = spareLengths(marks);
  const set = (index: number, change: { from?: string; to?: string; mm?: string }) => {
    onMarks(withLength(marks, index, change));
  };
  return (
    <fieldset className="field">
      <legend>{say('Lengths between them, mm')}</legend>
      <ul className="lengths">
        {lengths.map(({ from, to, mm }, index) => (
          <li key={index}>
            {(['from', 'to'] as const).map((end) => (
              <select
                key={end}
                aria-label={say('Length {index}: {end}', { index: index + 1, end })}
                value={end === 'from' ? from : to}
                onChange={(event) => {
                  set(index, { [end]: event.target.value });
                }}
              >
                {names.map((name) => (
                  <option key={name} disabled={name === (end === 'from' ? to : from)}>
                    {name}
                  </option>
                ))}
              </select>
            ))}
            <input
              aria-label={say('Length {from}{to}, mm', { from, to })}
              inputMode="decimal"
              autoComplete="off"
              placeholder="mm"
              value={mm}
              onChange={(event) => {
                set(index, { mm: event.target.value });
              }}
            />
            <button
              type="button"
              className="word"
              aria-label={say('leave out {from}{to}', { from, to })}
              onClick={() => {
                onMarks({ ...marks, lengths: lengths.filter((_, at) => at !== index) });
              }}
            >
              {say('leave out')}
            </button>
          </li>
        ))}
      </ul>
      <p className="row also">
        {open ? (
          <button
            type="button"
            className="word"
            onClick={() => {
              onMarks({ ...marks, lengths: [...lengths, { from: open[0], to: open[1], mm: '' }] });
            }}
          >
            {say('one more length')}
          </button>
        ) : null}
      </p>
      <small role="status">{saySpare(spare)}</small>
    </fieldset>
  );
}

/** What the lengths beyond the needed ones are good for. */
function saySpare(spare: number): string {
  if (spare < 0)
    return say(
      '{neededLengths, plural, one {# length} other {# lengths}} of at least {neededLengths2}; {spare} still needed.',
      { neededLengths: neededLengths + spare, neededLengths2: neededLengths, spare: -spare },
    );
  if (spare === 0)
    return say('Just enough, and nothing to spare: a slip of the tape would not be noticed.');
  return say(
    '{spare, plural, one {# length} other {# lengths}} to spare: a slip of the tape shows, {spare, plural, one {though not which length it is} other {and which length it is}}.',
    { spare },
  );
}
