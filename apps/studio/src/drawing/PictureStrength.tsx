import { setWords } from '../platform/navigate.js';
import { sayRatio } from '../platform/say-number.js';

/** How strongly the picture under the drawing shows; the address keeps it. @param strength 0-1 */
export function PictureStrength({ strength }: { strength: number }) {
  return (
    <label className="strength">
      picture at {sayRatio(strength)}
      <input
        type="range"
        min="0"
        max="100"
        step="5"
        value={Math.round(strength * 100)}
        onChange={(event) => {
          setWords({ under: event.target.value });
        }}
      />
    </label>
  );
}
