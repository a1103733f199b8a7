import './rubbing.css';
import { useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import { Shell } from '../platform/Shell.js';
import { ConditionsPaper } from './ConditionsPaper.js';
import { MarksRoom } from './MarksRoom.js';
import { RubbingsPaper } from './RubbingsPaper.js';

/** A rubbing: may it be taken, the sheet itself, its picture, its marks, its drawing. */
export function RubbingRoom({ bench }: { bench: Bench }) {
  const { panel } = bench;
  const [another, setAnother] = useState(false);
  const [listed, setListed] = useState(false);
  const taken = panel.rubbings.filter((rubbing) => !('notRubbedBecause' in rubbing.conditions));
  const pictures = panel.media.filter((media) => media.kind === 'rubbing');
  const rubbing = taken.at(-1);
  if (rubbing && pictures.length > 0 && !another && !listed)
    return (
      <MarksRoom
        bench={bench}
        rubbing={rubbing}
        pictures={pictures}
        onList={() => {
          setListed(true);
        }}
      />
    );
  return (
    <Shell
      mark={panel.fullMark}
      sentence={
        <>
          rubbings of <b>{panel.mark}</b>
        </>
      }
    >
      <div className="scroll">
        {panel.rubbings.length > 0 ? (
          <RubbingsPaper
            bench={bench}
            onMarks={
              rubbing && pictures.length > 0
                ? () => {
                    setAnother(false);
                    setListed(false);
                  }
                : undefined
            }
            onAnother={
              another
                ? undefined
                : () => {
                    setAnother(true);
                  }
            }
          />
        ) : null}
        {panel.rubbings.length === 0 || another ? (
          <ConditionsPaper
            bench={bench}
            onRecorded={() => {
              setAnother(false);
              setListed(true);
              bench.again();
            }}
          />
        ) : null}
      </div>
    </Shell>
  );
}
