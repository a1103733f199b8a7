import type { SequenceStep } from '../platform/api/custody.js';
import { say } from '../platform/language/say.js';

/** Further panels of which the same holds: by a tap each, or all that a word names. */
export function ManyPanels({
  legend,
  steps,
  chosen,
  onChosen,
}: {
  legend: string;
  steps: readonly Pick<SequenceStep, 'mark'>[];
  chosen: ReadonlySet<string>;
  onChosen: (chosen: ReadonlySet<string>) => void;
}) {
  const tap = (mark: string) => {
    const next = new Set(chosen);
    if (!next.delete(mark)) next.add(mark);
    onChosen(next);
  };
  const rows = [...new Set(steps.map(({ mark }) => rowOf(mark)))];
  const take = (row: string) => {
    const marks = steps.map(({ mark }) => mark).filter((mark) => rowOf(mark) === row);
    const next = new Set(chosen);
    const isWhole = marks.every((mark) => next.has(mark));
    for (const mark of marks) {
      if (isWhole) next.delete(mark);
      else next.add(mark);
    }
    onChosen(next);
  };
  return (
    <details className="many">
      <summary>
        {chosen.size === 0
          ? legend
          : say('{count, plural, one {# panel chosen} other {# panels chosen}}: {marks}', {
              count: chosen.size,
              marks: steps
                .map(({ mark }) => mark)
                .filter((mark) => chosen.has(mark))
                .join(', '),
            })}
      </summary>
      <div className="many-rows">
        {rows.map((row) => (
          <div key={row} className="taps" role="group" aria-label={say('Row {row}', { row })}>
            <button
              type="button"
              className="quiet"
              onClick={() => {
                take(row);
              }}
            >
              {say('row {row}', { row })}
            </button>
            {steps
              .filter(({ mark }) => rowOf(mark) === row)
              .map(({ mark }) => (
                <button
                  key={mark}
                  type="button"
                  className="quiet"
                  aria-pressed={chosen.has(mark)}
                  onClick={() => {
                    tap(mark);
                  }}
                >
                  {mark}
                </button>
              ))}
          </div>
        ))}
      </div>
    </details>
  );
}

/** '28' of 28a in a light, 'A' of A1 in the tracery. */
const rowOf = (mark: string): string => /^(\d+|[A-Z]+)/.exec(mark)?.[1] ?? mark;
