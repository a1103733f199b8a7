import { rich } from '../platform/language/rich.js';

/** A line across two drawings that lie on each other: the first is seen left of it, the second right. */
export function DividingLine({
  percent,
  names,
  onPercent,
}: {
  /** of the width, 0-100 */
  percent: number;
  names: readonly [string, string];
  onPercent: (percent: number) => void;
}) {
  return (
    <>
      <span className="pair-line" style={{ left: `${percent}%` }} aria-hidden="true" />
      <label className="pair-swipe">
        <span className="unseen">
          {rich('Dividing line: {names} left of it, {names2} right', {
            names: names[0],
            names2: names[1],
          })}
        </span>
        <input
          type="range"
          min="0"
          max="100"
          value={percent}
          onChange={(event) => {
            onPercent(Number(event.target.value));
          }}
        />
      </label>
    </>
  );
}
