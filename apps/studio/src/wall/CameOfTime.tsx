import type { Happening } from './time-marks.js';
import { timeMarks } from './time-marks.js';

/** A length of came along the drawing: old at the foot, today at the head. Choosing a mark looks back. */
export function CameOfTime({
  happenings,
  until,
  nowYear,
  onUntil,
}: {
  happenings: readonly Happening[];
  until: string | null;
  nowYear: number;
  onUntil: (until: string | null) => void;
}) {
  const marks = timeMarks(happenings, nowYear, 0.062);
  if (marks.length === 0) return null;
  return (
    <nav className="came" aria-label="When it happened">
      <span className="came-lead" aria-hidden="true" />
      <ol>
        <li style={{ top: '0%' }}>
          <button
            type="button"
            className="came-mark"
            aria-pressed={until === null}
            onClick={() => {
              onUntil(null);
            }}
          >
            today
          </button>
        </li>
        {marks.map((mark) => (
          <li key={mark.at} style={{ top: `${mark.at * 100}%` }}>
            <button
              type="button"
              className="came-mark"
              aria-pressed={until === mark.until}
              onClick={() => {
                onUntil(mark.until);
              }}
            >
              {mark.words}
            </button>
          </li>
        ))}
      </ol>
    </nav>
  );
}
