import { useId } from 'react';
import { sayWord } from './language/say.js';
import { sayRatio } from './say-number.js';

/** Long work: a stage in words, and how far; read out when the words change. */
export function Progress({ stage, ratio }: { stage: string; ratio: number | null }) {
  const id = useId();
  return (
    <div className="progress">
      <span id={id} role="status">
        {sayWord(stage)}
      </span>
      <progress aria-labelledby={id} max={1} {...(ratio === null ? {} : { value: ratio })} />
      <span aria-hidden="true">{ratio === null ? ' ' : sayRatio(ratio)}</span>
    </div>
  );
}
