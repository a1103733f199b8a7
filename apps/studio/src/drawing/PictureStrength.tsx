import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { setWords } from '../platform/navigate.js';
import { sayRatio } from '../platform/say-number.js';

/** How strongly a picture shows; the address keeps it under `word`. @param strength 0-1 */
export function PictureStrength({
  picture = say('picture'),
  word = 'under',
  strength,
}: {
  picture?: string;
  word?: string;
  strength: number;
}) {
  return (
    <label className="strength">
      {rich('{picture} at {strength}', { picture, strength: sayRatio(strength) })}
      <input
        type="range"
        min="0"
        max="100"
        step="5"
        value={Math.round(strength * 100)}
        onChange={(event) => {
          setWords({ [word]: event.target.value });
        }}
      />
    </label>
  );
}
