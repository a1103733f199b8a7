import type { Stage } from '../platform/api/media.js';
import { say, sayWord } from '../platform/language/say.js';
import { setWords } from '../platform/navigate.js';
import { Word } from '../platform/Word.js';
import { sayHowMany } from './say-how-many.js';
import type { OlderPictures } from './use-older-pictures.js';

/** Of which stage of the work the strip shows pictures; the address keeps it. */
export function StageChoice({
  stages,
  stage,
  older,
  shown,
  total,
}: {
  /** with how many pictures each has */
  stages: readonly (readonly [Stage, number])[];
  /** null: all */
  stage: Stage | null;
  older: OlderPictures | null;
  shown: number;
  total: number;
}) {
  return (
    <div className="stage-choice">
      <Word
        label={say('Stage of the work')}
        value={stage ?? 'all'}
        options={[
          ['all', sayHowMany(older, shown, total)],
          ...stages.map(([one, count]) => [one, `${sayWord(one)} ${count}`] as const),
        ]}
        onChoose={(value) => {
          setWords({ stage: value === 'all' ? null : value });
        }}
      />
    </div>
  );
}
