import { scaleOf } from '../drawing/plane.js';
import { sayFixed } from '../platform/say-number.js';

const steps = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000];

/** A bar of a round length, and how many times smaller than life the drawing is shown. */
export function ScaleBar({ resolutionMmPerPx }: { resolutionMmPerPx: number }) {
  const lengthMm = steps.find((step) => step / resolutionMmPerPx >= 70) ?? 5000;
  return (
    <div className="scale-bar">
      <i style={{ width: `${lengthMm / resolutionMmPerPx}px` }} />
      <span>
        {lengthMm < 1000 ? `${lengthMm} mm` : `${lengthMm / 1000} m`} ·{' '}
        {sayScale(scaleOf(resolutionMmPerPx))}
      </span>
    </div>
  );
}

/** '1 : 1.8', '2.5 : 1' */
export function sayScale(scale: number): string {
  const round = (value: number) => (value < 10 ? sayFixed(value, 1) : String(Math.round(value)));
  return scale >= 1 ? `1 : ${round(scale)}` : `${round(1 / scale)} : 1`;
}
