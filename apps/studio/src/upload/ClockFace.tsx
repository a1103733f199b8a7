import './clock-face.css';
import { say } from '../platform/language/say.js';

const hours = [12, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11];

/** Where the lamp stands, as on a clock laid over the panel; tap the hour. */
export function ClockFace({
  hour,
  onHour,
}: {
  hour: number | null;
  onHour: (hour: number) => void;
}) {
  const move = (from: number, step: number) => {
    const next = hours[(hours.indexOf(from) + step + 12) % 12]!;
    onHour(next);
    document.getElementById(`clock-${next}`)?.focus();
  };
  return (
    <fieldset className="field">
      <legend>{say('Lamp stands at')}</legend>
      <div className="clock" role="radiogroup" aria-label={say('Lamp stands at, on the clock')}>
        <span className="clock-panel" aria-hidden="true" />
        {hour === null ? null : (
          <span className="clock-ray" aria-hidden="true" style={{ rotate: `${hour * 30}deg` }} />
        )}
        {hours.map((candidate) => (
          <button
            key={candidate}
            id={`clock-${candidate}`}
            type="button"
            role="radio"
            className="quiet"
            aria-checked={candidate === hour}
            aria-label={say('{candidate} o’clock', { candidate })}
            tabIndex={candidate === (hour ?? 12) ? 0 : -1}
            style={{
              left: `${50 + 39 * Math.sin((candidate * Math.PI) / 6)}%`,
              top: `${50 - 39 * Math.cos((candidate * Math.PI) / 6)}%`,
            }}
            onClick={() => {
              onHour(candidate);
            }}
            onKeyDown={(event) => {
              const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
              if (step === undefined) return;
              event.preventDefault();
              move(candidate, step);
            }}
          >
            {candidate}
          </button>
        ))}
      </div>
    </fieldset>
  );
}
