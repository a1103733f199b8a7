import { type ReactNode, type SubmitEvent, useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import type { Rubbing } from '../platform/api/panels.js';
import type { Surface } from '../platform/api/rubbings.js';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { NumberField } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import type { Acting } from '../platform/use-act.js';
import { LengthList } from './LengthList.js';
import { MarkList } from './MarkList.js';
import { PanelCheck } from './PanelCheck.js';
import { type PictureMarks, withWay } from './picture-marks.js';
import { ScaleWays } from './ScaleWays.js';

/** Beside the picture: where its scale comes from, its marks and lengths, and the panel's own size. */
export function MarksPaper({
  bench,
  rubbing,
  strip,
  marks,
  active,
  onActive,
  onMarks,
  missing,
  acting,
  onRead,
  onList,
}: {
  bench: Bench;
  rubbing: Rubbing;
  strip: ReactNode;
  marks: PictureMarks;
  active: number;
  onActive: (index: number) => void;
  onMarks: (marks: PictureMarks) => void;
  /** the first thing that keeps the pictures from being read; null: nothing */
  missing: string | null;
  acting: Acting;
  onRead: (surface: Surface) => void;
  onList: () => void;
}) {
  const [surface, setSurface] = useState<Surface>('developed');
  const face = rubbing.sheet?.face ?? 'inside';
  const layer = rubbing.sheet?.layer ?? 'front';
  const read = (event: SubmitEvent) => {
    event.preventDefault();
    onRead(surface);
  };
  return (
    <form className="paper stack" onSubmit={read}>
      <div>
        <h2>{say('Marks')}</h2>
        <p className="sub">
          {face === 'outside'
            ? say(
                'Rubbed from outside: the drawing is turned over, so that it shows the panel from inside.',
              )
            : say('Rubbed from inside, as the drawing shows it.')}
          {layer === 'back'
            ? say(' The back layer of a plated panel, in the frame of its front.')
            : ''}
        </p>
      </div>
      {strip}
      <ScaleWays
        key={marks.way}
        way={marks.way}
        onWay={(way) => {
          onMarks(withWay(marks, way));
          onActive(0);
        }}
      />
      {marks.way === 'target-sheet' ? (
        <>
          <NumberField
            label={say('Its ruler, measured on the print, mm')}
            hint={say('Left empty: the printer kept 1 : 1.')}
            value={marks.ruler}
            onValue={(ruler) => {
              onMarks({ ...marks, ruler });
            }}
          />
          <p className="row also">
            <Go className="word" to="/lenses">
              {say('print the target sheet')}
            </Go>
          </p>
        </>
      ) : null}
      {marks.way === 'flat-scan' ? (
        <NumberField
          label={say('Resolution, dpi')}
          hint={say('Left empty: as the file says.')}
          value={marks.dpi}
          onValue={(dpi) => {
            onMarks({ ...marks, dpi });
          }}
        />
      ) : null}
      <MarkList marks={marks} active={active} onActive={onActive} onMarks={onMarks} />
      <LengthList marks={marks} onMarks={onMarks} />
      <PanelCheck bench={bench} rubbing={rubbing} />
      <div className="field">
        <OneOf
          legend={say('The sheet was')}
          options={['developed', 'plan'] as const}
          value={surface}
          onValue={setSurface}
          words={(value) => surfaceWords[value]}
        />
        <p className="hint">{surfaceHints[surface]}</p>
      </div>
      <Refusal why={acting.why} />
      <div className="row">
        <button type="submit" disabled={acting.busy || missing !== null}>
          {say('Read the leads')}
        </button>
        <button type="button" className="quiet" onClick={onList}>
          {say('All rubbings')}
        </button>
      </div>
      <p className="hint" role="status">
        {missing === null
          ? say('Reading takes up to half a minute a picture. You may leave; it goes on.')
          : say('still missing: {missing}', { missing })}
      </p>
    </form>
  );
}

const surfaceWords: Readonly<Record<Surface, string>> = {
  developed: say('laid onto the panel'),
  plan: say('drawn in plan'),
};
const surfaceHints: Readonly<Record<Surface, string>> = {
  developed: say(
    'Wax paper follows a bulge, so lengths run along the glass: the drawing is developed. The opening is measured in plan.',
  ),
  plan: say(
    'Taken flat, as the panel is seen from the front: a bulge makes the lengths shorter than the glass is.',
  ),
};
