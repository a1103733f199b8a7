import { useRef } from 'react';
import { say } from '../platform/language/say.js';
import type { Lamp } from './sheets.js';
import { hourAt, nearestLamp } from './sheets.js';

/**
 * The lamp on a clock laid over the panel: drag it round, and the picture whose lamp stands nearest is
 * shown; arrow keys go from lamp to lamp.
 */
export function LampClock({
  lamps,
  shown,
  onLamp,
}: {
  lamps: readonly Lamp[];
  /** the raking picture that is seen; null: another light */
  shown: string | null;
  onLamp: (mediaId: string) => void;
}) {
  const face = useRef<HTMLDivElement>(null);
  const at = lamps.findIndex(({ mediaId }) => mediaId === shown);
  const lamp = lamps[at];
  const follow = (event: React.PointerEvent) => {
    const box = face.current?.getBoundingClientRect();
    if (!box) return;
    const [x, y] = [
      event.clientX - box.left - box.width / 2,
      event.clientY - box.top - box.height / 2,
    ];
    const found = nearestLamp(lamps, hourAt(x, y));
    if (found && found.mediaId !== shown) onLamp(found.mediaId);
  };
  const step = (by: number) => {
    const next = lamps[(Math.max(0, at) + (at < 0 ? 0 : by) + lamps.length) % lamps.length];
    if (next) onLamp(next.mediaId);
  };
  return (
    <div className="lamp">
      <div
        ref={face}
        className="lamp-face"
        role="slider"
        tabIndex={0}
        aria-label={say('Lamp, on the clock round the panel')}
        aria-valuemin={0}
        aria-valuemax={lamps.length - 1}
        aria-valuenow={Math.max(0, at)}
        aria-valuetext={
          lamp
            ? say('raking light from {clockHour} o’clock', { clockHour: lamp.clockHour })
            : say('no raking light')
        }
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          follow(event);
        }}
        onPointerMove={(event) => {
          if (event.currentTarget.hasPointerCapture(event.pointerId)) follow(event);
        }}
        onKeyDown={(event) => {
          const by = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
          if (by === undefined) return;
          event.preventDefault();
          step(by);
        }}
      >
        <span className="lamp-panel" aria-hidden="true" />
        {lamp ? (
          <span
            className="lamp-beam"
            aria-hidden="true"
            style={{ rotate: `${lamp.clockHour * 30}deg` }}
          />
        ) : null}
        {lamps.map(({ mediaId, clockHour }) => (
          <span
            key={mediaId}
            className="lamp-place"
            data-on={mediaId === shown}
            aria-hidden="true"
            style={{
              left: `${50 + 41 * Math.sin((clockHour * Math.PI) / 6)}%`,
              top: `${50 - 41 * Math.cos((clockHour * Math.PI) / 6)}%`,
            }}
          >
            {clockHour}
          </span>
        ))}
      </div>
      <span className="lamp-words" role="status">
        {lamp
          ? say('lamp at {clockHour} o’clock', { clockHour: lamp.clockHour })
          : say('drag for raking light')}
      </span>
    </div>
  );
}
