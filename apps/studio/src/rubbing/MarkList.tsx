import { say } from '../platform/language/say.js';
import { sayFixed } from '../platform/say-number.js';
import { mostMarks, takesMoreMarks } from './mark-plan.js';
import { type PictureMarks, sayMark, withMark, withoutLastMark } from './picture-marks.js';

/** The marks of one picture: where each was tapped, and its place where that was measured. */
export function MarkList({
  marks,
  active,
  onActive,
  onMarks,
}: {
  marks: PictureMarks;
  active: number;
  onActive: (index: number) => void;
  onMarks: (marks: PictureMarks) => void;
}) {
  const { names, taps, places, way } = marks;
  const setPlace = (name: string, axis: 0 | 1, value: string) => {
    const before = places[name] ?? ['', ''];
    onMarks({
      ...marks,
      places: { ...places, [name]: axis === 0 ? [value, before[1]] : [before[0], value] },
    });
  };
  if (names.length === 0 || way === null) return null;
  return (
    <div>
      <ul className="marks" aria-label={say('Marks')}>
        {names.map((name, index) => (
          <li key={name} data-active={index === active}>
            <button
              type="button"
              className="quiet"
              aria-pressed={index === active}
              onClick={() => {
                onActive(index);
              }}
            >
              {name}
            </button>
            <span className="mark-tap">
              {taps[name]
                ? `${sayFixed(taps[name][0], 1)}, ${sayFixed(taps[name][1], 1)} px`
                : say('not tapped')}
            </span>
            {way === 'known-places'
              ? ([0, 1] as const).map((axis) => (
                  <input
                    key={axis}
                    aria-label={say('{name}: mm from the {axis} edge', {
                      name,
                      axis: axis === 0 ? say('left') : say('top'),
                    })}
                    inputMode="text"
                    placeholder={axis === 0 ? say('x mm') : say('y mm')}
                    value={places[name]?.[axis] ?? ''}
                    onChange={(event) => {
                      setPlace(name, axis, event.target.value);
                    }}
                  />
                ))
              : null}
          </li>
        ))}
      </ul>
      {takesMoreMarks(way) ? (
        <p className="row also">
          {names.length < mostMarks ? (
            <button
              type="button"
              className="word"
              onClick={() => {
                onMarks(withMark(marks));
                onActive(names.length);
              }}
            >
              {say('one more mark')}
            </button>
          ) : null}
          {names.length > 4 ? (
            <button
              type="button"
              className="word"
              onClick={() => {
                onMarks(withoutLastMark(marks));
                onActive(0);
              }}
            >
              {say('leave out {value}', { value: sayMark(names.at(-1)!) })}
            </button>
          ) : null}
        </p>
      ) : null}
    </div>
  );
}
