import './rubbing.css';
import { useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import { rich } from '../platform/language/rich.js';
import { Shell } from '../platform/Shell.js';
import { ConditionsPaper } from './ConditionsPaper.js';
import { MarksRoom } from './MarksRoom.js';
import { RubbingsPaper } from './RubbingsPaper.js';

/** A rubbing: may it be taken, the sheet itself, its picture, its marks, its drawing. */
export function RubbingRoom({ bench }: { bench: Bench }) {
  const { panel } = bench;
  const [another, setAnother] = useState(false);
  const [listed, setListed] = useState(false);
  // Rubbings come newest first.
  const taken = panel.rubbings.filter((rubbing) => !('notRubbedBecause' in rubbing.conditions));
  // Newest first from the archive; at the bench the first sheet is number one.
  const pictures = panel.media.filter((media) => media.kind === 'rubbing').reverse();
  const [chosen, setChosen] = useState<string | null>(null);
  const rubbing = taken.find((one) => one.rubbingId === chosen) ?? taken[0];
  if (rubbing && pictures.length > 0 && !another && !listed)
    return (
      <MarksRoom
        key={rubbing.rubbingId}
        bench={bench}
        rubbings={taken}
        rubbing={rubbing}
        pictures={pictures}
        onRubbing={setChosen}
        onList={() => {
          setListed(true);
        }}
      />
    );
  return (
    <Shell
      mark={panel.fullMark}
      sentence={<>{rich('rubbings of {b}', { b: <b>{panel.mark}</b> })}</>}
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
